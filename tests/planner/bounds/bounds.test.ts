import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN, type Score } from '../../../src/plan/plan.ts';
import { bucketsOf } from '../../../src/planner/bounds/buckets.ts';
import { loadSolver } from '../../../src/planner/bounds/highs.ts';
import { mostOnLine } from '../../../src/planner/bounds/lines.ts';
import { plainBound, roughHandsOn } from '../../../src/planner/bounds/roughBound.ts';
import { fullSets } from '../../../src/planner/bounds/waterSets.ts';
import { plan, planByHand } from '../../../src/planner/plan.ts';
import { boundsOf } from '../../../src/planner/planner.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import { generate } from '../../bench/generate.ts';
import { at, chanceOf, drawnProblem, tinyGrid, unit } from '../worlds.ts';
import { exactOptimum } from './exact.ts';

const worth = (problem: Problem, activities: Parameters<typeof asPlan>[1]): Score =>
  asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 }).score;

/** Fails when a plan with this score beats the bound proven for it. */
async function holds(problem: Problem, score: Score, who: string, iterations = 100): Promise<void> {
  const { unmetLitres, handsOnMinutes, remarks } = await boundsOf(problem, demandOf(problem), {
    allowed: score,
    iterations,
  });
  expect(remarks, who).toEqual([]);
  expect(unmetLitres, `${who}: unmet litres`).toBeLessThanOrEqual(score.unmetLitres + 1e-6);
  expect(handsOnMinutes, `${who}: hands-on minutes`).toBeLessThanOrEqual(score.handsOnMinutes + 1e-6);
  expect(roughHandsOn(problem, demandOf(problem), score), `${who}: plain count`).toBeLessThanOrEqual(
    score.handsOnMinutes,
  );
  // What counting alone proves must hold for every plan, as what the solver proves.
  const plain = plainBound(problem, demandOf(problem), score);
  expect(plain.unmetLitres ?? 0, `${who}: litres by count`).toBeLessThanOrEqual(score.unmetLitres + 1e-6);
  expect(plain.handsOnMinutes ?? 0, `${who}: minutes by count`).toBeLessThanOrEqual(score.handsOnMinutes);
}

test('counting alone says nothing where it knows nothing, and never nothing where all is served', () => {
  const problem = drawnProblem(3, { days: 2, machines: 2, patients: 6, baths: 2 });
  const demand = demandOf(problem);
  const none = worth(problem, []);
  const served = { ...none, unmetLitres: 0, unmetLitreHours: 0, handsOnMinutes: 300 };
  // Without any plan bags are wanted that a fill could serve: nothing is proven of them, and no work is needed for none.
  expect(none.unmetLitres).toBeGreaterThan(0);
  expect(plainBound(problem, demand, none).unmetLitres).toBeNull();
  expect(plainBound(problem, demand, none).handsOnMinutes).toBe(0);
  expect(plainBound(problem, demand, served).unmetLitres).toBe(0);
  expect(plainBound(problem, demand, served).handsOnMinutes).toBeGreaterThan(0);
});

test.each(Array.from({ length: 12 }, (_, seed) => seed))(
  'no plan that we can make beats the bound, world %i',
  async (seed) => {
    const problem = drawnProblem(seed, {
      days: 1 + (seed % 3),
      machines: 1 + (seed % 4),
      patients: 2 + ((seed * 7) % 13),
      baths: 1 + (seed % 3),
    });
    await holds(problem, worth(problem, planByHand(problem)), 'by hand');
    for (const whim of [1, 2])
      await holds(problem, worth(problem, planByHand(problem, chanceOf(seed * 10 + whim))), `whim ${whim}`);
    await holds(problem, (await plan(problem, { tries: 200 })).score, 'planner');
  },
);

test.each(Array.from({ length: 16 }, (_, index) => 200 + index))(
  'nor the bound of a longer search, world %i',
  async (seed) => {
    const problem = drawnProblem(seed, {
      days: 1 + (seed % 4),
      machines: 1 + (seed % 5),
      patients: 2 + ((seed * 7) % 17),
      baths: 1 + (seed % 3),
    });
    await holds(problem, worth(problem, planByHand(problem)), 'by hand', 3000);
    await holds(problem, (await plan(problem, { tries: 300, seed })).score, 'planner', 3000);
  },
);

