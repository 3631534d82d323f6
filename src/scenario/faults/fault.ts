import { type Clock, isLocalTime, knowsZone, makeClock, TIME_OF_DAY } from '../../calendar/clock.ts';
import { places } from '../../exact/fraction.ts';
import { fieldAt, type Limits, limitsOf } from '../fields.ts';
import { roundsOf } from '../problem/rounds.ts';
import { DEFAULT_RULES } from '../problem/rules.ts';
import { MINUTES_A_DAY, type Round } from '../problem/types.ts';
import type { Scenario } from '../schema.ts';

/** One thing that is wrong (error: nothing can be planned) or unusual (warning) in a scenario. */
export interface Fault {
  readonly level: 'error' | 'warning';
  /** Keys and list positions from the scenario down to the field, e.g. ['patients', 3, 'dose']. */
  readonly path: readonly (string | number)[];
  /** What is wrong, with the value and its unit. */
  readonly message: string;
  /** What would be right. */
  readonly hint: string;
  /** Where a published limit comes from. */
  readonly source?: string;
  /** The id of the listed row that the path leads through, e.g. bed-04. */
  readonly row?: string;
}
type Path = Fault['path'];

/** Times as people write them: the T that files put between date and time is none of their words. */
const asRead = (text: string): string => text.replace(/(\d{4}-\d\d-\d\d)T(?=\d\d:\d\d)/g, '$1 ');

export const error = (path: Path, message: string, hint: string): Fault => ({
  level: 'error',
  path,
  message: asRead(message),
  hint: asRead(hint),
});
export const warning = (path: Path, message: string, hint: string, source?: string): Fault => ({
  level: 'warning',
  path,
  message: asRead(message),
  hint: asRead(hint),
  ...(source && { source }),
});

/** What a field holds, by its name on the screen: 'Weight is 900 kg', 'Test takes 0 min'; its key where no sheet shows it. */
export function saying(path: Path, value: string): string {
  const name = fieldAt(path)?.name ?? String(path.at(-1));
  return /(lasts|takes|by|means)$/i.test(name) ? `${name} ${value}` : `${name} is ${value}`;
}

/** At most one fault: the field's value against its limits. An absent value is no fault. */
export function* outside(path: Path, value: number | null | undefined, limits: Limits): Generator<Fault> {
  if (value == null) return;
  const { min, max, unit, usual, note } = limits;
  const what = saying(path, `${value} ${unit}`.trimEnd());
  const range = `${limits.aboveMin ? `above ${min}, at most ${max}` : `${min} to ${max}`} ${unit}`.trimEnd();
  const comment = note ? ` (${note})` : '';
  if (value < min || value > max || (limits.aboveMin && value === min))
    yield error(path, what, usual ? `${range}; usual is ${usual[0]} to ${usual[1]}${comment}` : range);
  else if (usual && (value < usual[0] || value > usual[1]))
    yield warning(
      path,
      `${what}, outside the usual range`,
      `usual is ${usual[0]} to ${usual[1]} ${unit}`.trimEnd() + comment,
      limits.source,
    );
}

/** Decimal places as typed; 0 where the number is not known (NaN, see `halfRead.ts`). */
export const placesOf = (value: number): number => (Number.isFinite(value) ? places(value) : 0);

/** One error for each later row whose name an earlier row has. */
export function* repeated<Row>(
  list: string,
  rows: readonly Row[],
  key: string & keyof Row,
): Generator<Fault> {
  const first = new Map<unknown, number>();
  for (const [index, row] of rows.entries()) {
    const earlier = first.get(row[key]);
    if (earlier === undefined) first.set(row[key], index);
    else
      yield error(
        [list, index, key],
        `"${row[key]}" is the name of row ${earlier + 1} too`,
        'a name that no other row of the list has',
      );
  }
}

/** A scenario with what most rules look up. */
export interface Ground {
  readonly scenario: Scenario;
  /** Null when zone, start or days are faulty: rules about time then keep silent. */
  readonly clock: Clock | null;
  /** min */
  readonly horizon: number;
  readonly baths: ReadonlySet<string>;
  /** Null when a round's time of day is malformed or the clock is missing. */
  readonly rounds: readonly Round[] | null;
  /** A rule's value, or its default. */
  rule(name: Exclude<keyof typeof DEFAULT_RULES, 'rounds' | 'releaseBy' | 'doseMeans'>): number;
  /** Minute of a local time; null when absent, malformed or without a clock. */
  minute(local: string | null | undefined): number | null;
}
export type FaultRule = (ground: Ground) => Iterable<Fault>;

export const MAX_DAYS = limitsOf('days').max;
/** The zones' rules are known and sure only for years near ours. */
export const YEARS = { first: 2000, last: 2199 };

const hasGoodStart = ({ timeZone, start, days }: Scenario): boolean =>
  knowsZone(timeZone) &&
  isLocalTime(start) &&
  Number(start.slice(0, 4)) >= YEARS.first &&
  Number(start.slice(0, 4)) <= YEARS.last &&
  days >= 1 &&
  days <= MAX_DAYS;

export function groundOf(scenario: Scenario): Ground {
  const rules = scenario.rules ?? {};
  const rule: Ground['rule'] = (name) => rules[name] ?? DEFAULT_RULES[name];
  const clock = hasGoodStart(scenario) ? makeClock(scenario.timeZone, scenario.start) : null;
  const horizon = scenario.days * MINUTES_A_DAY;
  const times = rules.rounds ?? DEFAULT_RULES.rounds;
  const goodRounds = clock && rule('leadMinutes') >= 0 && times.every((time) => TIME_OF_DAY.test(time));
  return {
    scenario,
    clock,
    horizon,
    baths: new Set(scenario.baths.map((bath) => bath.id)),
    rounds: goodRounds ? roundsOf(times, rule('leadMinutes'), clock, horizon) : null,
    rule,
    minute: (local) => (clock && local && isLocalTime(local) ? clock.minuteOf(local) : null),
  };
}
