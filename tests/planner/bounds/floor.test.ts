import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../../src/plan/cover.ts';
import type { Activity, Score } from '../../../src/plan/plan.ts';
import { boundsOf } from '../../../src/planner/bounds/bounds.ts';
import { circuitEndsBy, dutyMinutes, lessDuties, waterLeft } from '../../../src/planner/bounds/floor.ts';
import { roughHandsOn } from '../../../src/planner/bounds/roughBound.ts';
import { plan } from '../../../src/planner/plan.ts';
import { planByHand } from '../../../src/planner/schedule/byHand.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Lot, Problem } from '../../../src/scenario/problem/types.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { drawnFloor, stricter } from '../strictFloor.ts';
import { at, drawn, unit } from '../worlds.ts';

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

/** What a plan is worth by M14 to M22, counted here by another way than in the product: release, stock and hands by hand. */
function worth(problem: Problem, activities: readonly Activity[]): Score {
  const { rules, rounds, horizon, bagParts, partsPerLitre } = problem;
  const fills = activities.filter(({ kind }) => kind === 'fill');
  const made = lotsOfFills(problem, activities).map((lot, index): Lot => {
    const fill = fills[index]! as Extract<Activity, { machine: string }>;
    const released = fill.end + rules.swapMinutes + rules.releaseMinutes;
    if (!rules.releaseAfterTest) return { ...lot, ready: released };
    const machine = problem.machines.find(({ id }) => id === fill.machine)!;
    const tests = activities.flatMap((a) =>
      a.kind === 'test' && a.water === problem.water[machine.water]!.id && a.start >= fill.end ? [a] : [],
    );
    const first = tests.sort((a, b) => a.start - b.start)[0];
    return { ...lot, ready: Math.max(released, first?.end ?? Number.POSITIVE_INFINITY) };
  });
  const demand = demandOf(problem);
  const covered = cover(problem, demand, made);
  const unmet = covered.unmet.map((row) => [...row]);
  let stockShort = 0;
  problem.baths.forEach((_, bath) => {
    const left = covered.lots.map(({ bags, bagParts: size }) => bags * size);
    rounds.forEach(({ index, at: leaves }) => {
      for (const { lot, round, bath: of, parts } of covered.servings)
        if (round === index && of === bath) left[lot]! -= parts;
      const until = rounds[index + 1]?.to ?? horizon;
      const free = sum(
        covered.lots.map((lot, l) =>
          lot.bath === bath && lot.ready <= leaves && lot.expires >= until ? left[l]! : 0,
        ),
      );
      stockShort += Math.max(0, problem.minStock[bath]! * bagParts - free) / bagParts;
    });
  });
  const hands = activities.map(({ kind, start, end }) =>
    kind === 'fill' ? rules.fillStartMinutes : kind === 'duty' ? 0 : (end - start) * rules.hands[kind],
  );
  return {
    unmetLitres: sum(unmet.map(sum)) / partsPerLitre,
    unmetLitreHours:
      sum(unmet.flatMap((row) => row.map((parts, r) => parts * (horizon - rounds[r]!.at)))) /
      partsPerLitre /
      60,
    reserveShort: sum(covered.reserveShort) / bagParts + stockShort,
    handsOnMinutes: sum(hands),
    expiredBags: 0,
  };
}

test.each(Array.from({ length: 15 }, (_, index) => index))(
  'no plan of a floor beats the bound, eight worlds from %i',
  async (first) => {
    let below = 0;
    for (let seed = first * 8; seed < first * 8 + 8; seed++) {
      const problem = compile(drawnFloor(seed));
      const strict = stricter(problem);
      const plans = [planByHand(strict), (await plan(strict, { tries: 40, seed })).activities];
      for (const score of plans.map((activities) => worth(problem, activities))) {
        const bound = await boundsOf(problem, demandOf(problem), { allowed: score, iterations: 60 });
        expect(bound.remarks, `world ${seed}`).toEqual([]);
        expect(bound.unmetLitres, `world ${seed}`).toBeLessThanOrEqual(score.unmetLitres + 1e-6);
        expect(bound.handsOnMinutes, `world ${seed}`).toBeLessThanOrEqual(score.handsOnMinutes + 1e-6);
        expect(roughHandsOn(problem, demandOf(problem), score), `world ${seed}`).toBeLessThanOrEqual(
          score.handsOnMinutes + 1e-6,
        );
        if (bound.handsOnMinutes! > 0) below += 1;
      }
    }
    expect(below).toBeGreaterThan(0);
  },
);

