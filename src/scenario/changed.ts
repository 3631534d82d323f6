import { numberText } from '../words/numbers.ts';
import type { ScenarioField } from './fieldRows.ts';
import { fieldAt } from './fields.ts';
import { changesBetween } from './merge.ts';

/** One field of a prescription that a save changed: a line of a computer's history beside the scenario. */
export interface Changed {
  /** ISO 8601, UTC */
  readonly at: string;
  /** account of the computer that saved */
  readonly by: string;
  /** name of that computer */
  readonly on: string;
  /** bed, and the field within: ['bed-04', 'dose']; the bed alone: the whole row came or went */
  readonly what: readonly string[];
  /** null: there was none */
  readonly from: unknown;
  /** null: there is none any more */
  readonly to: unknown;
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
};
const patientsOf = (text: string): unknown => (parsed(text) as { patients?: unknown } | undefined)?.patients;

/** The fields of prescriptions that differ between two texts of a scenario; none where one is no scenario. */
export function changedFields(before: string, after: string): Pick<Changed, 'what' | 'from' | 'to'>[] {
  const [was, now] = [patientsOf(before), patientsOf(after)];
  if (!Array.isArray(was) || !Array.isArray(now)) return [];
  return changesBetween(was, now)
    .filter(({ path: what }) => what.length > 0 && what[0] !== 'order')
    .map(({ path: what, before: from, after: to }) => ({ what, from: from ?? null, to: to ?? null }));
}

const isText = (value: unknown): value is string => typeof value === 'string';

function isChanged(value: unknown): value is Changed {
  if (typeof value !== 'object' || value === null) return false;
  const { at, by, on, what } = value as Partial<Record<keyof Changed, unknown>>;
  return (
    [at, by, on].every(isText) &&
    !Number.isNaN(Date.parse(String(at))) &&
    Array.isArray(what) &&
    what.length > 0 &&
    what.every(isText) &&
    Object.hasOwn(value, 'from') &&
    Object.hasOwn(value, 'to')
  );
}

/**
 * The changes of all computers, the latest first; with a line for each line that cannot be read, as one that a crash has
 * cut off.
 */
export function readChanges(files: readonly { readonly name: string; readonly text: string }[]): {
  readonly changes: readonly Changed[];
  readonly faults: readonly string[];
} {
  const changes: Changed[] = [];
  const faults: string[] = [];
  for (const { name, text } of files)
    for (const [index, line] of text.split('\n').entries()) {
      if (line.trim() === '') continue;
      const one = parsed(line);
      if (isChanged(one)) changes.push(one);
      else faults.push(`${name}, line ${index + 1}, cannot be read. It counts for nothing.`);
    }
  return { changes: changes.sort((a, b) => Date.parse(b.at) - Date.parse(a.at)), faults };
}

/** A change in words: which bed, which field by its name on screen, what it was and is, each with its unit. */
interface ChangeWords {
  readonly bed: string;
  readonly field: string;
  readonly from: string;
  readonly to: string;
}

/** The field at a place within a prescription, where rows of a list are known by their names. */
function fieldWithin(within: readonly string[]): { field?: ScenarioField; row?: string } {
  const field = fieldAt(['patients', 0, ...within]);
  if (field) return { field };
  const [list = '', row = '', ...rest] = within;
  return { field: fieldAt(['patients', 0, list, 0, ...rest]), row };
}

function valueWords(value: unknown, field: ScenarioField | undefined): string {
  if (value === null || value === undefined) return 'empty';
  if (typeof value === 'number') return `${numberText(value, 6)} ${field?.unit ?? ''}`.trim();
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return isText(value) ? value : JSON.stringify(value);
}

/** A whole prescription, field by field. */
const rowWords = (row: unknown): string =>
  typeof row === 'object' && row !== null
    ? Object.entries(row)
        .filter(([key]) => key !== 'id')
        .map(([key, value]) => {
          const { field } = fieldWithin([key]);
          return `${field?.name ?? key} ${valueWords(value, field)}`;
        })
        .join(', ')
    : valueWords(row, undefined);

export function changeWords({ what, from, to }: Changed): ChangeWords {
  const [bed = '', ...within] = what;
  if (within.length === 0) {
    const field =
      from === null ? 'Prescription added' : to === null ? 'Prescription removed' : 'Prescription';
    return { bed, field, from: from === null ? '' : rowWords(from), to: to === null ? '' : rowWords(to) };
  }
  const { field, row } = fieldWithin(within);
  const name = field?.name ?? within.join(' › ');
  return {
    bed,
    field: row === undefined || !field ? name : `${row} › ${name}`,
    from: valueWords(from, field),
    to: valueWords(to, field),
  };
}
