import { describe, expect, it } from 'vitest';
import { audit, auditPlan } from '../../src/audit/audit.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { batch, bathChange, circuit, duty, fill, tinyWorld } from '../world.ts';

const world = tinyWorld({
  duties: [{ id: 'D', minutes: 30, technicians: 1, slackMinutes: 0, times: ['01:00'] }],
});
/** Rules that are broken, and those that were broken before `now`. */
function rulesAt(plan: readonly Activity[], now: number, of = tinyWorld()) {
  const { ok, violations, history } = audit(compile(of), plan, { now });
  expect(ok).toBe(violations.length === 0);
  const names = (list: typeof violations) => [...new Set(list.map(({ rule }) => rule))];
  return { now: names(violations), before: names(history) };
}

// Told by the rule that what has begun stands; no outside source.
describe('what was done against a rule', () => {
  const bare = batch(30);
  it('before now is history: told, and nothing to be done about', () => {
    expect(rulesAt(bare, 200)).toEqual({ now: [], before: ['circuit-in-place'] });
    expect(rulesAt(bare, 31)).toEqual({ now: [], before: ['circuit-in-place'] });
  });
  it('is to be put right while it has not begun', () => {
    expect(rulesAt(bare, 0)).toEqual({ now: ['circuit-in-place'], before: [] });
    expect(rulesAt(bare, 30)).toEqual({ now: ['circuit-in-place'], before: [] });
  });
  it('is no history where what is still to begin breaks it', () => {
    const plan = [circuit(0), fill(30), bathChange(90)];
    expect(rulesAt(plan, 60).now).toContain('machine-no-overlap');
    expect(rulesAt(plan, 91).before).toContain('machine-no-overlap');
  });
  it('is told apart from what is still to come and breaks the same rule', () => {
    // Two fills of a bath that does not run, one begun before 200, one to come.
    const plan = [circuit(0), ...batch(30, '4K'), ...batch(300, '4K')];
    const { history, violations } = audit(compile(tinyWorld()), plan, { now: 200 });
    const told = (list: typeof violations) => list.map(({ rule, start }) => [rule, start]);
    expect(told(history)).toEqual([['bath-loaded', 30]]);
    expect(told(violations)).toContainEqual(['bath-loaded', 300]);
  });
  it('a swap that is still to come is asked for, though its fill has begun', () => {
    expect(rulesAt([circuit(0), fill(30)], 60)).toEqual({ now: ['fill-has-swap'], before: [] });
  });
  it('a duty left out is asked for', () => {
    expect(rulesAt([circuit(0)], 60, world)).toEqual({ now: ['duty-done-once'], before: [] });
  });
});

describe('what a plan claims, in words', () => {
  // 82 kg x 25 mL/kg/h = 2.05 L/h: bags hang at 0, 190, 380 before the round that leaves at 06:00 covers.
  const problem = compile(tinyWorld({ patients: [{ id: 'bed-1', weight: 82, dose: 25, bath: '2K' }] }));
  const plan = asPlan(problem, [circuit(0), ...batch(30)], {
    bound: NOTHING_PROVEN,
    remarks: [],
    seconds: 0,
  });
  const [first, ...others] = plan.needs;
  const told = (changed: Partial<typeof plan>) =>
    auditPlan(problem, { ...plan, ...changed }).violations.map(
      ({ message, place }) => `${place}: ${message}`,
    );
  const need = '2K: Need of 2K in the round at 2031-02-03 00:00: the plan';

  it.each([
    [{ bags: 2 }, `${need} says 2 bags, the plan check counts 3.`],
    [{ litres: 20 }, `${need} says 20 L, the plan check counts 19.5 L.`],
    [{ unmetLitres: 0 }, `${need} says 0 L unmet, the plan check counts 19.5 L.`],
    [{ at: 5 }, `${need} puts the round at 2031-02-03 00:05.`],
  ])('needs: %j', (change, sentence) => {
    expect(told({ needs: [{ ...first!, ...change }, ...others] })).toEqual([sentence]);
  });
  it('needs left out, put in, and listed twice', () => {
    expect(told({ needs: others })).toEqual([`${need} leaves out 3 bags.`]);
    expect(told({ needs: [...plan.needs, first!] })).toEqual([`${need} lists a need twice.`]);
    expect(told({ needs: [...plan.needs, { ...first!, bath: '4K', bags: 7 }] })).toEqual([
      '4K: Need of 4K in the round at 2031-02-03 00:00: the plan says 7 bags, the plan check counts none.',
    ]);
  });
  it.each([
    ['unmetLitres', 'unmet litres', 19.5],
    ['unmetLitreHours', 'unmet litre hours', 468],
    ['reserveShort', 'bags short of the reserve', 0],
    ['handsOnMinutes', 'hands-on minutes', 38],
    ['expiredBags', 'bags that expire unused', 0],
  ])('score: %s', (key, name, counted) => {
    const sentence = `: The plan claims 7 ${name}, the plan check counts ${counted}.`;
    expect(told({ score: { ...plan.score, [key]: 7 } })).toEqual([sentence]);
  });
  it('a number is the same to a millionth of itself, and to a millionth where it is small', () => {
    const claim = (unmetLitres: number) => told({ score: { ...plan.score, unmetLitres } }).length;
    expect([19.50001, 19.49999, 19.5001, 19.4999].map(claim)).toEqual([0, 0, 1, 1]);
    const small = (expiredBags: number) => told({ score: { ...plan.score, expiredBags } }).length;
    expect([0.0000009, 0.000002].map(small)).toEqual([0, 1]);
  });
  it('a bound', () => {
    expect(told({ bound: { unmetLitres: 20, handsOnMinutes: 39 } })).toEqual([
      ': The plan says that none can have fewer than 20 unmet litres, yet it has 19.5.',
      ': The plan says that none can have fewer than 39 hands-on minutes, yet it has 38.',
    ]);
  });
  it('each is looked at, and says how much', () => {
    const { checked } = auditPlan(problem, plan);
    expect(checked.slice(-3)).toEqual([
      { rule: 'needs-claimed', says: "The plan's needs are those counted anew.", counts: 'needs', count: 3 },
      {
        rule: 'score-claimed',
        says: "The plan's score is the one counted anew.",
        counts: 'numbers',
        count: 5,
      },
      {
        rule: 'bound-holds',
        says: 'No plan beats what is proven to be the limit.',
        counts: 'numbers',
        count: 2,
      },
    ]);
  });
});