// Solved to proof in a second or two each: one and two machines, one and two baths, with shortage and reserve and without.
test.each([12, 13, 16, 18, 20, 21, 22])(
  'the bound lies at or below the proven optimum of tiny world %i, and no plan beats that',
  async (seed) => {
    const problem = compile(tinyGrid(seed));
    const demand = demandOf(problem);
    const best = exactOptimum(problem, demand, await loadSolver());
    const bound = await boundsOf(problem, demand, { allowed: best });
    expect(bound.unmetLitres).toBeLessThanOrEqual(best.unmetLitres + 1e-6);
    expect(bound.handsOnMinutes).toBeLessThanOrEqual(best.handsOnMinutes + 1e-6);
    expect(roughHandsOn(problem, demand, best)).toBeLessThanOrEqual(best.handsOnMinutes);
    for (const score of [worth(problem, planByHand(problem)), (await plan(problem, { tries: 400 })).score]) {
      expect(score.unmetLitres).toBeGreaterThanOrEqual(best.unmetLitres - 1e-6);
      if (score.unmetLitres > best.unmetLitres + 1e-6) continue;
      expect(score.reserveShort).toBeGreaterThanOrEqual(best.reserveShort - 1e-6);
      if (score.reserveShort > best.reserveShort + 1e-6) continue;
      expect(score.handsOnMinutes).toBeGreaterThanOrEqual(best.handsOnMinutes);
    }
  },
);

// Circuits of two days and of half a day, bags of a day: what a circuit bears depends on when it was put in.
test.each(
  Array.from(
    { length: 8 },
    (_, index) => [index + 1, [12, 24, 48][index % 3]!, [24, 36][index % 2]!] as const,
  ),
)(
  'no machine of a plan makes more with its circuits than its line is said to, week %i, circuits of %i h, bags of %i h',
  async (seed, circuitHours, shelfHours) => {
    const week = generate({ kind: 'week', seed, load: 0.9, variety: 0.6, nightTechnicians: seed % 2 });
    const problem = compile({ ...week, rules: { ...week.rules, circuitHours, shelfHours } });
    const buckets = bucketsOf(problem, demandOf(problem));
    const { activities } = await plan(problem, { tries: 300, seed });
    let full = 0;
    problem.machines.forEach(({ id }, m) => {
      if (!buckets.reach[m]) return;
      const within = (kind: string, after: number, until: number) =>
        activities.filter(
          (a) => a.kind === kind && 'machine' in a && a.machine === id && a.end > after && a.end <= until,
        ).length;
      buckets.cuts.forEach((after, from) => {
        const line = mostOnLine(problem, buckets, m, from);
        for (let to = from + 1; to < buckets.cuts.length; to++) {
          const most = line(to);
          const [fills, circuits] = ['fill', 'circuit'].map((kind) => within(kind, after, buckets.cuts[to]!));
          const bears = most[Math.min(circuits!, most.length - 1)]!;
          expect(fills, `${id}, ${after} to ${buckets.cuts[to]}, ${circuits} circuits`).toBeLessThanOrEqual(
            bears,
          );
          if (fills === bears && bears > 0) full += 1;
        }
      });
    });
    // It says no more than there is: often just that much is made.
    expect(full).toBeGreaterThan(0);
  },
);

/** One patient who runs a bag dry every 3 h from 13:00 on for a day: 6.5 L at 26 mL/kg/h x 83.333 kg. */
const oneBed = unit({
  days: 2,
  patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(720), until: at(2160) }],
  rules: { rounds: ['18:00'] },
});

test('bound of one bed, counted by hand', async () => {
  const problem = compile(oneBed);
  const demand = demandOf(problem);
  // 6.5 L/h: a bag an hour from 19:00 (minute 720) to 19:00 the next day = 24 bags, all of them the 18:00 round's.
  expect(demand.bags).toEqual([[0, 24, 0]]);
  const { unmetLitres, handsOnMinutes } = await boundsOf(problem, demand);
  expect(unmetLitres).toBe(0);
  // Three fills of 8 bags: a test, a circuit, three swaps. 10 + 30 + 3 x 8 min, since one test serves 241 min and
  // circuit, three fills of 65 min and the swaps between take 30 + 3 x 65 + 2 x 8 = 241 min.
  expect(handsOnMinutes).toBe(64);
});

