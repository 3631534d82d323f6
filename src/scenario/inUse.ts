import { isLocalTime } from '../calendar/clock.ts';
import type { Scenario } from './schema.ts';

/** As in a plan: whole minutes from the scenario's start. */
export type ActivityInUse =
  | ({ readonly kind: 'circuit' | 'bath' | 'fill'; readonly machine: string; readonly bath: string } & Span)
  | ({ readonly kind: 'swap'; readonly machine: string } & Span)
  | ({ readonly kind: 'test'; readonly water: string } & Span)
  | ({
      readonly kind: 'duty';
      readonly duty: string;
      readonly at: number;
      readonly machine?: string;
      readonly water?: string;
    } & Span);
interface Span {
  readonly start: number;
  readonly end: number;
}

/** A plan that people work by: what begins before `now` is done, and planning goes on from there. */
export interface PlanInUse {
  /** Local time from which the activities' minutes count: the scenario's start when it was kept. */
  readonly start: string;
  /** Local time. */
  readonly now: string;
  readonly activities: readonly ActivityInUse[];
}

const isText = (value: unknown): value is string => typeof value === 'string' && value !== '';

function activityOf(row: Readonly<Record<string, unknown>>): ActivityInUse | null {
  const { kind, machine, bath, water, duty, at, start, end } = row;
  if (!Number.isSafeInteger(start) || !Number.isSafeInteger(end) || (start as number) >= (end as number))
    return null;
  const span = { start: start as number, end: end as number };
  if (kind === 'duty')
    return isText(duty) && Number.isSafeInteger(at)
      ? {
          kind,
          duty,
          at: at as number,
          ...(isText(machine) && { machine }),
          ...(isText(water) && { water }),
          ...span,
        }
      : null;
  if (kind === 'test') return isText(water) ? { kind, water, ...span } : null;
  if (!isText(machine)) return null;
  if (kind === 'swap') return { kind, machine, ...span };
  if (kind !== 'circuit' && kind !== 'bath' && kind !== 'fill') return null;
  return isText(bath) ? { kind, machine, bath, ...span } : null;
}

/** The plan in use that a scenario's file keeps; null when it keeps none, 'broken' when what it keeps cannot be read. */
export function planInUse({ inUse, start }: Pick<Scenario, 'inUse' | 'start'>): PlanInUse | 'broken' | null {
  if (!inUse) return null;
  const activities = inUse.activities.map(activityOf);
  const whole = activities.flatMap((activity) => activity ?? []);
  const readable = isLocalTime(inUse.now) && inUse.start === start && whole.length === activities.length;
  return readable ? { start, now: inUse.now, activities: whole } : 'broken';
}

/** The scenario with this plan in use, or with none. */
export function withPlanInUse(scenario: Scenario, inUse: PlanInUse | null): Scenario {
  const { inUse: _, ...rest } = scenario;
  return inUse
    ? {
        ...rest,
        inUse: {
          start: inUse.start,
          now: inUse.now,
          activities: inUse.activities.map((one) => ({ ...one })),
        },
      }
    : rest;
}