it('an activity of a file that names no place is told with none', () => {
  const { violations } = audit(compile(tinyWorld()), [
    { kind: 'circuit', bath: '2K', start: -5, end: 25 } as unknown as Activity,
  ]);
  expect(violations.map(({ rule, place }) => [rule, place])).toEqual([
    ['known-place', ''],
    ['within-horizon', ''],
  ]);
});

it('a duty that cannot be done is asked for from the start; on a day under way it is not, but twice is told', () => {
  const duties = [
    { id: 'D', minutes: 30, technicians: 2, slackMinutes: 0, times: ['01:00'] },
    { id: 'E', minutes: 30, slackMinutes: 0, times: ['03:00', '04:00'] },
  ];
  const problem = compile(tinyWorld({ duties }));
  const told = (now: number, plan: readonly Activity[]) => {
    const { violations, checked } = audit({ ...problem, now }, plan, { now });
    const found = violations.filter(({ rule }) => rule === 'duty-done-once');
    return [
      found.map(({ start, amount }) => [start, amount]),
      checked.find(({ rule }) => rule === 'duty-done-once')!.count,
    ];
  };
  const both = [duty('E', 180), duty('E', 240)];
  // One technician is there: D takes two.
  expect(told(0, both)).toEqual([[[60, 1]], 3]);
  expect(told(10, both)).toEqual([[], 2]);
  expect(told(10, [...both, duty('D', 60), duty('D', 60)])).toEqual([[[60, 1]], 3]);
});

it('a duty that may begin some minutes before its time is early only before these', () => {
  const from = compile(tinyWorld({ duties: [{ id: 'D', minutes: 30, slackMinutes: 5, times: ['01:00'] }] }));
  const problem = { ...from, duties: from.duties.map((one) => ({ ...one, early: 10 })) };
  const amounts = (start: number) =>
    audit(problem, [duty('D', 60, { start })]).violations.map(({ rule, amount }) => [rule, amount]);
  expect([49, 50, 65, 66].map(amounts)).toEqual([[['duty-in-time', 1]], [], [], [['duty-in-time', 1]]]);
});

it('water counts what is drawn from now on: what has ended is over, what is under way goes on', () => {
  const from = compile(
    tinyWorld({
      machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
      duties: [{ id: 'look', place: 'RO', times: ['01:00'], minutes: 30 }],
    }),
  );
  const capacities = [
    { from: 0, capacity: 1000 },
    { from: 100, capacity: 2000 },
  ];
  const problem = { ...from, water: [{ ...from.water[0]!, capacities }] };
  const drawn = (now: number, plan: readonly Activity[]) => {
    const { violations, history, checked } = audit({ ...problem, now }, plan, { now });
    const found = [...violations, ...history].filter(({ rule }) => rule === 'water-capacity');
    for (const { message } of found) expect(message).toContain('the 1000 mL/min that it gives');
    const { count } = checked.find(({ rule }) => rule === 'water-capacity')!;
    return [found.map(({ start, end, amount }) => [start, end, amount]), count];
  };
  const two = [circuit(0), circuit(10, '2K', 'M2')];
  expect(drawn(0, two)).toEqual([[[10, 30, 600]], 2]);
  expect(drawn(29, two)).toEqual([[[29, 30, 600]], 2]);
  expect(drawn(30, two)).toEqual([[], 1]);
  expect(drawn(40, two)).toEqual([[], 0]);
  // What a broken plan draws before the start is counted; duties that draw nothing, or that nobody knows, are not.
  expect(drawn(0, [circuit(-40)])).toEqual([[], 1]);
  const places = [{ water: 'RO' }, { machine: 'M1' }];
  const odd = places.flatMap((place) => [duty('look', 60, place), duty('Z', 60, place)]);
  expect(drawn(0, odd)).toEqual([[], 0]);
});