test('the plain count of one bed, by hand', () => {
  const counted = (change: Partial<typeof oneBed>, unmetLitres = 0, reserveShort = 0) => {
    const problem = compile({ ...oneBed, ...change });
    return roughHandsOn(problem, demandOf(problem), { unmetLitres, reserveShort });
  };
  // A circuit of 24 h bears 19 fills, floor((1440 - 30) / 73). A bag takes an eighth of a swap, of a 19th of a circuit and
  // of 65 / 241 of a test: (8 + 1.579 + 2.697) / 8 = 1.534 min; 24 bags 36.8 min. All comes in steps of 2 min.
  expect(counted({})).toBe(38);
  // Two bags unmet: 22 x 1.534 = 33.8 min. Eight more wanted in reserve: 32 x 1.534 = 49.1; half of them missing 43.0.
  expect(counted({}, 13)).toBe(34);
  expect(counted({ rules: { ...oneBed.rules, reserve: { A: 8 } } })).toBe(50);
  expect(counted({ rules: { ...oneBed.rules, reserve: { A: 8 } } }, 0, 4)).toBe(44);
  // A circuit of 20 h ago bears three fills more, 3 x 1.579 = 4.7 min; a test done before, 10 min: 36.8 - 4.7, 36.8 - 10.
  const loaded = { bath: 'A', circuitSince: at(-1200) };
  expect(counted({ machines: [{ ...oneBed.machines[0]!, loaded }] })).toBe(34);
  expect(counted({ water: [{ ...oneBed.water[0]!, lastTest: at(-5) }] })).toBe(28);
  // Stock of 24 bags: nothing to make.
  const stock = [{ lot: 'S', bath: 'A', bags: 24, litres: 6.5, ready: null, expires: at(4000) }];
  expect(counted({ stock })).toBe(0);
});

test('bound of three days with nobody from 15:00 on, counted by hand', async () => {
  // 24 bags for each 18:00 round (6.5 L/h, as above).
  const problem = compile(
    unit({
      days: 4,
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(720), until: at(720 + 3 * 1440) }],
      shifts: [{ id: 'day', from: '07:00', to: '15:00', technicians: 1 }],
      rules: { rounds: ['18:00'], shelfHours: 34 },
    }),
  );
  const demand = demandOf(problem);
  expect(demand.bags).toEqual([[0, 24, 24, 24, 0]]);
  const { unmetLitres, handsOnMinutes } = await boundsOf(problem, demand);
  expect(unmetLitres).toBe(0);
  // A fill that ends by 15:00 is good until 01:00 on the second night, a round's bags hang until 19:00 the day after: so
  // each round's three fills are of its own day, and each day has its test. A circuit put in at 10:51 bears that day's
  // fills (30 + 3 x 73 min, to 15:00) and the next day's (07:10 to 10:49), but no third day's: 3 x (10 + 3 x 8) + 2 x 30.
  expect(handsOnMinutes).toBe(162);
});

test('whole sets: 17 bags are three sets of 8, though two sets and a bag would do', async () => {
  // 6.5 L/h for 17 h: 17 bags, none of them before 19:00.
  const problem = compile(
    unit({
      ...oneBed,
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(720), until: at(720 + 17 * 60) }],
    }),
  );
  const demand = demandOf(problem);
  expect(demand.bags.flat().reduce((a, b) => a + b, 0)).toBe(17);
  expect((await boundsOf(problem, demand)).handsOnMinutes).toBe(64);
});

/** A bed of 100 kg; a dose of 65 mL/kg/h takes 6.5 L/h, a bag an hour. */
const bed = (bath: string, hours: number, dose = 65, from = 720) => ({
  id: `bed-${bath}`,
  weight: 100,
  dose,
  bath,
  from: at(from),
  until: at(from + hours * 60),
});

