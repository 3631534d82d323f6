import { describe, expect, it } from 'vitest';
import type { Activity } from '../../../src/plan/plan.ts';
import { explainActivity } from '../../../src/planner/plan.ts';
import { activityReasonTexts } from '../../../src/reports/activityReason.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, batch, bathChange, circuit, test, tinyWorld } from '../../world.ts';

/** One patient wants 3 bags in the opening round, 3 at 6:00 (360) and 2 at 18:00 (1080): see explain.test.ts. */
const patient = { id: 'bed-1', weight: 82, dose: 25, bath: '2K' };
const world = tinyWorld({ patients: [patient] });
const reason = (plan: readonly Activity[], index: number, scenario = world) =>
  explainActivity(compile(scenario), plan, plan[index]!);
const texts = (plan: readonly Activity[], index: number, scenario = world) =>
  activityReasonTexts(compile(scenario).clock, reason(plan, index, scenario));
const serves = (plan: readonly Activity[], index: number, scenario = world) =>
  reason(plan, index, scenario).serves.map(({ bath, at: minute, bags, litres }) => [
    bath,
    minute,
    bags,
    litres,
  ]);

describe('why a fill is here', () => {
  const plan = [circuit(0), ...batch(40)];

  it('its bags, its fill window, its time, its slack, its test', () => {
    expect(serves(plan, 1)).toEqual([
      ['2K', 360, 3, 19.5],
      ['2K', 1080, 2, 13],
    ]);
    expect(reason(plan, 1)).toMatchObject({
      // Its test holds to 240: a fill of 65 min begins by 176.
      latest: { later: 136, by: [{ kind: 'test', at: 241 }] },
      spareLitres: 19.5,
      fillWindow: { shortest: 65, longest: 75 },
      testEnded: 0,
      onShift: 1,
    });
  });

  it('in sentences', () =>
    expect(texts(plan, 1)).toEqual([
      'Its bags serve: 3 of 2K at Mon, Feb 3, 06:00; 2 of 2K at Mon, Feb 3, 18:00.',
      '19.5 L are left over, for the reserve or to expire.',
      'Begin it by Mon, Feb 3, 02:56, 2 h 16 min later than planned at most: no total chlorine test holds at 04:01.',
      'Its bags hold enough from Mon, Feb 3, 01:45, and the most they may at Mon, Feb 3, 01:55.',
      'It begins on the total chlorine test that ended at Mon, Feb 3, 00:00.',
    ]));

  it('that nobody needs', () => {
    const idle = tinyWorld();
    expect(reason(plan, 1, idle)).toMatchObject({ serves: [], spareLitres: 52 });
    expect(texts(plan, 1, idle)[0]).toBe('Its bags serve no bag round of this plan.');
  });
});

describe('why hands are wanted', () => {
  it('a swap: for its fill', () => {
    const plan = [circuit(0), ...batch(40), test(110)];
    expect(serves(plan, 2)).toEqual(serves(plan, 1));
    expect(reason(plan, 2)).toMatchObject({ testEnded: null, alongside: [plan[3]] });
    expect(texts(plan, 2).at(-1)).toBe(
      'Meanwhile technicians are also at: total chlorine test of RO. 1 technician on shift as it begins.',
    );
  });

  it('a circuit: for the fills on it', () => {
    const plan = [circuit(0), ...batch(40), ...batch(113), circuit(200), ...batch(230)];
    const found = reason(plan, 0);
    expect(found.fills).toEqual([plan[1], plan[3]]);
  });

  it('a bath change: for the fills up to the next one', () => {
    const plan = [
      circuit(0, '4K'),
      bathChange(30, '2K'),
      ...batch(40),
      bathChange(113, '4K'),
      ...batch(123, '4K'),
    ];
    expect(reason(plan, 1).fills).toEqual([plan[2]]);
    expect(reason(plan, 0).fills).toEqual([plan[2], plan[5]]);
  });

  it('a test: for what would run on untested water without it', () => {
    const untested = tinyWorld({
      patients: [patient],
      water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null }],
    });
    const plan = [test(0), circuit(10), ...batch(40), test(120)];
    expect(reason(plan, 0, untested).fills).toEqual([plan[2]]);
    expect(reason(plan, 2, untested).testEnded).toBe(10);
    expect(reason(plan, 4, untested)).toMatchObject({ fills: [] });
    expect(texts(plan, 4, untested)[0]).toBe('No fill depends on it.');
    // With a test before the start that serves to 240, the first one is not needed either.
    expect(reason(plan, 0).fills).toEqual([]);
  });
});

describe('until when', () => {
  it('what cannot wait says so first', () => {
    const plan = [circuit(10), ...batch(40)];
    expect(texts(plan, 0)).toContain(
      'Begin it at Mon, Feb 3, 00:10, no later: the next work on M1 then begins.',
    );
  });

  it('a swap: until its bags hold the most they may', () =>
    expect(texts([circuit(0), ...batch(40)], 2)).toContain(
      'Begin it by Mon, Feb 3, 01:55, 10 min later than planned at most: its bags then hold the most they may.',
    ));

  it('a test is told by its end', () => {
    const plan = [circuit(0), ...batch(200), test(220)];
    expect(texts(plan, 3)).toContain(
      'End it by Mon, Feb 3, 04:01, 11 min later than planned at most: no total chlorine test holds at 04:01.',
    );
  });
});

it('what another machine does with another source and bath changes nothing but who is at work meanwhile', () => {
  const machine = { flow: 800, positions: 8, water: 'RO', loaded: { bath: '4K', circuitSince: at(0) } };
  const source = { id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null };
  const apart = tinyWorld({
    patients: [patient],
    machines: [
      { ...machine, id: 'M2', water: 'W2', available: [{ from: at(5), to: at(1400) }] },
      { ...machine, id: 'M1' },
    ],
    water: [{ ...source, id: 'W2' }, source],
    rules: { circuitHours: 5 },
  });
  const mine = [
    test(5),
    bathChange(20, '2K'),
    ...batch(30),
    ...batch(110),
    ...batch(183, '2K'),
    circuit(400),
  ];
  const others = [
    test(0, 'W2'),
    test(24, 'W2'),
    circuit(25, '4K', 'M2'),
    ...batch(60, '4K', 'M2'),
    bathChange(140, '4K', 'M2'),
    ...batch(183, '4K', 'M2'),
    circuit(270, '4K', 'M2'),
  ];
  const all = [...others, ...mine].sort((a, b) => a.start - b.start);
  for (const [index, one] of mine.entries()) {
    const { latest: _, alongside, ...alone } = reason(mine, index, apart);
    const { latest: __, alongside: meanwhile, ...among } = reason(all, all.indexOf(one), apart);
    expect(among).toEqual(alone);
    const busy = all.filter(
      (other) => other !== one && other.kind !== 'fill' && other.start < one.end && other.end > one.start,
    );
    expect(alongside).toEqual([]);
    expect(new Set(meanwhile)).toEqual(new Set(busy));
  }
});
