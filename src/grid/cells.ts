import { isLocalTime, TIME_OF_DAY } from '../calendar/clock.ts';
import type { Scenario } from '../scenario/schema.ts';
import { isPlainNumber, quantity } from './formula.ts';
import { type Field, type Row, valueAt } from './sheet.ts';

/** What typed text means for a cell. `problem`: it is kept as it was typed and marked; `typed`: worth showing again. */
export interface Read {
  /** undefined: the cell is empty, its default applies. Never 0 for an emptied cell. */
  readonly value: unknown;
  readonly typed?: string;
  readonly problem?: string;
}

const DATE_TIME = /^(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T](\d{1,2}):(\d{2})(?::00)?)?$/;
const CLOCK = /^(\d{1,2}):(\d{2})$/;
const two = (digits: string): string => digits.padStart(2, '0');

function readTime(text: string, scenario: Scenario): Read {
  const clock = CLOCK.exec(text);
  const full = clock ? `${scenario.start.slice(0, 10)} ${text}` : text;
  const parts = DATE_TIME.exec(full);
  const time = parts
    ? `${parts[1]}-${two(parts[2]!)}-${two(parts[3]!)}T${two(parts[4] ?? '0')}:${parts[5] ?? '00'}`
    : '';
  if (isLocalTime(time)) return { value: time };
  return { value: text, problem: `'${text}' is no local date and time; write it like 2031-02-03 07:00` };
}

function readClock(text: string): Read {
  const parts = CLOCK.exec(text);
  const time = parts ? `${two(parts[1]!)}:${parts[2]}` : text;
  return TIME_OF_DAY.test(time)
    ? { value: time }
    : { value: text, problem: `'${text}' is no time of day; write it like 06:00` };
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

/** What text typed or pasted into a cell means. Surrounding space is dropped. */
export function readCell(field: Field, text: string, scenario: Scenario): Read {
  const clean = text.replace(/[\s\u00a0]+/g, ' ').trim();
  if (clean === '') return { value: undefined };
  switch (field.kind) {
    case 'number':
    case 'integer': {
      const outcome = quantity(clean, field.unit);
      if ('problem' in outcome) return { value: clean, problem: outcome.problem };
      if (field.kind === 'integer' && !Number.isInteger(outcome.value))
        return { value: clean, problem: `expected a whole number${field.unit ? ` of ${field.unit}` : ''}` };
      return isPlainNumber(clean) ? { value: outcome.value } : { value: outcome.value, typed: clean };
    }
    case 'numbers':
    case 'series':
      return readNumbers(clean, field.kind);
    case 'time':
      return readTime(clean, scenario);
    case 'clock':
      return readClock(clean);
    case 'clocks': {
      const read = parts(clean).map(readClock);
      return { value: read.map(({ value }) => value), problem: read.find(({ problem }) => problem)?.problem };
    }
    case 'list':
      return { value: parts(clean) };
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
  if (typeof value !== 'string' || field.kind === 'text' || field.kind === 'choice' || field.kind === 'fixed')
    return null;
  return readCell(field, value, scenario).problem ?? null;
}