test('whole circuits: half of one for each of two baths is none, so the second bath takes a bath change', async () => {
  // 6.5 L/h for 8 h from 19:00 on, of each bath: one set of 8 bags each.
  const problem = compile(
    unit({ ...oneBed, baths: [{ id: 'A' }, { id: 'B' }], patients: [bed('A', 8), bed('B', 8)] }),
  );
  expect(demandOf(problem).bags.map((bags) => bags[1])).toEqual([8, 8]);
  // A test, a circuit with one bath, a bath change, two swaps: 10 + 30 + 10 + 2 x 8 min, all within 241 min.
  expect((await boundsOf(problem, demandOf(problem))).handsOnMinutes).toBe(66);
});

test('a circuit for the last hour counts as a whole one, on each machine', async () => {
  // Circuits of 4 h bear two fills: 30 + 2 x 73 min, a third would end its swap at 249. From 07:10 to 17:52, minute 652, a
  // machine does with three of them six fills, with a fourth one more: set-ups end at 40, 216, 392, 568, fills at 105, 178,
  // 281, 354, 457, 530, 633. 112 bags for the round at 18:00 are 14 fills, so seven on each machine and four circuits.
  const machines = ['M1', 'M2'].map((id) => ({ ...oneBed.machines[0]!, id }));
  const problem = compile(
    unit({
      ...oneBed,
      machines,
      water: [{ id: 'W', capacity: 9000, testEvery: 720, testMinutes: 10 }],
      shifts: [{ id: 'all day', from: '07:00', to: '07:00', technicians: 2 }],
      patients: [24, 24, 24, 24, 16].map((hours, n) => ({ ...bed('A', hours), id: `bed-${n}` })),
      rules: { rounds: ['18:00'], circuitHours: 4 },
    }),
  );
  expect(wantedBags(problem)).toEqual([112]);
  expect((await plan(problem, { tries: 500 })).score).toMatchObject({ unmetLitres: 0, handsOnMinutes: 362 });
  // A test, eight circuits, fourteen swaps.
  expect((await boundsOf(problem, demandOf(problem))).handsOnMinutes).toBe(10 + 8 * 30 + 14 * 8);
});

test('each bath is brought on as often as its fills take: a circuit that two baths share bears no more for it', async () => {
  // 13 L/h for 16 h from 19:00 on the second day, of each bath: 32 bags, four fills of 65 min.
  const problem = compile(
    unit({
      days: 4,
      baths: [{ id: 'A' }, { id: 'B' }],
      patients: [bed('A', 16, 130, 2160), bed('B', 16, 130, 2160)],
      rules: { rounds: ['18:00'], circuitHours: 5 },
    }),
  );
  expect(demandOf(problem).bags.map((bags) => bags.reduce((a, b) => a + b, 0))).toEqual([32, 32]);
  // A circuit bears three fills (30 + 3 x 73 min of 300): three circuits for eight, but a bath's fourth fill is on a
  // second one, so two of each bath or a change; three tests for 3 x 30 + 10 + 8 x 73 = 684 min. 30 + 90 + 10 + 8 x 8.
  expect((await boundsOf(problem, demandOf(problem))).handsOnMinutes).toBe(194);
});

test('a test serves no more fills than fit between two nights without staff', async () => {
  // 80 bags of 6.5 L from the third evening on: ten fills, on a circuit that is there.
  const problem = compile(
    unit({
      days: 5,
      machines: [{ ...oneBed.machines[0]!, loaded: { bath: 'A', circuitSince: at(0) } }],
      patients: [bed('A', 16, 325, 3600)],
      shifts: [{ id: 'day', from: '07:00', to: '14:00', technicians: 1 }],
      rules: { rounds: ['18:00'], circuitHours: 96 },
    }),
  );
  expect(demandOf(problem).bags[0]!.reduce((a, b) => a + b, 0)).toBe(80);
  // Three tests in a row would serve ten fills (731 of 73 min), but from 07:10 to 18:00 only nine fit: three a test.
  // So at least 10 / 3 tests even without whole numbers: 33.3 + 10 x 8 min, in steps of 2.
  const relaxed = await boundsOf(problem, demandOf(problem), { iterations: 0 });
  expect(relaxed.handsOnMinutes).toBe(114);
});

