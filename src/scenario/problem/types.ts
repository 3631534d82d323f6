import type { Clock } from '../../calendar/clock.ts';
import type { Fraction } from '../../exact/fraction.ts';
import type { LostRow } from '../schema.ts';

export const MINUTES_A_DAY = 1440;

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
}
export interface Machine {
  readonly id: string;
  /** mL/min */
  readonly flow: number;
  readonly positions: number;
  /** Bath numbers it may run. */
  readonly baths: readonly number[];
  /** Index of its water source. */
  readonly water: number;
  /** Sorted by start; `to` is exclusive. Cut to the horizon. */
  readonly windows: readonly { readonly from: number; readonly to: number }[];
  readonly loaded: { readonly bath: number; readonly since: number } | null;
  /** Fill window, min: a fill lasts shortest..longest. */
  readonly shortest: number;
  readonly longest: number;
}
export interface WaterSource {
  readonly id: string;
  /** mL/min */
  readonly capacity: number;
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
  /** What begins there and then does not count once it is done; local times. */
  readonly lost: readonly LostRow[];
}
