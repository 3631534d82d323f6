import { makeClock } from '../../src/calendar/clock.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { chanceOf } from '../../src/planner/search/chance.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { MINUTES_A_DAY, type Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { withFloor } from './floor.ts';
import { drawPatients } from './patients.ts';

export interface Size {
  /** Same options, same scenario. */
  readonly seed: number;
  /** What the options below default to. */
  readonly kind?: 'tiny' | 'week' | 'crisis';
  /** Machine minutes needed / available, about; it sets the number of patients unless that is given. */
  readonly load?: number;
  readonly patients?: number;
  readonly machines?: number;
  readonly baths?: number;
  readonly days?: number;
  /** Water sources. */
  readonly water?: number;
  readonly dayTechnicians?: number;
  /** 0: nobody works at night. */
  readonly nightTechnicians?: number;
  /** Dialysate flow of most machines, mL/min. */
  readonly flow?: number;
  /** 0..1: how likely each oddity of real sites is (short windows, few baths a machine, scarce supplies ...). */
  readonly variety?: number;
  /** IANA zone; the start then lies shortly before one of its clock changes where it has any. */
  readonly timeZone?: keyof typeof STARTS;
  /** The floor as it is: breaks, disinfection, walking, hands, tolerance and the like. Without it a seed draws as ever. */
  readonly floor?: boolean;
}

const KINDS = {
  tiny: {
    machines: 1,
    baths: 2,
    days: 1,
    water: 1,
    dayTechnicians: 1,
    nightTechnicians: 1,
    load: 0.8,
    flow: 800,
  },
  week: {
    machines: 4,
    baths: 3,
    days: 7,
    water: 1,
    dayTechnicians: 2,
    nightTechnicians: 1,
    load: 0.8,
    flow: 500,
  },
  crisis: {
    machines: 16,
    baths: 4,
    days: 14,
    water: 3,
    dayTechnicians: 5,
    nightTechnicians: 3,
    load: 0.85,
    flow: 500,
  },
};

/** Starts on the morning before a clock change: forward by an hour, back by an hour, back by half an hour; UTC has none. */
const STARTS = {
  UTC: '2031-02-03T07:00',
  'America/Chicago': '2031-03-08T07:00',
  'Europe/Berlin': '2031-10-25T07:00',
  'Australia/Lord_Howe': '2031-04-05T07:00',
};

/** Invented compositions; mmol/L, calcium and magnesium mEq/L. */
export const BATHS: Scenario['baths'] = [
  { id: '2K', potassium: 2, chloride: 108, bicarbonate: 32 },
  { id: '4K', potassium: 4, chloride: 110, bicarbonate: 32 },
  { id: '3K', potassium: 3, chloride: 109, bicarbonate: 32 },
  { id: '4K-35', potassium: 4, chloride: 107, bicarbonate: 35 },
].map((bath) => ({ sodium: 140, calcium: 2.5, magnesium: 1, acetate: 4, glucose: 5.5, ...bath }));

/** Bags that the machines can make by the last round, were they never idle while somebody is on shift, changing circuits only. */
export function capacityBags(problem: Problem): number {
  const { circuitMinutes, circuitLife, swapMinutes } = problem.rules;
  const last = problem.rounds.at(-1)!.at;
  let bags = 0;
  for (const { windows, positions, shortest } of problem.machines) {
    let minutes = 0;
    for (const { from, to } of windows)
      for (let t = from; t < Math.min(to, last); t++) if (problem.staff[t]! > 0) minutes += 1;
    bags += ((minutes * (1 - circuitMinutes / circuitLife)) / (shortest + swapMinutes)) * positions;
  }
  return bags;
}

/** Bags to make / bags that can be made: what is needed and wanted in reserve, less what is there or delivered. */
export function loadOf(problem: Problem): number {
  const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
  const needed = sum(demandOf(problem).bags.map(sum)) + sum(problem.reserve);
  const given = sum(problem.lots.map(({ bags, bagParts }) => (bags * bagParts) / problem.bagParts));
  return (needed - given) / capacityBags(problem);
}

/** An invented scenario without error faults, drawn from a seed. */
export function generate(size: Size): Scenario {
  const { machines, baths, days, water, dayTechnicians, nightTechnicians, load, flow } = {
    ...KINDS[size.kind ?? 'week'],
    ...Object.fromEntries(Object.entries(size).filter(([, value]) => value !== undefined)),
  };
  const chance = chanceOf(size.seed).unit;
  const variety = size.variety ?? 0.2;
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: readonly T[]): T => list[upTo(list.length)]!;
  const odd = () => chance() < variety;
  const timeZone = size.timeZone ?? 'America/Chicago';
  const start = size.timeZone ? STARTS[size.timeZone] : '2031-02-03T07:00';
  const { localOf } = makeClock(timeZone, start);
  const minutes = days * MINUTES_A_DAY;
  const ids = BATHS.slice(0, baths).map(({ id }) => id);

  const sources: Scenario['water'] = Array.from({ length: water }, (_, i) => ({
    id: `RO-${'ABCDEFGH'[i] ?? i + 1}`,
    capacity: 800 * Math.max(1, Math.ceil(machines / water) - (odd() ? 1 : 0)),
    testEvery: odd() ? oneOf(120, 360) : 240,
    testMinutes: 10,
    lastTest: odd() ? localOf(-upTo(230)) : null,
  }));
  const windows = () => {
    const gap = upTo(minutes);
    return oneOf(
      [{ from: localOf(0), to: localOf(minutes - upTo(minutes >> 2)) }],
      [{ from: localOf(upTo(minutes >> 2)), to: localOf(minutes) }],
      [
        { from: localOf(-60), to: localOf(gap) },
        { from: localOf(gap + upTo(600)), to: localOf(minutes + 60) },
      ].filter(({ from, to }) => from < to),
    );
  };
  const rows: Scenario['machines'] = Array.from({ length: machines }, (_, i) => ({
    id: `M${i + 1}`,
    flow: odd() ? oneOf(500, 600, 700, 800) : flow,
    positions: odd() ? oneOf(4, 6, 10) : 8,
    water: sources[i % water]!.id,
    ...(odd() && ids.length > 1 && i > 0 && { baths: ids.filter((_, b) => b !== i % ids.length) }),
    ...(odd() && { available: windows() }),
    ...(odd() && { loaded: { bath: oneOf(...ids), circuitSince: localOf(-upTo(1500)) } }),
  }));
  const rules: NonNullable<Scenario['rules']> = {
    ...(odd() && { circuitHours: oneOf(12, 48) }),
    ...(odd() && { shelfHours: oneOf(24, 36, 48) }),
    ...(odd() && { rounds: oneOf(['12:00'], ['06:00', '14:00', '22:00'], ['02:30', '18:00', '18:00']) }),
    ...(odd() && { maxHangHours: oneOf(8, 12) }),
    ...(odd() && { fillLitres: oneOf(5, 6, 6.25) }),
    ...(days > 2 && { reserve: Object.fromEntries(ids.slice(0, 2).map((id) => [id, 8])) }),
  };
  const scenario: Scenario = {
    format: 'bathtide-scenario',
    version: 1,
    title: `Invented ${size.kind ?? 'week'} ${size.seed}`,
    timeZone,
    start,
    days,
    baths: BATHS.slice(0, baths),
    patients: [],
    machines: rows,
    water: sources,
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: dayTechnicians },
      ...(nightTechnicians > 0
        ? [{ id: 'night', from: '19:00', to: odd() ? '05:00' : '07:00', technicians: nightTechnicians }]
        : []),
    ],
    stock: [],
    deliveries: [],
    supplies: [],
    rules,
  };
  const target = load * capacityBags(compile(scenario));
  const most = size.patients ?? Math.ceil(target / days) + 20;
  const pool = drawPatients({ count: most, baths: ids, minutes, localOf, chance, variety });
  const hangs = demandOf(compile({ ...scenario, patients: pool })).hangs;

  // Stock for what hangs before the first fills can leave: the opening round, on longer plans the first one too.
  const stockRounds = days > 1 ? [0, 1] : [0];
  const stocked = (patients: Scenario['patients']) => {
    const filled = { ...scenario, patients };
    const problem = compile(filled);
    const { bags } = demandOf(problem);
    const enough = odd() ? 0.5 : 1.1;
    filled.stock = ids.map((bath, b) => ({
      lot: `S-${b + 1}`,
      bath,
      bags: Math.ceil(enough * stockRounds.reduce((sum, r) => sum + (bags[b]![r] ?? 0), 0)),
      litres: problem.rules.fillLitres,
      ready: null,
      expires: localOf((problem.rounds[2] ?? problem.rounds.at(-1)!).to + upTo(2000)),
    }));
    if (odd())
      filled.deliveries = [
        {
          lot: 'D-1',
          bath: ids[0]!,
          bags: 4 + upTo(4 * machines),
          litres: 5,
          ready: localOf(upTo(minutes)),
          expires: null,
        },
      ];
    return filled;
  };
  let count = size.patients ?? 1;
  if (size.patients === undefined) {
    // What the stock will cover needs no machine, so it is left out of the sum.
    const first = compile(scenario).rounds[stockRounds.length]?.from ?? 0;
    for (let sum = 0; count < most; count++) {
      sum += hangs[count - 1]!.filter(({ minute }) => minute >= first).length;
      if (sum >= target) break;
    }
  }
  const full = stocked(pool.slice(0, count));
  const fills = Math.ceil((load * capacityBags(compile(full))) / 8) + machines;
  full.supplies = [
    { item: 'circuit', onHand: Math.ceil(machines * days * (odd() ? 0.7 : 1.4)) + 1, perCircuit: 1 },
    {
      item: 'bag set',
      onHand: Math.ceil(fills * (odd() ? 0.5 : 1.5)),
      perFill: 1,
      deliveries: [{ at: localOf(minutes >> 1), quantity: Math.ceil(fills * 0.5) }],
    },
    {
      item: `acid ${ids[0]} (L)`,
      onHand: Math.ceil(fills * 8 * 6.5 * 0.03 * (odd() ? 0.4 : 1.2)),
      perLitre: 0.02222,
      bath: ids[0]!,
    },
  ];
  return size.floor ? withFloor(full, size.seed) : full;
}
