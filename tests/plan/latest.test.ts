import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { delayed, latestIn, latestOf } from '../../src/plan/latest.ts';
import { type Activity, inOrder, type Score } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import { planByHand } from '../../src/planner/schedule/byHand.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { drawnFloor, dutiesAtOnce, stricter } from '../planner/strictFloor.ts';
import { drawnProblem } from '../planner/worlds.ts';
import { at, batch, bathChange, circuit, swap, test, tinyWorld } from '../world.ts';

/** One patient wants 3 bags in the opening round, 3 at 6:00 (360) and 2 at 18:00 (1080): see explain.test.ts. */
const patient = { id: 'bed-1', weight: 82, dose: 25, bath: '2K' };
const latest = (activities: readonly Activity[], index: number, changes: Partial<Scenario> = {}) => {
  const { later, by } = latestOf(compile(tinyWorld({ patients: [patient], ...changes })), activities, index);
  return [later, ...by.map(({ kind, at: minute }) => `${kind} ${minute}`)];
};

describe('how late it can be', () => {
  it('a swap: until its bags hold the most they may, not until their bag round', () => {
    // A fill of 500 mL/min from 15:22 takes 104 to 120 min: its swap begins from 17:06 to 17:22, whenever its bags leave.
    const machines = [{ id: 'M1', flow: 500, positions: 8, water: 'RO' }];
    const water = [{ id: 'RO', capacity: 1600, testEvery: 1440, testMinutes: 10, lastTest: at(0) }];
    const plan = [circuit(880), ...batch(922, '2K', 'M1', 104)];
    expect(latest(plan, 2, { machines, water })).toEqual([16, 'fill window 1042']);
  });

  it('a swap that is already late: what is left of its window', () =>
    expect(latest([circuit(0), ...batch(40, '2K', 'M1', 72)], 2)).toEqual([3, 'fill window 115']));

  it('a test: until what runs would be on no test that holds', () => {
    // The first test holds to 240; the fill runs on from 200 to 265: it needs the next one to end by 241.
    const plan = [circuit(0), test(220), ...batch(200)].sort((a, b) => a.start - b.start);
    expect(latest(plan, 2)).toEqual([11, 'test 241']);
  });

  it('a test that nothing waits for: until its technician is wanted elsewhere', () =>
    expect(
      latest(
        [circuit(0), test(60), ...batch(40)].sort((a, b) => a.start - b.start),
        2,
      ),
    ).toEqual([35, 'technicians 105']));

  it('a circuit change: until the fill on it begins', () =>
    expect(latest([circuit(0), ...batch(40)], 0)).toEqual([10, 'next on the machine 40']));

  it('a fill: until its bags would come too late for a bag round', () =>
    // It ends at 105, its bags are ready at 128: 232 min before 360. Its test holds to 240: 136 min.
    expect(latest([circuit(0), ...batch(40)], 1)).toEqual([136, 'test 241']));

  it('a fill with tests enough: until its swap meets the next one', () =>
    expect(
      latest(
        [circuit(0), test(30), test(180), ...batch(40)].sort((a, b) => a.start - b.start),
        2,
      ),
    ).toEqual([
      // Its swap ends at 113, and the one technician tests at 180.
      67,
      'technicians 180',
    ]));

  it('a fill on a circuit near its end', () =>
    expect(
      latest([...batch(40)], 0, {
        machines: [
          { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(0) } },
        ],
        rules: { circuitHours: 2 },
      }),
    ).toEqual([7, 'circuit 120']));

  it('a fill on a machine that is unavailable later', () =>
    expect(
      latest([circuit(0), ...batch(40)], 1, {
        machines: [
          { id: 'M1', flow: 800, positions: 8, water: 'RO', available: [{ from: at(0), to: at(150) }] },
        ],
      }),
    ).toEqual([37, 'availability 150']));

  it('a fill before the shift ends: its swap needs somebody throughout', () =>
    expect(
      latest([circuit(0), ...batch(40)], 1, {
        shifts: [{ id: 'early', from: '00:00', to: '02:00', technicians: 1 }],
      }),
    ).toEqual([7, 'technicians 120']));

  it('a swap whose longer fill takes more concentrate than there is', () =>
    // 30 + 65 min at 0.8 L/min and 0.1 L/L: 7.6 L; 8 L are there, so 5 min more.
    expect(
      latest([circuit(0), ...batch(40)], 2, { supplies: [{ item: 'acid (L)', onHand: 8, perLitre: 0.1 }] }),
    ).toEqual([5, 'supply 40']));

  it('a fill beside another one: the water', () => {
    const machines = ['M1', 'M2'].map((id) => ({
      id,
      flow: 800,
      positions: 8,
      water: 'RO',
      loaded: { bath: '2K', circuitSince: at(0) },
    }));
    const water = [{ id: 'RO', capacity: 800, testEvery: 240, testMinutes: 10, lastTest: at(0) }];
    expect(latest([...batch(0), ...batch(80, '2K', 'M2')], 0, { machines, water })).toEqual([15, 'water 80']);
  });

  it('a bath change: until the fill', () =>
    expect(latest([circuit(0, '4K'), bathChange(35, '2K'), ...batch(50)], 1)).toEqual([
      5,
      'next on the machine 50',
    ]));

  it('nothing: what is broken stays broken, and no more is said than 0', () =>
    expect(latest([circuit(0), ...batch(40), swap(113)], 2)[0]).toBe(0));
});

