import { describe, expect, test } from 'vitest';
import { agreementOf, compareDraw } from '../../src/capacity/agreement.ts';
import { countFills, cutWindows, largestFlow, usableFlow } from '../../src/capacity/calendar.ts';
import { type Draw, emptyDraw, groundOf } from '../../src/capacity/draw.ts';
import { CAUSES, fastModel } from '../../src/capacity/fastModel.ts';
import { emptyOutcome } from '../../src/capacity/job.ts';
import { supplyNeed } from '../../src/capacity/supplies.ts';
import { plan } from '../../src/planner/plan.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { emptySite, shipped, wardSite } from './worlds.ts';

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
  fastModel(ground.problem, most).judge(draw, outcomes);
  return outcomes.map(({ bagsShort, cause }) => ({ short: bagsShort, cause: CAUSES[cause] }));
}

describe('one machine: 8 bags in 65 min, 8 min to swap, 15 min to release, 30 min for a circuit', () => {
  // From midnight to 05:45: circuit 30, then 73 a fill: (345 - 30) / 73 = 4 fills by the round at 06:00.
  const { ground } = world({}, []);
  const counts = new Uint16Array(ground.problem.rounds.length);
  const machine = ground.problem.machines[0]!;
  const pace = {
    rules: ground.problem.rules,
    source: ground.problem.water[0]!,
    wait: 0,
    open: [0, DAYS * 1440],
    deadlines: ground.problem.rounds.map(({ at, index }) =>
      index === 0 ? Number.NEGATIVE_INFINITY : at - 15,
    ),
  };

  test('fills ready for each round, a new circuit after 24 h', () => {
    countFills(machine, machine.windows, pace, counts);
    // By 18:00: (1065 - 30) / 73 = 14.2, so 10 more. First circuit: (1440 - 30) / 73 = 19.3 fills, until 1417; the next
    // from 1417 + 30: by 06:00 (1785) 4 more, so 19 + 4 - 14 = 9.
    expect([...counts]).toEqual([0, 4, 10, 9, 10]);
  });

  test('nothing without a technician, nothing in a breakdown', () => {
    countFills(machine, machine.windows, { ...pace, open: [360, 720] }, counts);
    // The test of minute 0 is too old by 360: 10 min, circuit 30, then (360 - 40) / 73 = 4.
    expect([...counts]).toEqual([0, 0, 4, 0, 0]);
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

test('largest flow within a capacity; usable is its mean over which machine is swapped', () => {
  expect(largestFlow([600, 600, 500, 500, 500], 1700)).toBe(1700);
  expect(largestFlow([800, 800, 800], 2399)).toBe(1600);
  expect(largestFlow([800], 700)).toBe(0);
  // Without one of the 600s 600 + 500 + 500 fit, without one of the 500s 600 + 600 + 500.
  expect(usableFlow([600, 600, 500, 500, 500], 1700)).toBe((2 * 1600 + 3 * 1700) / 5);
  expect(usableFlow([800, 800, 800, 800], 2400)).toBe(2400);
  expect(usableFlow([800, 800], 2400)).toBe(1600);
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

describe('the fast model and full plans agree on short or not in at least 95 of 100 draws', () => {
  test.each([
    ['ward', { ...wardSite(), forecast: { ...wardSite().forecast, days: 5 } }, [1, 2, 4], 6],
    [
      'the shipped crisis, six days of it',
      { ...shipped('crisis'), forecast: { ...shipped('crisis').forecast, days: 6 } },
      [12, 18],
      2,
    ],
  ] as const)('%s', async (_, site, counts, draws) => {
    const compared = [];
    for (const machines of counts)
      for (let draw = 0; draw < draws; draw++)
        compared.push(
          await compareDraw({ scenario: site as Scenario, seed: 1, draw, machines, tries: 150 }, plan),
        );
    const { agree, draws: all } = agreementOf(compared);
    // Both answers must occur, else agreement says nothing.
    expect(new Set(compared.map(({ planned }) => planned > 1e-6)).size).toBe(2);
    expect(agree / all).toBeGreaterThanOrEqual(0.95);
  });
});
