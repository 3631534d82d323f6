import type { PlaceNow } from '../../reports/day/places.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** What a form adds to the entry: its own fields, and what its button says. Null: something is still missing. */
export interface Filled {
  readonly fields: Record<string, unknown>;
  readonly says: string;
}
export interface FormProps {
  readonly place: PlaceNow;
  readonly problem: Problem;
  readonly scenario: Scenario;
  readonly onFill: (filled: Filled | null) => void;
}

/** A number as typed, with a point or a comma; NaN for anything else. */
export const amount = (text: string): number =>
  text.trim() === '' ? Number.NaN : Number(text.trim().replace(',', '.'));
