import { type ParseError, parseTree, printParseErrorCode, visit } from 'jsonc-parser';
import type { z } from 'zod';
import { error, type Fault, warning } from './faults/fault.ts';
import { faultsOf, rowName } from './faults/faults.ts';
import { whereOnScreen } from './fields.ts';
import { faultsOfTheRest } from './halfRead.ts';
import { type Scenario, scenarioSchema } from './schema.ts';
import { adopt } from './unassigned.ts';

/** Largest file that is looked into, in characters. */
export const MOST_CHARACTERS = 20_000_000;

type Reading =
  | {
      readonly ok: true;
      readonly scenario: Scenario;
      readonly warnings: readonly Fault[];
      /** Those of `warnings` that are true of the file and no more of the scenario. */
      readonly taken: readonly Fault[];
    }
  | { readonly ok: false; readonly faults: readonly Fault[] };

const refuse = (...faults: Fault[]): Reading => ({ ok: false, faults });

/** Where a text stops being JSON. The platforms' own messages differ and often give no position. */
function syntaxFault(text: string): Fault {
  const problems: ParseError[] = [];
  try {
    parseTree(text, problems, { disallowComments: true, allowEmptyContent: false });
  } catch {
    // Nested deeper than the stack: no position then.
  }
  const first = problems[0];
  const hint = 'JSON: text in "double quotes", commas between fields, decimals with a point, no comments';
  if (!first) return error([], 'not JSON', hint);
  const before = text.slice(0, first.offset);
  const line = before.split('\n').length;
  const column = first.offset - before.lastIndexOf('\n');
  const what = printParseErrorCode(first.error)
    .replace(/([A-Z])/g, ' $1')
    .trim()
    .toLowerCase();
  return error([], `not JSON at line ${line}, column ${column}: ${what}`, hint);
}

/**
 * Fields that stand twice in one object: JSON takes the last in silence, so that of two doses one would be planned with and
 * the other lost on saving.
 */
function repeatedFields(json: string, raw: unknown): Fault[] {
  const found: Fault[] = [];
  const open: Map<string, number>[] = [];
  visit(json, {
    onObjectBegin: () => {
      open.push(new Map());
    },
    onObjectEnd: () => {
      open.pop();
    },
    onObjectProperty(field, _offset, _length, line, _column, pathTo) {
      const lines = open.at(-1)!;
      const first = lines.get(field);
      lines.set(field, first ?? line + 1);
      if (first === undefined) return;
      const path = [...pathTo(), field];
      const row = rowName(raw, path);
      found.push({
        ...error(path, `${field} stands twice, in lines ${first} and ${line + 1}`, 'one of the two'),
        ...(row !== undefined && { row }),
      });
    },
  });
  return found;
}

/** What a file's text holds, as JSON: every field once. */
export function parseFile(text: string): { readonly raw: unknown } | { readonly faults: readonly Fault[] } {
  // Some editors begin a UTF-8 file with a mark that JSON does not allow.
  const json = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  let raw: unknown;
  try {
    raw = JSON.parse(json);
  } catch {
    const empty = error([], 'the file is empty', 'a scenario file in JSON');
    return { faults: [json.trim() === '' ? empty : syntaxFault(json)] };
  }
  try {
    const faults = repeatedFields(json, raw);
    return faults.length > 0 ? { faults } : { raw };
  } catch (thrown) {
    if (!(thrown instanceof RangeError)) throw thrown;
    return { faults: [error([], 'lists or fields nested too deeply', 'a scenario file in JSON')] };
  }
}

export function valueAt(root: unknown, path: readonly PropertyKey[]): unknown {
  let value = root;
  for (const key of path) value = (value as Record<PropertyKey, unknown> | null | undefined)?.[key];
  return value;
}

const NAMES: Record<string, string> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text in double quotes',
  array: 'a list in [ ]',
  object: 'fields in { }',
  record: 'fields in { }',
};

function named(value: unknown): string {
  if (value === null) return 'null';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object') return 'fields in { }';
  if (typeof value !== 'string') return `${value}`;
  return `the text ${JSON.stringify(value.length > 60 ? `${value.slice(0, 60)}...` : value)}`;
}

/** What the schema expects, in words. */
function expected(issue: z.core.$ZodIssue): string {
  if (issue.code === 'invalid_type') return NAMES[issue.expected] ?? issue.expected;
  if (issue.code === 'invalid_value')
    return `one of ${issue.values.map((v) => JSON.stringify(v)).join(', ')}`;
  if (issue.code === 'too_small') return 'text that is not empty';
  if (issue.code === 'too_big') return `at most ${issue.maximum}`;
  if (issue.code === 'invalid_union')
    return [...new Set(issue.errors.flatMap((choice) => choice.slice(0, 1).map(expected)))].join(' or ');
  return issue.message;
}

