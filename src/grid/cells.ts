import { isLocalTime, TIME_OF_DAY } from '../calendar/clock.ts';
import type { Scenario } from '../scenario/schema.ts';
import { tidy } from '../scenario/tidy.ts';
import { isPlainNumber, MAX_LENGTH, type Outcome, pointed, quantity } from './formula.ts';
import { readAmount, type Solute, unitQuestion } from './readIon.ts';
import { readClockTime, readLocalTime, type Sense } from './readTime.ts';
import { type Field, type Row, valueAt } from './sheet.ts';

/** What typed text means for a cell. `problem`: it is kept as it was typed and marked; `typed`: worth showing again. */
interface Read {
  /** undefined: the cell is empty, its default applies. Never 0 for an emptied cell. */
  readonly value: unknown;
  readonly typed?: string;
  readonly problem?: string;
  /** Something was left out, e.g. the date of a time: what it was taken for should be shown back. */
  readonly guessed?: boolean;
}
/** See `Sense`; without a now the scenario's start counts. */
export type Manner = Partial<Pick<Sense, 'now' | 'locale'>>;

const FULL = /^(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T](\d{1,2}):(\d{2})(?::00)?)?$/;
const two = (digits: string): string => digits.padStart(2, '0');

function readTime(field: Field, text: string, scenario: Scenario, { now, locale }: Manner): Read {
  const parts = FULL.exec(text);
  const time = parts
    ? `${parts[1]}-${two(parts[2]!)}-${two(parts[3]!)}T${two(parts[4] ?? '0')}:${parts[5] ?? '00'}`
    : '';
  if (isLocalTime(time)) return { value: time };
  const from = now ?? scenario.start;
  const read =
    text.length <= MAX_LENGTH && isLocalTime(from)
      ? readLocalTime(text, { now: from.slice(0, 16), past: field.past, locale })
      : null;
  if (read) return read;
  return { value: text, problem: `'${text}' is no local date and time; write it like 2031-02-03 07:00` };
}

function readClock(text: string): Read {
  const time = readClockTime(text) ?? text;
  return TIME_OF_DAY.test(time)
    ? { value: time }
    : { value: text, problem: `'${text}' is no time of day; write it like 06:00` };
}

/** An amount in a litre of a bath, in the units that labels use; a number that could be of two of them is asked about. */
function readSolute(solute: Solute, text: string, outcome: Outcome): Read {
  const amount = readAmount(solute, text);
  if (amount)
    return 'problem' in amount
      ? { value: text, problem: amount.problem }
      : { value: amount.value, typed: text };
  if ('problem' in outcome) return { value: text, problem: outcome.problem };
  const question = isPlainNumber(text) ? unitQuestion(solute, outcome.value) : null;
  return question === null ? numberRead(text, outcome.value) : { value: text, problem: question };
}

/** A bath by its name, or by its potassium: '3', '3 mmol/L' or '3 mEq/L' where one bath alone has that. */
function readBath(text: string, { baths }: Scenario): Read {
  const [, digits] = /^(\d+(?:\.\d+)?)\s*(?:mmol\/L|mEq\/L)?$/i.exec(text) ?? [];
  if (digits === undefined || baths.some(({ id }) => id === text)) return { value: text };
  const found = baths.filter(({ potassium }) => potassium === Number(digits)).map(({ id }) => id);
  const [only, ...more] = found;
  if (only !== undefined && more.length === 0) return { value: only, guessed: true };
  const which = `potassium of ${digits} mmol/L`;
  return only === undefined
    ? { value: text, problem: `a bath with ${which}; none is listed` }
    : { value: text, problem: `one of the baths with ${which}: ${found.join(', ')}` };
}

const numberRead = (text: string, value: number): Read =>
  isPlainNumber(text) ? { value } : { value, typed: text };

/** A quantity with its unit spelt as formulas know it: '22 h/day' of hours a day is 22 h. */
function spelt({ spellings = [], unit }: Field, text: string): string {
  const plain = text.replace(/\s+per\s+/gi, '/');
  const spelling = spellings.find((one) => plain.toLowerCase().endsWith(one.toLowerCase()));
  const digits = spelling === undefined ? '' : plain.slice(0, -spelling.length).trim();
  return isPlainNumber(digits) ? `${digits} ${unit}` : plain;
}