/** One patient who runs a bag dry every hour from 19:00 on for a day: 24 bags for the round at 18:00 (see bounds.test.ts). */
const oneBed = (change: Partial<Scenario> = {}) =>
  compile(
    unit({
      days: 2,
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(720), until: at(2160) }],
      rules: { rounds: ['18:00'] },
      ...change,
    }),
  );
const least = async (problem: Problem) => boundsOf(problem, demandOf(problem));

test('each work counts its technicians, and a fill one at its start', async () => {
  // A test of 10 min, a circuit of 30, three swaps of 8 and three fill starts of 3.
  const hands = { circuit: 2, bath: 1, swap: 3, test: 1 };
  const rules = { rounds: ['18:00'], hands, fillStartMinutes: 3 };
  const shifts = [{ id: 'all day', from: '07:00', to: '07:00', technicians: 3 }];
  const { handsOnMinutes } = await least(oneBed({ rules, shifts }));
  expect(handsOnMinutes).toBe(10 + 2 * 30 + 3 * (3 * 8 + 3));
});

test('nothing is filled where a swap takes more than are there', async () => {
  const hands = { circuit: 1, bath: 1, swap: 2, test: 1 };
  expect((await least(oneBed({ rules: { rounds: ['18:00'], hands } }))).unmetLitres).toBe(24 * 6.5);
});

test('bags that go to tests are made besides', async () => {
  // 6 of 8 count: four fills for 24 bags. 30 + 4 x 73 = 322 min under two tests.
  const { handsOnMinutes } = await least(oneBed({ rules: { rounds: ['18:00'], sampleBags: 2 } }));
  expect(handsOnMinutes).toBe(2 * 10 + 30 + 4 * 8);
});

test('a source that gives nothing after 08:50 bears one fill by then', async () => {
  // Test to 07:10, circuit to 07:40, fill to 08:45; the next one would run at 08:50.
  const water = [
    {
      id: 'W',
      capacity: 9000,
      testEvery: 240,
      testMinutes: 10,
      capacityChanges: [{ at: at(110), capacity: 0 }],
    },
  ];
  expect((await least(oneBed({ water }))).unmetLitres).toBe(16 * 6.5);
});

test('a duty at the machine takes its time, wherever in its slack it begins', async () => {
  // The machine is there to 11:00, minute 240: three fills of 73 end by 259 only, two by 178. A duty of 60 min from
  // 08:00 to 08:20 on is under way from 08:20 to 09:00 for certain: a fill ends at 105 or begins at 120 or later.
  const machines = [
    { id: 'M1', flow: 800, positions: 8, water: 'W', available: [{ from: at(0), to: at(240) }] },
  ];
  const duties = [{ id: 'rinse', place: 'M1', times: ['08:00'], minutes: 60, slackMinutes: 20 }];
  expect((await least(oneBed({ machines }))).unmetLitres).toBe(8 * 6.5);
  expect((await least(oneBed({ machines, duties }))).unmetLitres).toBe(16 * 6.5);
});

test('what duties surely take', () => {
  const problem = oneBed({
    duties: [{ id: 'break', times: ['08:00'], minutes: 60, slackMinutes: 20, technicians: 1 }],
  });
  const { staff } = lessDuties(problem);
  expect([79, 80, 119, 120].map((t) => staff[t])).toEqual([1, 0, 0, 1]);
  // All of its 60 min lie in 60..140, of which 40 are in those minutes.
  expect(dutyMinutes(problem, { from: 0, to: 1440 })).toBe(20);
  expect(dutyMinutes(problem, { from: 0, to: 120 })).toBe(0);
  expect(dutyMinutes(problem, { from: 0, to: 125 })).toBe(5);
});