test('a round that nothing can reach stays unmet in the bound, litre by litre', async () => {
  const late = compile(
    unit({
      ...oneBed,
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(0), until: at(1440) }],
      stock: [{ lot: 'S', bath: 'A', bags: 5, litres: 5 }],
    }),
  );
  const demand = demandOf(late);
  // 12 bags hang before the first round can help (78 L); 25 L of stock are there.
  expect(demand.bags).toEqual([[12, 12, 0]]);
  const { unmetLitres } = await boundsOf(late, demand);
  expect(unmetLitres).toBe(53);
});

test('whole circuits count in litres too: one circuit is for one of two machines', async () => {
  // 6.5 L/h for 20 h from 19:00 on, of each bath: 20 bags each, and each bath has a machine of its own.
  const machine = (bath: string) => ({ ...oneBed.machines[0]!, id: `M-${bath}`, baths: [bath] });
  const problem = compile(
    unit({
      ...oneBed,
      baths: [{ id: 'A' }, { id: 'B' }],
      patients: [bed('A', 20), bed('B', 20)],
      machines: [machine('A'), machine('B')],
      supplies: [{ item: 'circuit', onHand: 1, perCircuit: 1 }],
    }),
  );
  const demand = demandOf(problem);
  const allowed = { unmetLitres: 130, reserveShort: 0 };
  // Half a circuit on each machine bears 20 bags: without whole numbers nothing is short.
  expect((await boundsOf(problem, demand, { allowed, iterations: 0 })).unmetLitres).toBe(0);
  expect((await boundsOf(problem, demand, { allowed })).unmetLitres).toBe(130);
  expect((await plan(problem, { tries: 200 })).score.unmetLitres).toBe(130);
});

/** Bags of bath A that rounds want, without those that want none. */
const wantedBags = (problem: Problem) => demandOf(problem).bags[0]!.filter((bags) => bags > 0);

/** No plan leaves less unmet than this, and ours no more. */
async function leaves(problem: Problem, litres: number): Promise<void> {
  const { score } = await plan(problem, { tries: 200 });
  expect(score.unmetLitres).toBe(litres);
  expect((await boundsOf(problem, demandOf(problem), { allowed: score })).unmetLitres).toBe(litres);
}

test('a round is served by no fill that would have to end while nobody is on shift', async () => {
  // Eight bags for 07:00 to 19:00 of the third day, from the round at 06:00: with 24 h of shelf life a fill has to end at
  // 19:00 of the day before or later, and the shift ends then. Those for the night before can be made that day.
  const problem = compile(
    unit({
      ...oneBed,
      days: 4,
      patients: [bed('A', 8, 65, 2880), { ...bed('A', 8, 65, 2160), id: 'bed-night' }],
      shifts: [{ id: 'day', from: '07:00', to: '19:00', technicians: 1 }],
      rules: { rounds: ['06:00', '18:00'], shelfHours: 24 },
    }),
  );
  expect(wantedBags(problem)).toEqual([8, 8]);
  await leaves(problem, 52);
});

test('what is delivered as the shift ends fills nothing before the next one', async () => {
  // 16 bags for the round at 06:00 on the second day; the second bag set comes at 19:00, when the last one goes home.
  const problem = compile(
    unit({
      ...oneBed,
      days: 3,
      patients: [bed('A', 16, 65, 1440)],
      shifts: [{ id: 'day', from: '07:00', to: '19:00', technicians: 1 }],
      supplies: [
        { item: 'bag set', onHand: 1, perFill: 1, deliveries: [{ at: '2031-02-03T19:00', quantity: 1 }] },
      ],
      rules: { rounds: ['06:00'] },
    }),
  );
  expect(wantedBags(problem)).toEqual([16]);
  await leaves(problem, 52);
});

