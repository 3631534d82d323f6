import { mersenne } from 'pure-rand/generator/mersenne';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/** Chance in [0, 1) from a seed, the same on every machine. */
export function chanceOf(seed: number): () => number {
  const generator = mersenne(seed);
  return () => (generator.next() >>> 0) / 2 ** 32;
}

/** Local time so many minutes after the start of an invented Monday, e.g. at(90) = 2031-02-03T08:30. */
export const at = (minute: number): string =>
  new Date(Date.UTC(2031, 1, 3, 7) + minute * 60_000).toISOString().slice(0, 16);

/** An invented unit: one machine, one bath, one technician all day, no patients yet. */
export function unit(change: Partial<Scenario> = {}): Scenario {
  return {
    format: 'bathtide-scenario',
    version: 1,
    title: 'Invented unit',
    timeZone: 'UTC',
    start: at(0),
    days: 1,
    baths: [{ id: 'A' }],
    patients: [],
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W' }],
    water: [{ id: 'W', capacity: 9000, testEvery: 240, testMinutes: 10 }],
    shifts: [{ id: 'all day', from: '07:00', to: '07:00', technicians: 1 }],
    ...change,
  };
}

/** An invented unit drawn from a seed: every rule of the file has a chance to bite. */
export function drawn(
  seed: number,
  size: { days: number; machines: number; patients: number; baths: number; load?: number },
): Scenario {
  const chance = chanceOf(seed);
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: T[]): T => list[upTo(list.length)]!;
  const baths = Array.from({ length: size.baths }, (_, i) => ({ id: `B${i + 1}` }));
  const minutes = size.days * 1440;
  const sources = size.machines > 1 && chance() < 0.3 ? 2 : 1;
  const night = upTo(3);
  const rules: NonNullable<Scenario['rules']> = {};
  if (chance() < 0.3) rules.circuitHours = oneOf(8, 12, 48);
  if (chance() < 0.3) rules.shelfHours = oneOf(24, 36, 48);
  if (chance() < 0.3) rules.rounds = oneOf(['12:00'], ['06:00', '14:00', '22:00'], ['05:30', '19:15']);
  if (chance() < 0.2) rules.fillLitres = oneOf(5, 6, 6.2);
  if (chance() < 0.3) rules.reserve = { B1: oneOf(4, 8, 13) };
  const water = Array.from({ length: sources }, (_, i) => ({
    id: `W${i + 1}`,
    capacity: oneOf(800, 1600, 2400, 9000),
    testEvery: oneOf(120, 240, 480),
    testMinutes: 10,
    lastTest: chance() < 0.5 ? null : at(-upTo(200)),
  }));
  const machines: Scenario['machines'] = Array.from({ length: size.machines }, (_, i) => ({
    id: `M${i + 1}`,
    flow: oneOf(800, 800, 600),
    positions: oneOf(8, 8, 6, 4),
    water: `W${1 + upTo(sources)}`,
    ...(chance() < 0.2 ? { baths: baths.map(({ id }) => id).filter(() => chance() < 0.7) } : {}),
    ...(chance() < 0.2
      ? { available: [{ from: at(upTo(300)), to: at(minutes - upTo(600)) }] }
      : chance() < 0.1
        ? {
            available: [
              { from: at(0), to: at(minutes >> 1) },
              { from: at((minutes >> 1) + upTo(200)), to: at(minutes) },
            ],
          }
        : {}),
    ...(chance() < 0.5
      ? { loaded: { bath: `B${1 + upTo(size.baths)}`, circuitSince: at(-upTo(1600)) } }
      : {}),
  }));
  const patients: Scenario['patients'] = Array.from({ length: size.patients }, (_, i) => ({
    id: `bed-${i + 1}`,
    weight: 50 + upTo(60),
    dose: oneOf(20, 25, 30),
    fluidRemoval: oneOf(0, 50, 100),
    bath: `B${1 + upTo(size.baths)}`,
    ...(chance() < 0.3 ? { from: at(upTo(minutes)) } : {}),
    ...(chance() < 0.2 ? { until: at(minutes >> 1) } : {}),
    ...(chance() < 0.3 ? { changes: [{ at: at(upTo(minutes)), bath: `B${1 + upTo(size.baths)}` }] } : {}),
  }));
  const lots = (n: number) =>
    Array.from({ length: n }, (_, i) => ({
      lot: `L${i}`,
      bath: `B${1 + upTo(size.baths)}`,
      bags: 2 + upTo(size.patients * 3),
      litres: oneOf(5, 6.5, 7),
      ready: chance() < 0.5 ? null : at(upTo(minutes)),
      expires: chance() < 0.3 ? null : at(minutes / 3 + upTo(minutes)),
    }));
  const perDay = size.machines * 14;
  const supplies: NonNullable<Scenario['supplies']> = [];
  if (chance() < 0.2)
    supplies.push({
      item: 'circuit',
      onHand: size.machines + upTo(3),
      perCircuit: 1,
      deliveries: [{ at: at(upTo(minutes)), quantity: size.machines * size.days }],
    });
  if (chance() < 0.2)
    supplies.push({ item: 'bag set', onHand: Math.ceil(perDay * size.days * (0.2 + chance())), perFill: 1 });
  if (chance() < 0.2)
    supplies.push({
      item: 'acid',
      onHand: Math.ceil(perDay * size.days * chance() * 1.3),
      perLitre: 0.02222,
      bath: chance() < 0.5 ? null : 'B1',
    });
  return unit({
    title: `Invented unit ${seed}`,
    days: size.days,
    baths,
    patients,
    machines,
    water,
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 1 + upTo(2) },
      ...(night > 0 ? [{ id: 'night', from: '19:00', to: '07:00', technicians: night }] : []),
    ],
    stock: lots(upTo(3)),
    deliveries: lots(upTo(2)).map((lot, i) => ({ ...lot, lot: `D${i}` })),
    supplies,
    rules,
  });
}