/** The one number that a text can mean, as JSON writes it: 25 mL, 6,5; none for 1,200, 1 200 or 7-19. */
function numberIn(text: string): string | undefined {
  const [, whole, , decimals, rest = ''] = /^\s*(-?\d+)([.,](\d+))?(.*)$/s.exec(text) ?? [];
  if (whole === undefined || /\d/.test(rest) || (text.includes(',') && decimals?.length === 3))
    return undefined;
  const value = Number(decimals === undefined ? whole : `${whole}.${decimals}`);
  return Number.isFinite(value) ? String(value) : undefined;
}

function shapeFault(raw: unknown, issue: z.core.$ZodIssue): Fault {
  const path = issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key));
  const value = valueAt(raw, path);
  const hint = expected(issue);
  const field = path.length > 0 ? String(path.at(-1)) : 'the file';
  const message = value === undefined ? `${field} is missing` : `${field} is ${named(value)}`;
  const digits = hint.includes('number') && typeof value === 'string' ? numberIn(value) : undefined;
  const row = rowName(raw, path);
  return {
    ...error(path, message, digits === undefined ? hint : `${hint} without unit or quotes, e.g. ${digits}`),
    ...(row !== undefined && { row }),
  };
}

/** Faults of shape alone (a field missing or of the wrong kind); without any, `faultsOf` tells all there are. */
export function shapeFaults(raw: unknown): Fault[] {
  const shape = scenarioSchema.safeParse(raw);
  return shape.success ? [] : shape.error.issues.map((issue) => shapeFault(raw, issue));
}

/**
 * Every fault that can be told at once, of shape and of value, also while some values have the wrong kind.
 * @param worded how a fault of shape is told where no file is read
 */
export function allFaults(raw: unknown, worded: (fault: Fault) => Fault = (fault) => fault): Fault[] {
  const misshapen = shapeFaults(raw).map(worded);
  return misshapen.length > 0 ? [...misshapen, ...faultsOfTheRest(raw)] : faultsOf(raw as Scenario);
}

/** Gives rows that waited for an owner who is listed in the same file to that owner, and says so of each. */
export function takeOver(raw: Scenario): Fault[] {
  return adopt(raw).map(({ owner, path }) => ({
    ...warning(
      path,
      `this row waited in unassigned for "${owner}", who is listed; it is planned with now`,
      'saved so; delete the row if it is not meant',
    ),
    row: owner,
  }));
}

/**
 * Reads a scenario file: every fault at once, or the scenario with its warnings. The scenario is the parsed file itself,
 * so fields that this version does not know, and the order of all fields, stay as they are; but rows that waited for their
 * owner are with it where it is listed.
 */
export function readScenario(text: string): Reading {
  if (text.length > MOST_CHARACTERS)
    return refuse(
      error(
        [],
        `the file has ${Math.round(text.length / 1e6)} million characters`,
        `a scenario file of at most ${MOST_CHARACTERS / 1e6} MB`,
      ),
    );
  const parsed = parseFile(text);
  if ('faults' in parsed) return refuse(...parsed.faults);
  const { raw } = parsed;
  const { format, version } = (raw ?? {}) as Record<string, unknown>;
  if (format !== 'bathtide-scenario')
    return refuse(
      error(
        ['format'],
        format === undefined ? 'format is missing' : `format is ${named(format)}`,
        '"bathtide-scenario": this file is no scenario',
      ),
    );
  if (version !== 1)
    return refuse(
      error(
        ['version'],
        version === undefined ? 'version is missing' : `version is ${named(version)}`,
        '1; a later version needs a later program',
      ),
    );
  const taken = takeOver(raw as Scenario);
  const faults = [...taken, ...allFaults(raw)];
  return faults.some((fault) => fault.level === 'error')
    ? { ok: false, faults }
    : { ok: true, scenario: raw as Scenario, warnings: faults, taken };
}

/** The file's text: two spaces a level, fields in their order, unknown ones too. `readScenario` reads it back the same. */
export const writeScenario = (scenario: Scenario): string => `${JSON.stringify(scenario, null, 2)}\n`;

/** A path as a person reads it: patients[3] (bed-04).dose */
export function pathText({ path, row }: Fault): string {
  return path
    .map((key, depth) => {
      const step = typeof key === 'number' ? `[${key}]` : depth === 0 ? key : `.${key}`;
      return depth === 1 && row !== undefined ? `${step} (${row})` : step;
    })
    .join('');
}

/**
 * One line: file, path of the field, its names on the screen, what is wrong, what would be right. Line breaks and control
 * characters of names are shown as spaces.
 */
export function faultLine(fileName: string, fault: Fault): string {
  const places = [pathText(fault), whereOnScreen(fault.path, fault.row)].filter(Boolean);
  const line = `${[fileName, ...places].join(': ')}: ${fault.message}. Expected: ${fault.hint}`;
  return line.replace(/\p{Cc}+/gu, ' ');
}
