import type { z } from 'zod';
import { valueAt } from './read.ts';
import { type Scenario, scenarioSchema } from './schema.ts';

const HOLDERS: readonly string[] = ['array', 'object', 'record'];

/** Something else stands where rows or fields belong. A cell for a list of numbers keeps text that is none, as typed. */
function isUnshowable(raw: object, issue: z.core.$ZodIssue): boolean {
  if (issue.code !== 'invalid_type' || !HOLDERS.includes(issue.expected)) return false;
  const path = issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key));
  return !(path.at(-1) === 'values' && typeof valueAt(raw, path) === 'string');
}

/** The scenario of a file with faults that the sheets can still show, so that they can be put right there; else null. */
export function repairable(text: string): Scenario | null {
  let raw: unknown;
  try {
    raw = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    return null;
  }
  if (typeof raw !== 'object' || raw === null) return null;
  const { format, version, title, timeZone, start, days } = raw as Record<string, unknown>;
  const head = [title, timeZone, start].every((value) => typeof value === 'string');
  if (format !== 'bathtide-scenario' || version !== 1 || !head || typeof days !== 'number') return null;
  const issues = scenarioSchema.safeParse(raw).error?.issues ?? [];
  return issues.some((issue) => isUnshowable(raw, issue)) ? null : (raw as Scenario);
}
