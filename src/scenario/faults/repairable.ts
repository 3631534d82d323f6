import type { z } from 'zod';
import { parseFile, takeOver, valueAt } from '../read.ts';
import { type Scenario, scenarioSchema } from '../schema.ts';
import type { Fault } from './fault.ts';

const HOLDERS: readonly string[] = ['array', 'object', 'record'];

/** Something else stands where rows or fields belong. A cell for a list of numbers keeps text that is none, as typed. */
function isUnshowable(raw: object, issue: z.core.$ZodIssue): boolean {
  if (issue.code !== 'invalid_type' || !HOLDERS.includes(issue.expected)) return false;
  const path = issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key));
  return !(path.at(-1) === 'values' && typeof valueAt(raw, path) === 'string');
}

/**
 * The scenario of a file with faults that the sheets can still show, so that they can be put right there, with what reading
 * changed in it (see `takeOver`); else null.
 */
export function repairable(text: string): { scenario: Scenario; taken: Fault[] } | null {
  const parsed = parseFile(text);
  const raw = 'raw' in parsed ? parsed.raw : null;
  if (typeof raw !== 'object' || raw === null) return null;
  const { format, version, title, timeZone, start, days } = raw as Record<string, unknown>;
  const head = [title, timeZone, start].every((value) => typeof value === 'string');
  if (format !== 'bathtide-scenario' || version !== 1 || !head || typeof days !== 'number') return null;
  const issues = scenarioSchema.safeParse(raw).error?.issues ?? [];
  if (issues.some((issue) => isUnshowable(raw, issue))) return null;
  return { taken: takeOver(raw as Scenario), scenario: raw as Scenario };
}
