import { isLocalTime } from '../calendar/clock.ts';

/** How a date and time is meant where its text leaves something out. */
export interface Sense {
  /** Local time now, e.g. 2031-02-03T07:00: a time without a date, or a date without a year, is the next such one from here. */
  readonly now: string;
  /** Instead the last such one, for what lies behind. */
  readonly past?: boolean;
  /** Whose way of writing 11/10 counts, BCP 47; absent: the person's own. */
  readonly locale?: string;
}
/** guessed: something was left out or could be read otherwise, so that it should be shown back. */
interface TimeRead {
  readonly value: string;
  readonly guessed: boolean;
}

const two = (number: number): string => String(number).padStart(2, '0');
const iso = (year: number, month: number, day: number, time: string): string =>
  `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}T${time}`;

/** '07:00', '7:05 pm', '7pm', '19.30 h', '1900 h' -> '07:00' ...; null: no time of day. */
export function readClockTime(text: string): string | null {
  const found = /^(\d{1,2})(?:[:.](\d{2})(?:[:.]00)?)?\s*(?:(am|pm|a\.m\.|p\.m\.)|(h|hrs|Uhr))?$/i.exec(
    text.trim(),
  );
  if (!found) return null;
  const [, digits = '', minutes, half, hours] = found;
  // A number alone is no time.
  if (minutes === undefined && half === undefined && hours === undefined) return null;
  const hour = Number(digits);
  if (half !== undefined && (hour < 1 || hour > 12)) return null;
  const late = /^p/i.test(half ?? '');
  const in24 = half === undefined ? hour : (hour % 12) + (late ? 12 : 0);
  return in24 < 24 && Number(minutes ?? 0) < 60 ? `${two(in24)}:${minutes ?? '00'}` : null;
}

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const DAYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'];
const monthOf = (name: string): number => MONTHS.indexOf(name.slice(0, 3).toLowerCase()) + 1;

/** Whether a locale writes the day before the month in numbers. */
export function dayFirst(locale?: string): boolean {
  const parts = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'numeric' }).formatToParts(0);
  return parts.findIndex(({ type }) => type === 'day') < parts.findIndex(({ type }) => type === 'month');
}

interface DateParts {
  readonly day: number;
  readonly month: number;
  readonly year?: number;
  /** Day and month could change places. */
  readonly ambiguous?: boolean;
}
const yearOf = (digits: string | undefined): number | undefined =>
  digits === undefined ? undefined : Number(digits) + (digits.length === 2 ? 2000 : 0);

/** A date in one of the ways people write it; null: none of them. */
function readDate(text: string, locale?: string): DateParts | null {
  const full = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (full) return { year: Number(full[1]), month: Number(full[2]), day: Number(full[3]) };
  const dotted = /^(\d{1,2})\.\s?(\d{1,2})\.(?:\s?(\d{4}|\d{2}))?$/.exec(text);
  if (dotted) return { day: Number(dotted[1]), month: Number(dotted[2]), year: yearOf(dotted[3]) };
  const slashed = /^(\d{1,2})[/-](\d{1,2})(?:[/-](\d{4}|\d{2}))?$/.exec(text);
  if (slashed) {
    const [first, second] = [Number(slashed[1]), Number(slashed[2])];
    const swap = first > 12 || (second <= 12 && dayFirst(locale));
    const [day, month] = swap ? [first, second] : [second, first];
    return {
      day,
      month,
      year: yearOf(slashed[3]),
      ambiguous: first <= 12 && second <= 12 && first !== second,
    };
  }
  const named =
    /^([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?(?:,? (\d{4}))?$/i.exec(text) ??
    /^(?<day>\d{1,2})(?:st|nd|rd|th|\.)? (?<month>[a-z]{3,9})\.?(?:,? (?<year>\d{4}))?$/i.exec(text);
  if (!named) return null;
  const { day = named[2], month = named[1], year = named[3] } = named.groups ?? {};
  return monthOf(month!) > 0 ? { day: Number(day), month: monthOf(month!), year: yearOf(year) } : null;
}

/** Date and time of a text apart: the time is its last one to three words. */
function apart(text: string): { date: string; time: string } {
  const words = text.split(' ');
  for (let count = Math.min(2, words.length); count > 0; count--) {
    const time = readClockTime(words.slice(-count).join(' '));
    if (time !== null) return { date: words.slice(0, -count).join(' '), time };
  }
  return { date: text, time: '00:00' };
}

/** The next (or last) of the candidates, which go on in time. */
function nearest(candidates: readonly string[], { now, past }: Sense): string | null {
  const known = candidates.filter(isLocalTime);
  return (past ? known.findLast((one) => one <= now) : known.find((one) => one >= now)) ?? null;
}

/** Calendar days around now, by their dates. */
function datesAround(now: string, days: number): string[] {
  const noon = Date.parse(`${now.slice(0, 10)}T12:00Z`);
  return Array.from({ length: 2 * days + 1 }, (_, index) =>
    new Date(noon + (index - days) * 86_400_000).toISOString().slice(0, 10),
  );
}

/**
 * A local date and time as people write it: 2031-02-03 07:00, 11/30 7:00 pm, 30.11. 19:00, Feb 3 7:00 pm, Mon 14:00,
 * 14:00. null: no such thing, or a weekday that its date is not.
 */
export function readLocalTime(typed: string, sense: Sense): TimeRead | null {
  const text = typed
    .replace(/(\d)T(\d)/, '$1 $2')
    .replace(/\s+/g, ' ')
    .trim();
  const { date: said, time } = apart(text.replace(/ at /i, ' '));
  const [, weekday, rest = ''] = /^([a-z]{2,9})[.,]*(?:\s+(.*))?$/i.exec(said.replace(/,\s*$/, '')) ?? [];
  const day =
    weekday !== undefined && monthOf(weekday) === 0 ? DAYS.indexOf(weekday.slice(0, 3).toLowerCase()) : -1;
  const bare = (day >= 0 ? rest : said).replace(/,\s*$/, '').trim();
  const onDay = (value: string) => day < 0 || new Date(`${value.slice(0, 10)}T12:00Z`).getUTCDay() === day;
  if (bare === '') {
    if (said === text && day < 0) return null;
    const value = nearest(
      datesAround(sense.now, 8)
        .map((date) => `${date}T${time}`)
        .filter(onDay),
      sense,
    );
    return value === null ? null : { value, guessed: true };
  }
  const parts = readDate(bare, sense.locale);
  if (!parts) return null;
  const { month, day: number, year, ambiguous = false } = parts;
  const around = Number(sense.now.slice(0, 4));
  const years = year === undefined ? [around - 1, around, around + 1] : [year];
  const found = years
    .map((one) => iso(one, month, number, time))
    .filter((one) => isLocalTime(one) && onDay(one));
  const value = year === undefined ? nearestDay(found, sense) : (found[0] ?? null);
  return value === null ? null : { value, guessed: year === undefined || ambiguous };
}

/** Today counts as what is to come, also when its time is over. */
const nearestDay = (candidates: readonly string[], sense: Sense): string | null =>
  nearest(candidates, { ...sense, now: sense.past ? sense.now : `${sense.now.slice(0, 10)}T00:00` });
