import type { Problem, Rules } from '../scenario/problem/types.ts';
import type { Activity, ActivityKind, DutyActivity } from './plan.ts';

/** A piece of hands-on work, and the walk to it. Whole minutes from the start, `end` exclusive. */
export interface Work {
  /** Which of the activities it belongs to. */
  readonly index: number;
  /** From here on its technicians are held: they walk until `start`. */
  readonly walkFrom: number;
  readonly start: number;
  readonly end: number;
  readonly technicians: number;
}

/** A machine and a water source may bear the same name. '' is no place: a break, or work elsewhere. */
export function placeKey(activity: Activity): string {
  if (activity.kind === 'test') return `water ${activity.water}`;
  if (activity.kind !== 'duty') return `machine ${activity.machine}`;
  if (activity.machine != null) return `machine ${activity.machine}`;
  return activity.water == null ? '' : `water ${activity.water}`;
}

/** Technicians that a kind of activity takes, and for how many of its minutes; a duty's stand in its row. */
function handsOf(
  kind: Exclude<ActivityKind, 'duty'>,
  { hands, fillStartMinutes }: Rules,
  length: number,
): { readonly technicians: number; readonly minutes: number } {
  if (kind !== 'fill') return { technicians: hands[kind], minutes: length };
  return { technicians: fillStartMinutes > 0 ? 1 : 0, minutes: Math.min(length, fillStartMinutes) };
}

/**
 * The hands-on work of a plan (M16, M17), in the order of its activities: circuit, bath, swap, test and duty throughout, a fill for
 * its first `fillStartMinutes`. Each also holds its technicians while they walk to it, unless hands-on work at the same
 * place ends as it starts, however many either takes; work without a place always walks. What takes nobody is no work.
 * Two duties of one name in a broken plan: each takes what the first row of that name says.
 */
export function workOf(problem: Problem, activities: readonly Activity[]): Work[] {
  const { rules } = problem;
  const duties = new Map(problem.duties.toReversed().map((duty) => [duty.id, duty]));
  const dutyHands = ({ duty }: DutyActivity) => duties.get(duty)?.technicians ?? 0;
  const pieces = activities.flatMap((activity, index) => {
    const { start, end } = activity;
    const { technicians, minutes } =
      activity.kind === 'duty'
        ? { technicians: dutyHands(activity), minutes: end - start }
        : handsOf(activity.kind, rules, end - start);
    return technicians > 0 && minutes > 0
      ? { index, place: placeKey(activity), start, end: start + minutes, technicians }
      : [];
  });
  const ends = new Set(pieces.flatMap(({ place, end }) => (place === '' ? [] : `${place}\n${end}`)));
  return pieces.map(({ place, ...piece }) => ({
    ...piece,
    walkFrom: ends.has(`${place}\n${piece.start}`)
      ? piece.start
      : Math.max(Math.min(0, piece.start), piece.start - rules.walkMinutes),
  }));
}

/** Technician minutes of circuit, bath, swap and test, and of fills that begin. Walking and duties are not in it. */
export function handsOnMinutes({ rules }: Problem, activities: readonly Activity[]): number {
  return activities.reduce((sum, { kind, start, end }) => {
    if (kind === 'duty') return sum;
    const { technicians, minutes } = handsOf(kind, rules, end - start);
    return sum + technicians * minutes;
  }, 0);
}