describe('how late it can be, with the fields of the floor', () => {
  const duty = (start: number, more: object = {}): Activity =>
    ({ kind: 'duty', duty: 'rinse', at: 180, start, end: start + 20, ...more }) as Activity;
  const rinse = { id: 'rinse', times: ['03:00'], minutes: 20, slackMinutes: 30 };

  it('a duty: its slack', () =>
    expect(latest([circuit(0), duty(185)], 1, { duties: [rinse] })).toEqual([25, 'slack 210']));

  it('a duty at a machine: the next thing there; and what is before it: the duty', () => {
    const duties = [{ ...rinse, place: 'M1' }];
    const plan = [circuit(0), ...batch(40), duty(185, { machine: 'M1' }), ...batch(210)];
    expect(latest(plan, 3, { duties })).toEqual([5, 'next on the machine 210']);
    // A technician has 72 min from the swap's end on; its test holds longer.
    const tested = [{ id: 'RO', capacity: 1600, testEvery: 1440, testMinutes: 10, lastTest: at(0) }];
    expect(latest(plan, 1, { duties, water: tested })).toEqual([72, 'duty 185']);
  });

  it('a fill beside a duty at its source: it must be over as that begins', () => {
    const duties = [{ ...rinse, place: 'RO' }];
    expect(latest([circuit(0), ...batch(40), duty(185, { water: 'RO' })], 1, { duties })).toEqual([
      80,
      'duty 185',
    ]);
    // The other way round it waits for nobody.
    expect(latest([circuit(0), ...batch(40), duty(185, { water: 'RO' })], 3, { duties })).toEqual([
      25,
      'slack 210',
    ]);
  });

  it('a break takes the technician: a swap before it is over by then, with the walk to the break', () => {
    const duties = [{ ...rinse, technicians: 1 }];
    const plan = [circuit(0), ...batch(95), duty(180)];
    expect(latest(plan, 1, { duties })).toEqual([12, 'technicians 180']);
    expect(latest(plan, 1, { duties, rules: { walkMinutes: 2 } })).toEqual([10, 'technicians 178']);
  });

  it('a walk that a delay makes: the swap begins where the circuit change of another machine holds the technician', () => {
    const machines = ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' }));
    // Swap 105 to 113 at M1, then a walk of 3 min to M2's circuit at 116 to 146.
    const plan = [circuit(0), ...batch(40), circuit(116, '2K', 'M2')];
    expect(latest(plan, 2, { machines, rules: { walkMinutes: 3 } })).toEqual([0, 'technicians 113']);
  });

  it('a source that gives less from then on', () => {
    const water = [
      {
        id: 'RO',
        capacity: 1600,
        testEvery: 1440,
        testMinutes: 10,
        lastTest: at(0),
        capacityChanges: [{ at: at(120), capacity: 700 }],
      },
    ];
    expect(latest([circuit(0), ...batch(40)], 1, { water })).toEqual([15, 'water 120']);
  });

  it('a test that bags wait for: until their bag round', () => {
    const water = [{ id: 'RO', capacity: 1600, testEvery: 1440, testMinutes: 10, lastTest: at(0) }];
    // The bags are ready as the test ends, at 310; the round leaves at 360.
    const plan = [circuit(0), ...batch(40), test(300)];
    expect(latest(plan, 3, { water, rules: { releaseAfterTest: true } })).toEqual([50, 'round 360']);
    // And the fill: were it to end after the test has begun, no test would follow.
    expect(latest(plan, 1, { water, rules: { releaseAfterTest: true } })).toEqual([187, 'technicians 300']);
  });
});