describe('what had begun before a delivery came takes nothing of it', () => {
  // 40 bags for the round at 06:00 on the second day, minute 1380. One bag set is there, more come at minute 1200.
  const awaiting = (machines = oneBed.machines) =>
    compile(
      unit({
        ...oneBed,
        days: 3,
        machines,
        patients: [bed('A', 20, 130, 1440)],
        supplies: [{ item: 'bag set', onHand: 1, perFill: 1, deliveries: [{ at: at(1200), quantity: 20 }] }],
        rules: { rounds: ['06:00'] },
      }),
    );

  test('one fill before, then fills that end at 1265 and 1338, and none by 1372: 16 of 40 bags are missing', async () => {
    expect(wantedBags(awaiting())).toEqual([40]);
    await leaves(awaiting(), 16 * 6.5);
  });

  test('each kind of machine waits as long as its fills take', async () => {
    // 4 x 6.5 L at 260 mL/min are 100 min: one fill, that ends at 1300, by 1372. 1 + 2 of 8 bags and one of 4 are 28.
    const slow = { id: 'M2', flow: 260, positions: 4, water: 'W' };
    await leaves(awaiting([...oneBed.machines, slow]), 12 * 6.5);
  });
});

test('water for one of two machines: a day bears whole fills, one after the other', async () => {
  // 56 bags from the second evening on: seven fills of 8 x 6.5 L at 500 mL/min, 104 min each. From 07:10, after the test,
  // to 14:00 there are 410 min: three fills a day on whichever machine, so one of seven is missing after two days.
  const machine = { ...oneBed.machines[0]!, flow: 500, loaded: { bath: 'A', circuitSince: at(0) } };
  const problem = compile(
    unit({
      ...oneBed,
      days: 4,
      patients: [bed('A', 16, 227.5, 2160)],
      machines: [machine, { ...machine, id: 'M2' }],
      water: [{ ...oneBed.water[0]!, capacity: 800 }],
      shifts: [{ id: 'day', from: '07:00', to: '14:00', technicians: 1 }],
      rules: { rounds: ['18:00'], circuitHours: 96 },
    }),
  );
  expect(wantedBags(problem)).toEqual([56]);
  await leaves(problem, 52);
});

test('whatever runs at one time is part of a set that the water has no more room beside', () => {
  const flows = fc.array(
    fc.record({ flow: fc.constantFrom(300, 500, 600, 800), count: fc.integer({ min: 1, max: 4 }) }),
    {
      minLength: 1,
      maxLength: 3,
    },
  );
  fc.assert(
    fc.property(flows, fc.integer({ min: 200, max: 3200 }), (kinds, capacity) => {
      const sets = fullSets(
        kinds.map(({ flow, count }) => ({ flow, machines: Array.from({ length: count }, (_, m) => m) })),
        capacity,
      )!;
      const draw = (set: readonly number[]) => set.reduce((sum, n, k) => sum + n * kinds[k]!.flow, 0);
      for (const set of sets) {
        expect(draw(set)).toBeLessThanOrEqual(capacity);
        set.forEach((n, k) => {
          if (n < kinds[k]!.count) expect(draw(set) + kinds[k]!.flow).toBeGreaterThan(capacity);
        });
      }
      const all = kinds.reduce<number[][]>(
        (some, { count }) => some.flatMap((set) => Array.from({ length: count + 1 }, (_, n) => [...set, n])),
        [[]],
      );
      for (const set of all.filter((one) => draw(one) <= capacity))
        expect(sets.some((full) => set.every((n, k) => n <= full[k]!))).toBe(true);
    }),
    { numRuns: 200, seed: 1 },
  );
});

/** Two machines with circuits in place, of which the water serves one at a time. */
const inTurns = (second: object, hours: number, rules: object) =>
  compile(
    unit({
      ...oneBed,
      days: 3,
      patients: [bed('A', hours, 260)],
      machines: [{}, second].map((machine, n) => ({
        id: `M${n + 1}`,
        flow: 800,
        positions: 8,
        water: 'W',
        loaded: { bath: 'A', circuitSince: at(0) },
        ...machine,
      })),
      water: [{ ...oneBed.water[0]!, capacity: 800 }],
      rules: { ...oneBed.rules, ...rules },
    }),
  );

test('what a machine leaves of the water is of no use to one that wants more', async () => {
  // 76 bags by 17:46, so what ends by 17:30 (swap 1 min, release 15): 620 min after the first test. M1 fills 8 bags in 65 min
  // and no more than nine times (9 x 65 + 8 swaps); then there is time for one fill of 2 bags in 26 min on M2, whose
  // 500 mL/min do not go beside M1's 800. By litres alone, 620 min x 800 mL/min would bear two.
  const problem = inTurns({ flow: 500, positions: 2 }, 19, { rounds: ['17:46'], swapMinutes: 1 });
  expect(wantedBags(problem)).toEqual([76]);
  await leaves(problem, 13);
});

