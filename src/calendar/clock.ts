import { Temporal } from 'temporal-polyfill';

/** A local date-time as typed: whole minutes, no zone, e.g. 2031-02-03T07:00. */
const LOCAL_TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:00)?$/;
/** A time of day as typed, e.g. 06:00. */
export const TIME_OF_DAY = /^([01]\d|2[0-3]):[0-5]\d$/;

/** Translates between a site's local times and whole minutes from the scenario's start. */
export interface Clock {
  readonly timeZone: string;
  /** Minutes from the start (may be negative). A repeated time is its first occurrence; a skipped one moves on by the gap. */
  minuteOf(local: string): number;
  /** Local time of a minute, e.g. 2031-02-03T07:00. */
  localOf(minute: number): string;
  /** UTC instant of a minute, in milliseconds since 1970. */
  epochOf(minute: number): number;
  /** 'skipped' or 'repeated' when a clock change makes this local time odd, else null. */
  oddity(local: string): 'skipped' | 'repeated' | null;
  /** The local calendar dates that minutes from..to (inclusive) touch, in order, e.g. 2031-02-03. */
  datesOf(from: number, to: number): string[];
}

const DAY_MS = 86_400_000;

const clocks = new Map<string, Clock>();

/**
 * The clock of a site and start. The last few are kept with the times they know: an edit seldom changes zone or start,
 * and working out a local time costs more than all else in a compiled scenario.
 * @throws RangeError when the zone is unknown or the start is no local date-time.
 */
export function makeClock(timeZone: string, start: string): Clock {
  const key = `${timeZone} ${start}`;
  let clock = clocks.get(key);
  if (!clock) {
    if (clocks.size >= 8) clocks.clear();
    clock = newClock(timeZone, start);
    clocks.set(key, clock);
  }
  return clock;
}

function newClock(timeZone: string, start: string): Clock {
  const plain = (local: string) => Temporal.PlainDateTime.from(local);
  const epoch = (local: string) =>
    plain(local).toZonedDateTime(timeZone, { disambiguation: 'compatible' }).epochMilliseconds;
  const zero = epoch(start);
  const known = new Map<string, number>();
  const offsets = new Map<number, number>();
  /** Local time less UTC on a UTC day, ms; NaN where it changes within the day. */
  const offsetOn = (day: number): number => {
    let offset = offsets.get(day);
    if (offset === undefined) {
      const from = Temporal.Instant.fromEpochMilliseconds(day * DAY_MS).toZonedDateTimeISO(timeZone);
      const change = from.getTimeZoneTransition('next')?.epochMilliseconds ?? Number.POSITIVE_INFINITY;
      offset = change < (day + 1) * DAY_MS ? Number.NaN : from.offsetNanoseconds / 1e6;
      offsets.set(day, offset);
    }
    return offset;
  };
  /** UTC, ms, of a local time: a sum, where the days around it have one offset. */
  const epochOfLocal = (local: string): number => {
    if (!isLocalTime(local)) return epoch(local);
    const asUtc = Date.parse(`${local.slice(0, 16)}Z`);
    const day = Math.floor(asUtc / DAY_MS);
    const offset = offsetOn(day);
    return offset === offsetOn(day - 1) && offset === offsetOn(day + 1) ? asUtc - offset : epoch(local);
  };
  const knownOddity = new Map<string, ReturnType<Clock['oddity']>>();
  const zoned = (minute: number) =>
    Temporal.Instant.fromEpochMilliseconds(zero + minute * 60_000).toZonedDateTimeISO(timeZone);
  const localOf = (minute: number) => {
    const at = zero + minute * 60_000;
    const offset = offsetOn(Math.floor(at / DAY_MS));
    const text = Number.isNaN(offset) ? '' : new Date(at + offset).toISOString();
    // Years of more or less than four digits are written otherwise.
    if (text.length === 24) return text.slice(0, 16);
    return zoned(minute).toPlainDateTime().toString({ smallestUnit: 'minute' });
  };
  const oddityOf = (local: string) => {
    const at = plain(local);
    const earlier = at.toZonedDateTime(timeZone, { disambiguation: 'earlier' }).epochMilliseconds;
    const later = at.toZonedDateTime(timeZone, { disambiguation: 'later' }).epochMilliseconds;
    if (earlier === later) return null;
    return Temporal.Instant.fromEpochMilliseconds(earlier)
      .toZonedDateTimeISO(timeZone)
      .toPlainDateTime()
      .equals(at)
      ? 'repeated'
      : 'skipped';
  };
  return {
    timeZone,
    minuteOf(local) {
      let minute = known.get(local);
      if (minute === undefined) {
        minute = Math.round((epochOfLocal(local) - zero) / 60_000);
        known.set(local, minute);
      }
      return minute;
    },
    localOf,
    epochOf: (minute) => zero + minute * 60_000,
    oddity(local) {
      const before = knownOddity.get(local);
      if (before !== undefined) return before;
      const oddity = oddityOf(local);
      knownOddity.set(local, oddity);
      return oddity;
    },
    datesOf(from, to) {
      const dates: string[] = [];
      let date = zoned(from).toPlainDate();
      const last = zoned(to).toPlainDate();
      while (Temporal.PlainDate.compare(date, last) <= 0) {
        dates.push(date.toString());
        date = date.add({ days: 1 });
      }
      return dates;
    },
  };
}

/** The calendar date after or before one, e.g. nextDate('2031-02-28', 1) = '2031-03-01'. */
export const nextDate = (date: string, days: number): string =>
  new Date(Date.parse(`${date}T00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);

/** Whether the platform knows this IANA zone name. */
export function knowsZone(timeZone: string): boolean {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(timeZone);
    return true;
  } catch {
    return false;
  }
}

/** Whether a string is a real local date-time: right shape, and a day that the calendar has. */
export function isLocalTime(text: string): boolean {
  if (!LOCAL_TIME.test(text)) return false;
  const [month, day, hour, sixties] = [
    text.slice(5, 7),
    text.slice(8, 10),
    text.slice(11, 13),
    text.slice(14, 16),
  ];
  if (month >= '01' && month <= '12' && day >= '01' && day <= '28' && hour <= '23' && sixties <= '59')
    return true;
  // A day or hour that the calendar lacks is no date here, or rolls over into another.
  const minute = text.slice(0, 16);
  const date = new Date(`${minute}Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().slice(0, 16) === minute;
}
