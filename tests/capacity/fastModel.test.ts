import { describe, expect, test } from 'vitest';
import { type Draw, emptyDraw, groundOf } from '../../src/capacity/draws/draw.ts';
import { CAUSES } from '../../src/capacity/model/causes.ts';
import { FastModel } from '../../src/capacity/model/fastModel.ts';
import { countFills, emptyWork } from '../../src/capacity/model/fills.ts';
import { usableFlow } from '../../src/capacity/model/flow.ts';
import { cutWindows } from '../../src/capacity/model/machines.ts';
import { emptyOutcome } from '../../src/capacity/model/serving.ts';
import { supplyNeed } from '../../src/capacity/model/supplies.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { emptySite } from './worlds.ts';

const DAYS = 2;
/** One machine for two days, rounds at 06:00 and 18:00; the draw's needs are typed. */
function world(
  changes: Partial<Scenario>,
  needs: readonly (readonly [bath: number, round: number, bags: number])[],
  most = 4,
) {
  const ground = groundOf({ ...emptySite({ days: DAYS, startsPerDay: 0 }), ...changes });
  const draw: Draw = emptyDraw(ground, most);
  const rounds = ground.problem.rounds.length;
  for (const [bath, round, bags] of needs) draw.need[bath * rounds + round] = bags;
  return { ground, draw, most };
}
function judged(changes: Partial<Scenario>, needs: readonly (readonly [number, number, number])[], most = 4) {
  const { ground, draw } = world(changes, needs, most);
  const outcomes = Array.from({ length: most }, emptyOutcome);
  new FastModel(ground.problem, most).judge(draw, outcomes);
  return outcomes.map(({ bagsShort, cause }) => ({ short: bagsShort, cause: CAUSES[cause] }));
}

test('of bags that keep for a short time all baths together get no more than one alone', () => {
  // A round a day, and bags that keep for 36 h: only what is filled in the last hours before it is good for all it covers.
  const changes = {
    baths: [{ id: '2K' }, { id: '4K' }],
    rules: { rounds: ['18:00'], shelfHours: 30 },
  };
  const short = (...bags: number[]) =>
    judged(
      changes,
      bags.map((count, bath) => [bath, 1, count] as const),
      1,
    )[0]!.short > 0.01;
  let most = 0;
  while (!short(most + 8)) most += 8;
  // Without the limit of shelf life the machine has some 110 bags ready by then.
  expect(most).toBeGreaterThan(8);
  expect(most).toBeLessThan(80);
  expect(short(most, most)).toBe(true);
  expect(short(8 * Math.ceil(most / 16) + 8, 8 * Math.ceil(most / 16) + 8)).toBe(true);
});

describe('one machine: 8 bags in 65 min, 8 min to swap, 15 min to release, 30 min for a circuit', () => {
  // From midnight to 05:45: circuit 30, then 73 a fill: (345 - 30) / 73 = 4 fills by the round at 06:00.
  const { ground } = world({}, []);
  const counts = emptyWork(ground.problem.rounds.length);
  const machine = ground.problem.machines[0]!;
  const pace = {
    rules: ground.problem.rules,
    source: ground.problem.water[0]!,
    wait: 0,
    later: 0,
    open: [0, DAYS * 1440],
    duties: [],
    deadlines: ground.problem.rounds.map(({ at, index }) =>
      index === 0 ? Number.NEGATIVE_INFINITY : at - 15,
    ),
  };

  test('fills ready for each round, a new circuit after 24 h', () => {
    countFills(machine, machine.windows, pace, counts);
    // By 18:00: (1065 - 30) / 73 = 14.2, so 10 more. First circuit: (1440 - 30) / 73 = 19.3 fills, until 1417; the next
    // from 1417 + 30: by 06:00 (1785) 4 more, so 19 + 4 - 14 = 9.
    expect([...counts.fills]).toEqual([0, 4, 10, 9, 10]);
    expect([...counts.circuits]).toEqual([0, 1, 0, 1, 0]);
    expect([counts.wornCircuits, counts.wornFills]).toEqual([1, 19]);
  });

  test('nothing without a technician, nothing in a breakdown', () => {
    countFills(machine, machine.windows, { ...pace, open: [360, 720] }, counts);
    // The test of minute 0 is too old by 360: 10 min, circuit 30, then (360 - 40) / 73 = 4.
    expect([...counts.fills]).toEqual([0, 0, 4, 0, 0]);
    expect([...counts.circuits]).toEqual([0, 0, 1, 0, 0]);
    const cut = cutWindows(machine.windows, [100, 1000, 1200, 2000]);
    expect(cut).toEqual([
      { from: 0, to: 100 },
      { from: 1000, to: 1200 },
      { from: 2000, to: 2880 },
    ]);
  });

  test('a need that fits is not short; the bag beyond is, and a second machine clears it', () => {
    const one = judged({}, [[0, 1, 24]]);
    expect(one[0]).toEqual({ short: 0, cause: undefined });
    // Four fills, less the share that a plan cannot use.
    const more = judged({}, [[0, 1, 40]]);
    expect(more[0]!.short).toBeGreaterThan(0);
    expect(more[0]!.cause).toBe('machines');
  });
});

