import type { Demand } from '../demand/demand.ts';
import type { Cover } from '../plan/cover.ts';
import type { Activity, Score } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { numberText } from '../words/numbers.ts';

/** A typed cell: the end of every trace. */
export interface CellRef {
  readonly sheet:
    | 'patients'
    | 'machines'
    | 'water'
    | 'shifts'
    | 'stock'
    | 'deliveries'
    | 'supplies'
    | 'rules';
  /** Row number from 0; for rules always 0. */
  readonly row: number;
  /** Dotted path in the row, e.g. 'dose' or 'changes.0.dose'. */
  readonly field: string;
  /** Nobody typed it: the default holds. */
  readonly isDefault: boolean;
}
/** A number and what it comes from. */
export interface Trace {
  readonly label: string;
  readonly value: number;
  /** '' for a plain count. */
  readonly unit: string;
  /** The formula in words; '' for a typed cell. */
  readonly formula: string;
  /** The formula with its values and units. */
  readonly filled: string;
  readonly cell: CellRef | null;
  /** What the formula's values come from; computed when opened. */
  readonly parts: () => readonly Trace[];
}
/** All that a shown number can come from. `covered` is computed from `activities` in this order. */
export interface Known {
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly demand: Demand;
  readonly activities: readonly Activity[];
  readonly covered: Cover;
}
/** A number that somebody asks about. Baths, patients, machines ... by list position; times in minutes. */
export type Question =
  | { readonly of: 'bags' | 'litres' | 'unmet'; readonly bath: number; readonly round: number }
  /** Bags of all baths hung in from..to-1, min. */
  | { readonly of: 'hung'; readonly from: number; readonly to: number }
  | { readonly of: 'roundBags'; readonly round: number }
  /** Until when every bag is there, asked at a minute. */
  | { readonly of: 'covered'; readonly minute: number }
  | { readonly of: 'dayBags'; readonly bath: number; readonly day: number }
  | { readonly of: 'rate'; readonly patient: number; readonly minute: number }
  | { readonly of: 'hang'; readonly patient: number; readonly hang: number }
  | { readonly of: 'shortest' | 'longest'; readonly machine: number }
  | { readonly of: 'score'; readonly part: keyof Score }
  | { readonly of: 'lot'; readonly lot: number }
  | { readonly of: 'water'; readonly source: number; readonly minute: number }
  | { readonly of: 'staff'; readonly minute: number }
  | { readonly of: 'load'; readonly minute: number }
  | { readonly of: 'supply'; readonly supply: number; readonly minute: number };

const nothing = () => [];

/** '1,950 mL/h'; a plain count has no unit. */
export const amount = (value: number, unit: string, places = 3): string =>
  unit ? `${numberText(value, places)} ${unit}` : numberText(value, places);

/** A value typed into a cell, or the default that stands for an empty one. */
export const typed = (label: string, value: number, unit: string, cell: CellRef): Trace => ({
  label,
  value,
  unit,
  formula: '',
  filled: cell.isDefault ? 'default: nothing is typed' : 'typed',
  cell,
  parts: nothing,
});

export const computed = (
  label: string,
  value: number,
  unit: string,
  formula: string,
  filled: string,
  parts: () => readonly Trace[] = nothing,
): Trace => ({ label, value, unit, formula, filled, cell: null, parts });

/** A sum of parts, shown as one: '12 bags = 4 bags + 8 bags'; long sums are cut in the text, never in the parts. */
export function sum(label: string, unit: string, formula: string, parts: readonly Trace[]): Trace {
  const value = parts.reduce((total, part) => total + part.value, 0);
  const shown = parts
    .slice(0, 8)
    .map((part) => (part.value < 0 ? `- ${numberText(-part.value, 3)}` : `+ ${numberText(part.value, 3)}`));
  const rest = parts.length > 8 ? ` and ${parts.length - 8} more` : '';
  const filled = `${shown.join(' ').replace(/^\+ /, '')}${rest}${parts.length ? ' = ' : ''}${amount(value, unit)}`;
  return computed(label, value, unit, formula, filled, () => parts);
}

/** A rule of the scenario, with its default. */
export function ruleCell(
  known: Known,
  field: keyof NonNullable<Scenario['rules']> & string,
  label: string,
  value: number,
  unit: string,
): Trace {
  return typed(label, value, unit, {
    sheet: 'rules',
    row: 0,
    field,
    isDefault: known.scenario.rules?.[field] == null,
  });
}
