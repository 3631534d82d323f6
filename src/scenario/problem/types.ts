import type { Clock } from '../../calendar/clock.ts';
import type { Fraction } from '../../exact/fraction.ts';
import type { LostRow } from '../schema.ts';

export const MINUTES_A_DAY = 1440;

/** Whole minutes from the scenario's start; `to` is exclusive. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** What a dose of mL/kg/h counts: all that leaves the filter, or the dialysate alone. */
export type DoseMeans = 'effluent' | 'dialysate';

/** What runs into one patient from minute `at` on. */
export interface CourseStep {
  readonly at: number;
  readonly bath: number;
  /** Dialysate, mL per elapsed minute, exact; 0 when fluid removal and replacement use up the whole dose. */
  readonly rate: Fraction;
}
export interface Course {
  readonly id: string;
  readonly from: number;
  readonly until: number;
  /** In order of time, never empty; the first is in force at `from`. */
  readonly steps: readonly CourseStep[];
  /** When therapy runs, min, `to` exclusive, in order of time and apart; not cut to from..until. Null: all the time. */
  readonly sessions: readonly Span[] | null;
  /** The bag that hangs at minute 0: since when, and what is left in it, mL; null or absent: none does. */
  readonly open?: { readonly hungAt: number; readonly left: Fraction } | null;
  /** Where the patient lies, as typed; null when not said. */
  readonly ward: string | null;
  /** The class of the site's own scheme for too few bags, as typed; null when not said. */
  readonly priority: string | null;
}
export interface Machine {
  readonly id: string;
  /** mL/min */
  readonly flow: number;
  readonly positions: number;
  /** Bags of a fill that count: positions less those that go to tests. */
  readonly usable: number;
  /** Bath numbers it may run. */
  readonly baths: readonly number[];
  /** Index of its water source. */
  readonly water: number;
  /** Sorted by start; `to` is exclusive. Cut to the horizon. */
  readonly windows: readonly Span[];
  readonly loaded: { readonly bath: number; readonly since: number } | null;
  /** Fill window, min: a fill lasts shortest..longest. */
  readonly shortest: number;
  readonly longest: number;
}
export interface WaterSource {
  readonly id: string;
  /** mL/min, as typed: what it gives at the start unless a change says otherwise. See `capacities`. */
  readonly capacity: number;
  /** What it gives from a minute on, mL/min: in order of time, never empty, the first from 0. See `capacityAt`. */
  readonly capacities: readonly { readonly from: number; readonly capacity: number }[];
  /** min */
  readonly testEvery: number;
  readonly testMinutes: number;
  /** Minute at which the last test before the plan ended, or null. */
  readonly lastTest: number | null;
}
export interface ShiftBand {
  readonly shift: string;
  readonly from: number;
  readonly to: number;
  readonly technicians: number;
}
export interface Lot {
  readonly id: string;
  readonly origin: 'stock' | 'delivery' | 'fill';
  readonly bath: number;
  readonly bags: number;
  /** Volume of one bag, in parts of a litre (Problem.partsPerLitre). */
  readonly bagParts: number;
  /** First minute at which it may leave; minus infinity for stock there at the start. */
  readonly ready: number;
  /** Minute of expiry; infinity when it never expires. */
  readonly expires: number;
  /** Of a fill: the minute it began and its machine's number, which settle who is taken first of lots alike. */
  readonly begun?: number;
  readonly machine?: number;
}
export interface Supply {
  readonly item: string;
  /** Whole units per 1 of the item, so that all amounts below are whole numbers. */
  readonly scale: number;
  readonly onHand: number;
  readonly perCircuit: number;
  readonly perFill: number;
  /** Units per minute of flow on each machine. */
  readonly perMinute: readonly number[];
  /** Only activities that run this bath use it; null: all do. */
  readonly bath: number | null;
  readonly deliveries: readonly { readonly at: number; readonly quantity: number }[];
}
export interface Round {
  readonly index: number;
  /** Minute at which its bags leave; 0 for the opening round (index 0). */
  readonly at: number;
  /** It covers bags hung in from..to-1. */
  readonly from: number;
  readonly to: number;
}
/** Work that recurs at times of day. A plan lists each occurrence once, beginning in at..at + slack. */
export interface Duty {
  readonly id: string;
  /** Where it is done; null for a break or work elsewhere. */
  readonly place: DutyPlace | null;
  /** Minutes T of its occurrences, in order, each once; those that the horizon leaves no room for are left out. */
  readonly at: readonly number[];
  /** Length, min. */
  readonly minutes: number;
  /** How much later than T it may begin, min. */
  readonly slack: number;
  /** How much sooner than T, min: no file says so, only the question whether another hour would help. Default 0. */
  readonly early?: number;
  /** Technicians at work throughout; 0: none. */
  readonly technicians: number;
  /** mL/min drawn from the source: the place's, or the place machine's. */
  readonly flow: number;
  /** From its start on no circuit is in place on its machine. */
  readonly endsCircuit: boolean;
  /** Tests of its source that ended before its end serve no longer, from its start on. */
  readonly voidsTests: boolean;
}
/** By index in the problem's machines or water sources. */
export type DutyPlace =
  | { readonly kind: 'machine'; readonly index: number }
  | { readonly kind: 'water'; readonly index: number };