test('what a source has left: its changes, none while a duty is there, less what a machine’s duty draws', () => {
  const problem = oneBed({
    water: [
      {
        id: 'W',
        capacity: 2000,
        testEvery: 240,
        testMinutes: 10,
        capacityChanges: [{ at: at(100), capacity: 1500 }],
      },
    ],
    duties: [
      { id: 'loop', place: 'W', times: ['08:00'], dates: ['2031-02-03'], minutes: 10 },
      { id: 'rinse', place: 'M1', times: ['09:00'], dates: ['2031-02-03'], minutes: 10, flow: 400 },
    ],
  });
  const left = waterLeft(problem, 0);
  expect([0, 59, 60, 69, 70, 99, 100, 120, 129, 130].map((t) => left[t])).toEqual([
    2000, 2000, 0, 0, 2000, 2000, 1500, 1100, 1100, 1500,
  ]);
});

test('stock wanted after each round is made, where a plan must have it', async () => {
  // 24 bags for 18:00 on day one, and four in stock after it and after each other round: a fourth fill.
  const problem = oneBed({ rules: { rounds: ['18:00'], minStock: { A: 4 } } });
  const none = await boundsOf(problem, demandOf(problem), {
    allowed: { unmetLitres: 0, reserveShort: 4 },
  });
  const all = await boundsOf(problem, demandOf(problem), { allowed: { unmetLitres: 0, reserveShort: 12 } });
  // Before the opening round nothing can be made: four bags short there. Else 28 bags: four fills, two tests.
  expect(all.handsOnMinutes).toBe(64);
  expect(none.handsOnMinutes).toBe(2 * 10 + 30 + 4 * 8);
});

test('bags that wait for a test are there a test later', async () => {
  // The swap of 8 and release of 15 min end at 18:00 where the fill ends by 17:37; where the test takes 60 min, by 17:00.
  const water = [{ id: 'W', capacity: 9000, testEvery: 1440, testMinutes: 60, lastTest: at(0) }];
  const machines = [
    { id: 'M1', flow: 800, positions: 8, water: 'W', available: [{ from: at(505), to: at(650) }] },
  ];
  // Circuit to 535, fills to 600 and 673 (the window ends at 650): one fill, which ends at 17:00.
  const wait = { rounds: ['18:00'], releaseAfterTest: true };
  expect((await least(oneBed({ water, machines, rules: wait }))).unmetLitres).toBe(16 * 6.5);
  const later = [{ ...machines[0]!, available: [{ from: at(506), to: at(650) }] }];
  expect((await least(oneBed({ water, machines: later, rules: wait }))).unmetLitres).toBe(24 * 6.5);
});

/** A machine there to 12:06, with a duty of 10 min at 09:00 or up to `slackMinutes` later, and perhaps another one. */
const rinsed = (endsCircuit: boolean, slackMinutes = 0, more: { time: string; slack: number }[] = []) =>
  oneBed({
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', available: [{ from: at(0), to: at(306) }] }],
    duties: [{ time: '09:00', slack: slackMinutes }, ...more].map(({ time, slack }, n) => ({
      id: `rinse ${n}`,
      place: 'M1',
      times: [time],
      minutes: 10,
      slackMinutes: slack,
      endsCircuit,
    })),
  });

test('a circuit bears nothing behind a duty that takes it out', async () => {
  // On one circuit fills run from 40 to 105, 130 to 195 and 203 to 268: three swaps, a circuit, a test at least.
  expect((await least(rinsed(false))).handsOnMinutes).toBe(10 + 30 + 3 * 8);
  // The duty at 120 takes it out: another circuit to 160, fills to 225 and 298. Without the first one there are but two.
  expect((await least(rinsed(true))).handsOnMinutes).toBe(2 * 10 + 2 * 30 + 3 * 8);
});