test('where one machine runs at a time, its swaps take time unless another one follows', async () => {
  // 72 bags in 627 min. M1 fills eight times (8 x 65 + 7 x 8 = 576 min). Eight fills on M1 and one of 104 min on M2 would
  // take 624 min, and six swaps between fills of M1 that nothing hides 48 more.
  const problem = inTurns({ flow: 500 }, 18, {});
  expect(wantedBags(problem)).toEqual([72]);
  await leaves(problem, 52);
});

test('where machines take turns, the life of a circuit passes while the other one fills', async () => {
  // 48 bags by 15:08, so in 455 min after the test, with two circuits of 252 min: each bears three fills (30 + 3 x 73 min)
  // and no wait between them. One after the other take 30 + 211 min each, 482 in all; six fills that hide each other's
  // swaps would take 60 + 6 x 65 = 450, but only on circuits that live longer.
  const problem = compile(
    unit({
      ...oneBed,
      days: 3,
      patients: [bed('A', 12, 260)],
      machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'W' })),
      water: [{ ...oneBed.water[0]!, capacity: 800 }],
      supplies: [{ item: 'circuit', onHand: 2, perCircuit: 1 }],
      rules: { rounds: ['15:08'], circuitHours: 4.2 },
    }),
  );
  expect(wantedBags(problem)).toEqual([48]);
  await leaves(problem, 52);
});

/** Bags for the second day by bath, which last 24 h, and a few for the night before. */
const ofOneNight = (baths: readonly string[]) =>
  compile(
    unit({
      ...oneBed,
      days: 3,
      baths: baths.map((id) => ({ id })),
      patients: [
        bed('A', 12),
        ...[0, 1].map((n) => ({ ...bed(baths[n % baths.length]!, 10, 260, 1440), id: `day-${n}` })),
      ],
      rules: { rounds: ['06:00', '18:00'], shelfHours: 24 },
    }),
  );

test('what ends between two rounds serves neither where bags last no longer', async () => {
  // 80 bags for 07:00 to 19:00 of the second day: good for 24 h, so they end from 19:00 on, and at 05:37 at the latest. Nine
  // fills of 65 min and their swaps end in these 637 min; what ends between 17:37 and 19:00 is for nobody.
  const problem = ofOneNight(['A']);
  expect(demandOf(problem).bags[0]!.slice(0, 3)).toEqual([0, 12, 80]);
  await leaves(problem, 52);
});

test('whole fills of all baths together fit into a stretch', async () => {
  // The same with 40 bags each of two baths: five fills and five more, of which nine can end.
  const problem = ofOneNight(['A', 'B']);
  expect(demandOf(problem).bags.map((bags) => bags[2])).toEqual([40, 40]);
  await leaves(problem, 52);
});

test('whole sets for each day where bags last no longer', async () => {
  // As with nobody from 15:00 on, above, but 17 bags for each round instead of 24: three sets each all the same.
  const problem = compile(
    unit({
      days: 4,
      patients: [0, 1, 2].map((day) => ({ ...bed('A', 17, 65, 720 + day * 1440), id: `bed-${day}` })),
      shifts: [{ id: 'day', from: '07:00', to: '15:00', technicians: 1 }],
      rules: { rounds: ['18:00'], shelfHours: 34 },
    }),
  );
  expect(demandOf(problem).bags).toEqual([[0, 17, 17, 17, 0]]);
  expect((await boundsOf(problem, demandOf(problem))).handsOnMinutes).toBe(162);
});

test('same problem, same bound', async () => {
  const problem = drawnProblem(5, { days: 3, machines: 3, patients: 12, baths: 3 });
  const [a, b] = [
    await boundsOf(problem, demandOf(problem), { iterations: 100 }),
    await boundsOf(problem, demandOf(problem), { iterations: 100 }),
  ];
  expect(a).toEqual(b);
});