function readNumber(field: Field, text: string, locale?: string): Read {
  if (text.length > MAX_LENGTH) return { value: text, problem: `longer than ${MAX_LENGTH} characters` };
  const pointedText = pointed(text, locale);
  const outcome = quantity(spelt(field, pointedText), field.solute ? undefined : field.unit, locale);
  if (field.solute) return readSolute(field.solute, pointedText, outcome);
  if ('problem' in outcome) return { value: text, problem: outcome.problem };
  if (field.kind === 'integer' && !Number.isInteger(outcome.value))
    return { value: text, problem: `expected a whole number${field.unit ? ` of ${field.unit}` : ''}` };
  return numberRead(text, outcome.value);
}

const parts = (text: string): string[] =>
  text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '');

function readNumbers(text: string, kind: 'numbers' | 'series'): Read {
  const texts = text.split(/[,;\s]+/).filter((part) => part !== '');
  const wrong = texts.find((part) => !isPlainNumber(part));
  if (wrong !== undefined || texts.length === 0)
    return {
      value: text,
      problem: `'${wrong ?? text}' is no number; write numbers between commas, e.g. 1, 2, 4.5`,
    };
  const values = texts.map(Number);
  return { value: kind === 'series' && values.length === 1 ? values[0] : values };
}

const FLAGS: Readonly<Record<string, boolean>> = {
  yes: true,
  y: true,
  true: true,
  no: false,
  n: false,
  false: false,
};
const readFlag = (text: string): Read => {
  const value = FLAGS[text.toLowerCase()];
  return value === undefined ? { value: text, problem: `'${text}' is neither yes nor no` } : { value };
};

/** What text typed or pasted into a cell means. Surrounding space and letters that only look like others are put right. */
export function readCell(field: Field, text: string, scenario: Scenario, manner: Manner = {}): Read {
  const clean = tidy(text);
  if (clean === '') return { value: undefined };
  switch (field.kind) {
    case 'number':
    case 'integer':
      return readNumber(field, clean, manner.locale);
    case 'numbers':
    case 'series':
      return readNumbers(clean, field.kind);
    case 'time':
      return readTime(field, clean, scenario, manner);
    case 'clock':
      return readClock(clean);
    case 'clocks': {
      const read = parts(clean).map(readClock);
      return { value: read.map(({ value }) => value), problem: read.find(({ problem }) => problem)?.problem };
    }
    case 'flag':
      return readFlag(clean);
    case 'list':
      return { value: parts(clean) };
    case 'choice':
      return field.byPotassium ? readBath(clean, scenario) : { value: clean };
    default:
      return { value: clean };
  }
}

const shownTime = (value: string): string =>
  isLocalTime(value) ? value.slice(0, 16).replace('T', ' ') : value;

/** A cell's value as text, '' when it is empty: what is copied, exported and, without `typed`, edited. */
export function cellText(field: Field, row: Row, scenario: Scenario): string {
  if (field.show) return field.show(row, scenario);
  const value = valueAt(row.value, field.path);
  if (value === undefined || value === null) return '';
  if (Array.isArray(value)) return value.join(', ');
  // Fields of their own, shown in rows of their own.
  if (typeof value === 'object') return '';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (field.kind === 'time') return shownTime(String(value));
  return String(value);
}

/** What editing a cell shows: what was typed, as long as it still means the cell's value. */
export function editText(field: Field, row: Row, scenario: Scenario): string {
  const typed = valueAt(row.value, ['typed', field.key]);
  if (typeof typed === 'string') {
    const { value, problem } = readCell(field, typed, scenario);
    if (problem === undefined && value === valueAt(row.value, field.path)) return typed;
  }
  return cellText(field, row, scenario);
}

/** The default that stands in an empty cell, '' when there is none. */
export const fallbackText = (field: Field, scenario: Scenario): string => field.fallback?.(scenario) ?? '';

/** What is wrong with text that a number or time cell kept as it was typed, else null. */
export function cellProblem(field: Field, row: Row, scenario: Scenario): string | null {
  const value = valueAt(row.value, field.path);
  const named = field.kind === 'choice' && !field.byPotassium;
  if (typeof value !== 'string' || field.kind === 'text' || named || field.kind === 'fixed') return null;
  return readCell(field, value, scenario).problem ?? null;
}