describe('what lacks is named', () => {
  test('only stock serves the opening round', () => {
    const stock = [{ lot: 'P', bath: '2K', bags: 10, litres: 6.5 }];
    expect(judged({ stock }, [[0, 0, 12]])[3]).toEqual({ short: 2, cause: 'opening stock' });
    expect(judged({ stock }, [[0, 0, 10]])[0]!.short).toBe(0);
  });

  test('stock that expires before a round’s cover ends serves none of it; smaller bags count by litres', () => {
    const old = [{ lot: 'P', bath: '2K', bags: 10, litres: 6.5, expires: '2031-02-03T06:59' }];
    expect(judged({ stock: old }, [[0, 0, 5]])[0]!.short).toBe(5);
    const small = [{ lot: 'P', bath: '2K', bags: 13, litres: 5 }];
    expect(judged({ stock: small }, [[0, 0, 12]])[0]!.short).toBeCloseTo(2, 9);
  });

  test('a supply that is used up', () => {
    const supplies = [{ item: 'bag set', onHand: 2, perFill: 1 }];
    expect(judged({ supplies }, [[0, 2, 24]])[3]).toEqual({ short: 8, cause: 'supplies' });
  });

  test('a circuit in place at the start needs none of the supply', () => {
    const supplies = [{ item: 'circuit', onHand: 0, perCircuit: 1 }];
    const machine = { id: 'M1', flow: 800, positions: 8, water: 'RO' };
    // From 12:00 of the day before it lives until 12:00: 720 / 73 = 9 fills.
    const loaded = { bath: '2K', circuitSince: '2031-02-02T12:00' };
    expect(judged({ supplies, machines: [machine] }, [[0, 2, 72]])[0]!.short).toBe(72);
    const rows = judged({ supplies, machines: [{ ...machine, loaded }] }, [[0, 2, 80]]);
    expect(rows[0]).toEqual({ short: 8, cause: 'supplies' });
  });

  test('technicians: one cannot swap for twenty machines', () => {
    const water = [{ id: 'RO', capacity: 99_999, testEvery: 240, testMinutes: 10 }];
    expect(judged({ water }, [[0, 2, 1400]], 20)[19]!.cause).toBe('technicians');
  });

  test('water: it is not copied with the machines', () => {
    const shifts = [{ id: 'all', from: '00:00', to: '00:00', technicians: 40 }];
    const rows = judged({ shifts }, [[0, 2, 1000]], 12);
    expect(rows[11]!.cause).toBe('water');
    expect(rows[11]!.short).toBeCloseTo(rows[5]!.short, 6);
  });

  test('more machines are never worse', () => {
    const rows = judged({}, [
      [0, 1, 30],
      [1, 2, 90],
      [0, 3, 100],
      [1, 4, 120],
    ]);
    for (let n = 1; n < rows.length; n++) expect(rows[n]!.short).toBeLessThanOrEqual(rows[n - 1]!.short);
  });
});

describe('flow that machines in turn draw from a source too small for all of them', () => {
  const like = (flow: number, count: number, duty: number) =>
    Array.from({ length: count }, () => ({ flow, duty }));

  test('a place is always in use while more machines wait for it', () => {
    // Four at 0.9 of the time would use 3.6 places of 500; three fit.
    expect(usableFlow(like(500, 4, 0.9), 1700)).toBe(1500);
    // Two use 1.8 places; were there room for two, the second would be in use 0.8 of the time.
    expect(usableFlow(like(500, 2, 0.9), 1000)).toBeCloseTo(900, 9);
    expect(usableFlow(like(500, 2, 0.9), 999)).toBe(500);
    expect(usableFlow(like(800, 1, 0.9), 700)).toBe(0);
  });

  test('unequal machines: the best places, not the largest flow at one moment', () => {
    // Any three fit into 1700: three places, always in use, for machines of 550 on average.
    expect(usableFlow([...like(600, 2, 0.9), ...like(500, 2, 0.9)], 1700)).toBeCloseTo(1650, 9);
    // Into 1600 fit 600 + 500 + 500: 600 x 1 + 500 x (1 + 0.8).
    expect(usableFlow([...like(600, 2, 0.9), ...like(500, 2, 0.9)], 1600)).toBeCloseTo(1500, 9);
    // 600 + 600 fit into 1250 and hold 1080; 600 + 500 hold 1100.
    expect(usableFlow([...like(600, 2, 0.9), ...like(500, 2, 0.9)], 1250)).toBeCloseTo(1100, 9);
  });

  test('all flows alike: no more than a row of places of any size could hold (fluid bound)', () => {
    for (let count = 1; count < 30; count++)
      for (const capacity of [400, 1000, 3700]) {
        const used = usableFlow(like(450, count, 0.87), capacity);
        expect(used).toBeLessThanOrEqual(Math.min(capacity, 450 * count * 0.87) + 1e-9);
        expect(used).toBeGreaterThanOrEqual(Math.min(capacity - 450, 450 * count * 0.87) - 1e-9);
      }
  });
});

describe('bags that are hardly good for one round', () => {
  // Rounds 12 h apart, each covers 13 h from its hour; good for 24 h: made in the 11 h before the round at best.
  const short = { rules: { shelfHours: 24 } };
  test('what was made for one round serves no later one', () => {
    // 14 fills by then, 10 of them in the 12 h before; of these about 9 are fresh enough.
    expect(judged({}, [[0, 2, 100]], 1)[0]!.short).toBe(0);
    const { short: missing } = judged(short, [[0, 2, 100]], 1)[0]!;
    expect(missing).toBeGreaterThan(100 - 10 * 8);
    expect(missing).toBeLessThan(100 - 8 * 8);
  });
});

test('a supply is wanted at the start as far as deliveries do not bring it', () => {
  const row = {
    item: 'x',
    bath: null,
    perBag: 0.5,
    onHand: 10,
    spared: 0,
    delivered: Float64Array.of(0, 0, 12, 12),
  };
  const wanted = Float64Array.of(0, 16, 16, 20);
  // Used: 8, 16, 26; less delivered: 8, 4, 14.
  expect(supplyNeed(row, wanted, 1)).toEqual({ atStart: 14, round: 3 });
  // Circuits in place spare five.
  expect(supplyNeed({ ...row, spared: 5 }, wanted, 1)).toEqual({ atStart: 9, round: -1 });
});
