import { type Demand, demandOf, type Hang } from '../../demand/demand.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { Quantity, ReadingVerdict } from '../judge/reading.ts';
import type { Limits } from '../limits.ts';
import { LotBook } from './lots.ts';

/** Lots of what a circuit is made of and fed with, as noted; '' or absent: not noted. */
export interface CircuitLots {
  readonly filter?: string | null;
  readonly tubing?: string | null;
  readonly acid?: string | null;
  readonly bicarbonate?: string | null;
}
/** A set-up noted: what a fill ran on. */
export interface SetUp {
  readonly entry: string;
  readonly machine: string;
  readonly bath: string;
  /** Minute from which its circuit's life counts. */
  readonly since: number;
  readonly began: number;
  /** In place from. */
  readonly at: number;
  readonly by: string;
  readonly lots: CircuitLots;
  /** The circuit's own entry: of a bath change, the circuit that it went on with; null: loaded at the start. */
  readonly circuit: string | null;
}
export interface ReadingNoted extends ReadingVerdict {
  readonly entry: string;
  readonly machine: string;
  readonly at: number;
  readonly by: string;
  readonly bath: string | null;
  readonly measured: {
    readonly conductivity: number | null;
    readonly temperature: number | null;
    readonly pH: number | null;
    readonly potassium: number | null;
  };
}
export interface TestNoted {
  readonly entry: string;
  readonly water: string;
  readonly at: number;
  readonly by: string;
  readonly passed: boolean;
  /** mg/L */
  readonly totalChlorine: number | null;
}
export interface Outage {
  readonly from: number;
  /** Minute; null: nobody knows. */
  readonly until: number | null;
}
export interface MachineBook {
  readonly id: string;
  readonly index: number;
  /** The circuit in place, and what runs on it; null: none. */
  circuit: { since: number; bath: string; setUp: SetUp | null } | null;
  underWay:
    | {
        readonly kind: 'circuit' | 'bath';
        readonly start: number;
        readonly end: number;
        readonly setUp: SetUp;
      }
    | { readonly kind: 'fill'; readonly start: number; readonly lot: LotBook }
    | null;
  /** Bags came off at this minute last: the swap goes on from there. */
  offAt: number | null;
  out: Outage | null;
  outages: Outage[];
  lastWithin: number | null;
  lastSetUp: number | null;
  /** What it filled, in the order of the begins; the last one may be under way. */
  readonly fills: LotBook[];
  /** The latest minute at which bags came off, of its fills up to each one that has ended. */
  readonly endedBy: number[];
  /** Out of limits since this reading. */
  bad: {
    readonly at: number;
    readonly noted: number;
    readonly entry: string;
    readonly quantities: Set<Quantity>;
  } | null;
}
export interface WaterBook {
  readonly id: string;
  last: 'pass' | 'fail' | null;
  lastEnd: number | null;
  /** The last pass, whatever came after it. */
  lastPass: number | null;
  /** Minutes at which noted tests passed, in order. */
  readonly passes: number[];
  /** A failed test after which none has passed. */
  failed: { readonly at: number; readonly noted: number; readonly entry: string } | null;
  out: Outage | null;
  outages: Outage[];
}
/** Something in the record that does not fit, for a person to put right. */
export interface Doubt {
  /** The entry's id; null: it is about no single entry. */
  readonly entry: string | null;
  readonly wrong: string;
  readonly expected: string;
}
/** All that is being written while the facts are read in their order. */
export interface Books {
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly limits: Limits;
  readonly now: number;
  readonly demand: Demand;
  readonly machines: readonly MachineBook[];
  readonly water: readonly WaterBook[];
  readonly lots: Map<string, LotBook>;
  /** In the same order, without those that no bag round can use any more. */
  readonly shelf: Set<LotBook>;
  /** Lots of which it is noted that they came. */
  readonly arrived: Set<string>;
  /** What a patient hangs without the last changes, by 'patient changes'. */
  readonly hangs: Map<string, readonly Hang[]>;
  readonly setUps: SetUp[];
  readonly readings: ReadingNoted[];
  readonly tests: TestNoted[];
  readonly doubts: Doubt[];
  readonly staff: {
    readonly shift: string;
    readonly date: string;
    readonly at: number;
    readonly technicians: number;
    /** Empty: not named. */
    readonly names: readonly string[];
  }[];
  readonly duties: {
    readonly duty: string;
    readonly place: string | null;
    readonly at: number;
    readonly entry: string;
  }[];
  readonly notes: {
    readonly entry: string;
    readonly at: number;
    readonly by: string;
    readonly text: string;
  }[];
  /** Rounds of which it is noted that bags left, by number, or their local time where none fits; with what left. */
  readonly leaves: {
    readonly round: number | string;
    readonly at: number;
    readonly bath: string;
    readonly parts: number;
    readonly bags: number;
    /** null: of no lot that is known. */
    readonly lot: string | null;
    readonly ward?: string;
    readonly bed?: string;
  }[];
}