test('what comes off as a duty begins still counts', async () => {
  // The second circuit's last swap ends at 306, 12:06: that is when another duty begins, or does at the latest.
  for (const more of [
    { time: '12:06', slack: 0 },
    { time: '11:46', slack: 20 },
  ]) {
    const { unmetLitres, handsOnMinutes } = await least(rinsed(true, 0, [more]));
    expect([unmetLitres, handsOnMinutes]).toEqual([0, 2 * 10 + 2 * 30 + 3 * 8]);
  }
  // A minute sooner each circuit bears one fill, and there is no time for a third one.
  expect((await least(rinsed(true, 0, [{ time: '12:05', slack: 0 }]))).unmetLitres).toBe(8 * 6.5);
});

test('when a duty has surely taken a circuit out', () => {
  const ends = circuitEndsBy(lessDuties(rinsed(true, 20)), 0);
  // In place by 09:00 on, it is out by 09:20; in place at 09:01 the duty may have been before it: the next is a day later.
  expect([0, 120, 121, 1560, 1561].map((t) => ends[t])).toEqual([140, 140, 1580, 1580, 2881]);
  expect(circuitEndsBy(lessDuties(rinsed(false)), 0)[0]).toBe(2881);
  expect(circuitEndsBy({ ...rinsed(true), now: 60 }, 0)[0]).toBe(2881);
});

test.each([0, 1, 2, 3])(
  'no plan beats the bound where duties take circuits out, eight worlds from %i',
  async (first) => {
    let taken = 0;
    for (let seed = first * 8; seed < first * 8 + 8; seed++) {
      const world = drawn(seed + 900, {
        days: 1,
        machines: 1 + (seed % 3),
        patients: 3 + (seed % 6),
        baths: 1 + (seed % 2),
      });
      const duties = world.machines.map(({ id }, n) => ({
        id: `rinse ${id}`,
        place: id,
        times: [`${String(9 + ((seed + n) % 8)).padStart(2, '0')}:20`],
        minutes: 20,
        slackMinutes: 10 * (seed % 3),
        endsCircuit: true,
      }));
      const problem = compile({ ...world, duties });
      const { activities } = await plan(problem, { tries: 60, seed });
      for (const score of [planByHand(problem), activities].map((made) => worth(problem, made))) {
        const bound = await boundsOf(problem, demandOf(problem), { allowed: score, iterations: 60 });
        expect(bound.unmetLitres, `world ${seed}`).toBeLessThanOrEqual(score.unmetLitres + 1e-6);
        expect(bound.handsOnMinutes, `world ${seed}`).toBeLessThanOrEqual(score.handsOnMinutes + 1e-6);
        if (bound.handsOnMinutes! > 0) taken += 1;
      }
    }
    expect(taken).toBeGreaterThan(0);
  },
);

test('planned on from within: nothing ends before now, but a fill under way may have begun before', async () => {
  // From minute 500 on, for 17:37, minute 637: a circuit under way is done at 500 at the earliest, then fills to 565 and 638.
  expect((await least({ ...oneBed(), now: 500 })).unmetLitres).toBe(16 * 6.5);
  // On a circuit that is in place a fill under way ends at 500 at the earliest, the next one at 573: 16 bags.
  const loaded = { bath: 'A', circuitSince: at(0) };
  const machines = [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded }];
  expect((await least({ ...oneBed({ machines }), now: 500 })).unmetLitres).toBe(8 * 6.5);
});

test('a plan of a day under way may leave a duty out: the bound counts none', () => {
  const whole = rinsed(true);
  const bare = (problem: Problem) => lessDuties({ ...problem, duties: [] });
  expect(lessDuties(whole).machines).not.toEqual(bare(whole).machines);
  const held = { ...whole, now: 60 };
  expect(lessDuties(held).machines).toEqual(bare(held).machines);
  expect(lessDuties(held).staff).toEqual(bare(held).staff);
  expect(dutyMinutes(held, { from: 0, to: held.horizon })).toBe(0);
});