const less = (before: Score, after: Score) =>
  (['unmetLitres', 'unmetLitreHours', 'reserveShort'] as const).some(
    (key) => after[key] - before[key] > 1e-9,
  );

/** How often each limit was the one. */
const seen = new Map<string, number>();
let floors = 0;
function holds(problem: Problem, activities: readonly Activity[], who: string): void {
  const before = audit(problem, activities);
  expect(before.violations, who).toEqual([]);
  const found = latestIn(problem, activities);
  activities.forEach((one, index) => {
    const { later, by, start, end } = found(index);
    const where = `${who}: ${one.kind} at ${one.start}, ${later} min later, ${JSON.stringify(by)}`;
    expect([start, end], where).toEqual([one.start + later, one.end + later]);
    expect(by.length, where).toBeGreaterThan(0);
    const then = audit(problem, delayed(activities, index, later));
    expect(then.violations, where).toEqual([]);
    expect(less(before.score, then.score), where).toBe(false);
    const over = audit(problem, delayed(activities, index, later + 1));
    expect(over.violations.length > 0 || less(before.score, over.score), where).toBe(true);
    for (const { kind } of by) seen.set(kind, (seen.get(kind) ?? 0) + 1);
  });
}

describe('to the minute: so much later keeps every rule and serves as much, one minute more does not', () => {
  it.each(Array.from({ length: 30 }, (_, seed) => seed))('drawn world %i', async (seed) => {
    const problem = drawnProblem(seed, {
      days: 1 + (seed % 2),
      machines: 1 + (seed % 4),
      patients: 2 + ((seed * 5) % 13),
      baths: 1 + (seed % 3),
    });
    holds(problem, (await plan(problem, { tries: 60, seed })).activities, 'planner');
    if (seed % 3 === 0) holds(problem, planByHand(problem), 'by hand');
  });

  it.each(Array.from({ length: 7 }, (_, n) => n * 5))('five drawn floors from %i', async (first) => {
    for (let seed = first; seed < first + 5; seed++) {
      const problem = compile(drawnFloor(seed));
      const made = await plan(stricter(problem), { tries: 40, seed });
      const activities = inOrder([...made.activities, ...dutiesAtOnce(problem)]);
      // Two duties of one source may be drawn for the same minutes where neither may be.
      if (audit(problem, activities).violations.length > 0) continue;
      floors += 1;
      holds(problem, activities, `floor ${seed}`);
    }
  });

  it('and each limit has been the one', () => {
    expect(floors).toBeGreaterThan(15);
    expect([...seen.keys()].sort()).toEqual(
      expect.arrayContaining([
        'circuit',
        'duty',
        'fill window',
        'next on the machine',
        'round',
        'slack',
        'technicians',
        'test',
        'water',
      ]),
    );
  });
});