export const drawnProblem = (...given: Parameters<typeof drawn>): Problem => compile(drawn(...given));

/**
 * A tiny invented unit whose lengths and times are multiples of 10 min, so that `exactOptimum` can prove its optimum:
 * 8 bags x 6 L at 800 mL/min take 60 to 70 min; a test serves 240 minutes.
 */
export function tinyGrid(seed: number): Scenario {
  const chance = chanceOf(seed);
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: T[]): T => list[upTo(list.length)]!;
  const baths = oneOf(1, 2, 2);
  const machines = oneOf(1, 2);
  const hours = machines === 1 ? oneOf(5, 6, 7) : oneOf(3, 4);
  const bath = () => `B${1 + upTo(baths)}`;
  return unit({
    title: `Tiny invented unit ${seed}`,
    baths: Array.from({ length: baths }, (_, i) => ({ id: `B${i + 1}` })),
    patients: Array.from({ length: machines * (4 + upTo(6)) }, (_, i) => ({
      id: `bed-${i + 1}`,
      weight: 60 + upTo(40),
      dose: oneOf(20, 30),
      bath: bath(),
      from: at(220 + 10 * upTo(30)),
      until: at(600 + 10 * upTo(40)),
    })),
    machines: Array.from({ length: machines }, (_, i) => ({
      id: `M${i + 1}`,
      flow: 800,
      positions: oneOf(8, 8, 4),
      water: 'W',
      available: [{ from: at(10 * upTo(6)), to: at(hours * 60) }],
      ...(chance() < 0.4 ? { loaded: { bath: bath(), circuitSince: at(-10 * upTo(150)) } } : {}),
    })),
    water: [
      {
        id: 'W',
        capacity: oneOf(800, 1600),
        testEvery: 239,
        testMinutes: 10,
        lastTest: oneOf(null, at(-10 * upTo(20))),
      },
    ],
    shifts: [
      { id: 'early', from: '07:00', to: oneOf('09:40', '20:00'), technicians: 1 },
      { id: 'late', from: oneOf('09:00', '10:20'), to: '22:00', technicians: 1 },
    ],
    stock: chance() < 0.5 ? [{ lot: 'S', bath: bath(), bags: 1 + upTo(6), litres: oneOf(6, 5) }] : [],
    supplies: chance() < 0.3 ? [{ item: 'bag set', onHand: 3 + upTo(3), perFill: 1 }] : [],
    rules: {
      fillLitres: 6,
      maxLitres: 7,
      swapMinutes: 10,
      releaseMinutes: 10,
      circuitHours: oneOf(24, 4),
      rounds: oneOf(['09:40', '12:00'], ['10:30', '11:40', '13:00'], ['12:00']),
      reserve: chance() < 0.3 ? { B1: 3 } : {},
    },
  });
}

/**
 * Two days on the same grid, of two machines (mostly unlike) and two baths, each day a few hours long, and mostly on water
 * that feeds only one of them at a time: what takes turns.
 */
export function tinyDays(seed: number): Scenario {
  const chance = chanceOf(seed);
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: T[]): T => list[upTo(list.length)]!;
  const bath = () => `B${1 + upTo(2)}`;
  const scarce = chance() < 0.7;
  const hours = oneOf(3, 4, 5);
  const opens = () => 10 * upTo(4);
  const day = (n: number, from: number) => ({
    from: at(1440 * n + from),
    to: at(1440 * n + hours * 60 + 10 * upTo(6)),
  });
  return unit({
    title: `Two tiny days ${seed}`,
    days: 2,
    baths: [{ id: 'B1' }, { id: 'B2' }],
    patients: Array.from({ length: 3 + upTo(4) }, (_, i) => ({
      id: `bed-${i + 1}`,
      weight: 60 + upTo(40),
      dose: oneOf(20, 30),
      bath: bath(),
      from: at(220 + 10 * upTo(30)),
      until: at(1200 + 10 * upTo(160)),
    })),
    machines: Array.from({ length: 2 }, (_, i) => ({
      id: `M${i + 1}`,
      ...oneOf(
        { flow: 800, positions: 8 },
        { flow: 800, positions: 4 },
        { flow: 600, positions: 6 },
        { flow: 400, positions: 4 },
      ),
      water: 'W',
      available: [day(0, opens()), day(1, opens())],
      ...(chance() < 0.4 ? { loaded: { bath: bath(), circuitSince: at(-10 * upTo(150)) } } : {}),
    })),
    water: [
      {
        id: 'W',
        capacity: scarce ? 800 : 1600,
        testEvery: 239,
        testMinutes: 10,
        lastTest: oneOf(null, at(-10 * upTo(20))),
      },
    ],
    shifts: [
      { id: 'early', from: '07:00', to: oneOf('09:40', '20:00'), technicians: 1 },
      { id: 'late', from: oneOf('09:00', '10:20'), to: '22:00', technicians: 1 },
    ],
    stock: chance() < 0.5 ? [{ lot: 'S', bath: bath(), bags: 1 + upTo(6), litres: oneOf(6, 5) }] : [],
    rules: {
      fillLitres: 6,
      maxLitres: 7,
      swapMinutes: 10,
      releaseMinutes: 10,
      circuitHours: oneOf(26, 24, 4),
      shelfHours: oneOf(24, 36, 48),
      rounds: oneOf(['09:40', '12:00'], ['10:30', '11:40', '13:00'], ['12:00']),
    },
  });
}