/** Technicians that each kind of work takes for its whole length. */
export interface Hands {
  readonly circuit: number;
  readonly bath: number;
  readonly swap: number;
  readonly test: number;
}
export interface Rules {
  /** Exact millilitres that a bag must hold. */
  readonly bagMl: Fraction;
  readonly fillLitres: number;
  readonly maxLitres: number;
  /** Life of a circuit, min. */
  readonly circuitLife: number;
  /** From the end of its fill to a bag's expiry, min. */
  readonly shelf: number;
  /** stabilise + sample, min. */
  readonly bathMinutes: number;
  readonly stabiliseMinutes: number;
  readonly sampleMinutes: number;
  readonly swapMinutes: number;
  readonly circuitMinutes: number;
  readonly releaseMinutes: number;
  readonly leadMinutes: number;
  /** A hung bag is discarded after this, min, exact. */
  readonly maxHang: Fraction;
  /** Technicians walk so long before hands-on work at another place, min. */
  readonly walkMinutes: number;
  /** So long one technician stays at a fill that begins, min. */
  readonly fillStartMinutes: number;
  readonly hands: Hands;
  /** Bags of each fill that go to tests; see `Machine.usable`. */
  readonly sampleBags: number;
  /** A fill's bags also wait for a test of its machine's source that starts at or after the fill's end. */
  readonly releaseAfterTest: boolean;
  /** What a dose of mL/kg/h counts. */
  readonly doseMeans: DoseMeans;
}

/** What a plan is made with beyond the rules, so that work may be late (M35). */
export interface Slack {
  /** Bags are ready so long before they must be, min. */
  readonly roundMinutes: number;
  /** Swaps are planned so long before the bags would be overfull, min, as far as the fill window allows. */
  readonly swapMinutes: number;
  /** Tests are planned so long before they must be, min. */
  readonly testMinutes: number;
  /** So much of a circuit's life is left over, min. */
  readonly circuitMinutes: number;
  /** Machine and technicians rest so long after a swap, min. */
  readonly restMinutes: number;
  /** Bags of each bath wanted in stock after every round beyond what the site wants there. */
  readonly bags: number;
}

/** A scenario with its defaults in place and every time in whole minutes from its start. Indices are list positions. */
export interface Problem {
  readonly title: string;
  readonly clock: Clock;
  /** Length, min. */
  readonly horizon: number;
  readonly baths: readonly string[];
  readonly patients: readonly Course[];
  readonly machines: readonly Machine[];
  readonly water: readonly WaterSource[];
  readonly shifts: readonly ShiftBand[];
  /** Technicians on shift in each minute of the horizon. */
  readonly staff: Int16Array;
  /** Stock, then deliveries, in the file's order. */
  readonly lots: readonly Lot[];
  readonly supplies: readonly Supply[];
  readonly rounds: readonly Round[];
  readonly rules: Rules;
  /** Volumes of bags are whole numbers of 1/partsPerLitre litre. */
  readonly partsPerLitre: number;
  /** Parts that one bag of need counts (fillLitres). */
  readonly bagParts: number;
  /** Bags wanted at the end, by bath. */
  readonly reserve: readonly number[];
  /** Bags wanted in stock after every round, by bath. */
  readonly minStock: readonly number[];
  readonly duties: readonly Duty[];
  /** Nothing may begin before this minute; 0 where the plan is made from the start. */
  readonly now: number;
  /** Bags, by bath, that round 0 needs instead of those counted, where a day under way is planned on; else null. */
  readonly dueNow: readonly number[] | null;
  /** What begins there and then does not count once it is done; local times. */
  readonly lost: readonly LostRow[];
  /** Null: the plan is made by the rules alone. */
  readonly slack: Slack | null;
}