/** The books at the scenario's start: what it has in stock, what is loaded, when water was tested. */
export function openBooks(scenario: Scenario, problem: Problem, limits: Limits, now: number): Books {
  const lots = new Map<string, LotBook>();
  for (const lot of problem.lots) {
    const stock = lot.origin === 'stock';
    const book = new LotBook({
      lot: lot.id,
      origin: lot.origin,
      bath: problem.baths[lot.bath]!,
      litres: lot.bagParts / problem.partsPerLitre,
      // A delivery counts from its arrival, or as expected until it is due.
      made: stock || lot.ready > now ? lot.bags : 0,
      ready: stock || lot.ready > now ? lot.ready : null,
      expires: Number.isFinite(lot.expires) ? lot.expires : null,
    });
    if (!lots.has(lot.id)) lots.set(lot.id, book);
  }
  return {
    scenario,
    problem,
    limits,
    now,
    demand: demandOf(problem),
    machines: problem.machines.map(({ id, loaded }, index) => ({
      id,
      index,
      circuit: loaded && { since: loaded.since, bath: problem.baths[loaded.bath]!, setUp: null },
      underWay: null,
      offAt: null,
      out: null,
      outages: [],
      lastWithin: null,
      lastSetUp: null,
      fills: [],
      endedBy: [],
      bad: null,
    })),
    water: problem.water.map(({ id, lastTest }) => ({
      id,
      last: lastTest === null ? null : 'pass',
      lastEnd: lastTest,
      lastPass: lastTest,
      passes: [],
      failed: null,
      out: null,
      outages: [],
    })),
    lots,
    shelf: new Set(lots.values()),
    hangs: new Map(),
    arrived: new Set(),
    setUps: [],
    readings: [],
    tests: [],
    doubts: [],
    staff: [],
    duties: [],
    notes: [],
    leaves: [],
  };
}

/** A lot that nobody knew before. */
export function addLot({ lots, shelf }: Books, lot: LotBook): void {
  lots.set(lot.facts.lot, lot);
  shelf.add(lot);
}
export type Of = { readonly entry: { readonly id: string } };
export const doubt = ({ doubts }: Books, fact: Of | null, wrong: string, expected: string): void => {
  doubts.push({ entry: fact?.entry.id ?? null, wrong, expected });
};
export const bathRow = ({ scenario }: Books, id: string | null) =>
  scenario.baths.find((bath) => bath.id === id) ?? null;
/** The fill under way on a machine ended at a minute: the one place that says so. */
export function fillEnded({ fills, endedBy }: MachineBook, { facts: { fill } }: LotBook, at: number): void {
  fill!.end = at;
  endedBy[fills.length - 1] = Math.max(at, endedBy.at(-1) ?? Number.NEGATIVE_INFINITY);
}
/** What a machine filled after a minute, also in part, and what it is filling. */
export function filledSince({ fills, endedBy }: MachineBook, since: number): LotBook[] {
  let first = fills.length;
  while (first > 0 && (endedBy[first - 1] ?? Number.POSITIVE_INFINITY) > since) first -= 1;
  return fills.slice(first);
}
export const waterOf = ({ problem, water }: Books, machine: MachineBook): WaterBook =>
  water[problem.machines[machine.index]!.water]!;
