import type { Clock } from '../calendar/clock.ts';

const DAY = { weekday: 'short', month: 'short', day: 'numeric' } as const;
const TIME = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;

/** How one locale writes dates and times: always the Gregorian calendar, Western digits and a 24-hour clock. */
function formatsOf(locale?: string) {
  const format = (parts: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(locale, {
      ...parts,
      timeZone: 'UTC',
      calendar: 'gregory',
      numberingSystem: 'latn',
    });
  return {
    date: [format(DAY), format({ ...DAY, year: 'numeric' })],
    when: [format({ ...DAY, ...TIME }), format({ ...DAY, year: 'numeric', ...TIME })],
    time: format(TIME),
    weekday: format({ weekday: 'short' }),
  } as const;
}
/** As the person's own locale writes. */
const OWN = formatsOf();
const as = (locale?: string) => (locale === undefined ? OWN : formatsOf(locale));
const withOrNot = (year: boolean) => (year ? 1 : 0);

/**
 * A calendar date as the person's locale writes it, e.g. '2031-02-03' -> 'Mon, Feb 3'; with the year when asked.
 * @param locale another one than the person's own, BCP 47
 */
export const dateText = (date: string, withYear = false, locale?: string): string =>
  as(locale).date[withOrNot(withYear)].format(new Date(`${date}T00:00Z`));

/** A date where there is little room, e.g. 'Wed 28'. */
export const shortDateText = (date: string): string =>
  `${OWN.weekday.format(new Date(`${date}T00:00Z`))} ${Number(date.slice(8))}`;

/** ' (second time)' where the clocks were put back and this local time has been there before; else ''. */
const secondText = (clock: Clock, minute: number, local: string): string =>
  clock.minuteOf(local) < Math.floor(minute) ? ' (second time)' : '';

/** Local time of day of a minute, e.g. '07:40'; what a clock change repeats is then '01:40 (second time)'. */
export function timeText(clock: Clock, minute: number, locale?: string): string {
  const local = clock.localOf(minute);
  return as(locale).time.format(new Date(`${local}Z`)) + secondText(clock, minute, local);
}

/** Local day and time of a minute, e.g. 'Mon, Feb 3, 07:40'; a repeated one as in `timeText`. */
export function whenText(clock: Clock, minute: number, withYear = false, locale?: string): string {
  if (minute === Number.POSITIVE_INFINITY) return 'never';
  if (minute === Number.NEGATIVE_INFINITY) return 'at the start';
  const local = clock.localOf(minute);
  return (
    as(locale).when[withOrNot(withYear)].format(new Date(`${local}Z`)) + secondText(clock, minute, local)
  );
}

/**
 * When bags may leave. Never, as far as is planned, is not before a test that nobody has planned yet.
 * @param beside a minute that stands beside it: on the same date the time of day is enough
 */
export function readyText(clock: Clock, ready: number, beside?: number): string {
  if (ready === Number.POSITIVE_INFINITY) return 'not before the next total chlorine test';
  const sameDay =
    beside !== undefined && clock.localOf(ready).slice(0, 10) === clock.localOf(beside).slice(0, 10);
  return sameDay ? timeText(clock, ready) : whenText(clock, ready);
}

/** 'Mon, Feb 3, 07:40 to 08:45'; the second day only where it differs. */
export function spanText(clock: Clock, from: number, to: number): string {
  const sameDay = clock.localOf(from).slice(0, 10) === clock.localOf(to).slice(0, 10);
  return `${whenText(clock, from)} to ${sameDay ? timeText(clock, to) : whenText(clock, to)}`;
}

/** When within a window, in a sentence: 'between 13:54 and 13:58'; 'at 13:54' where the window is one minute. */
export const withinText = (
  clock: Clock,
  { from, to }: { readonly from: number; readonly to: number },
): string =>
  to > from ? `between ${timeText(clock, from)} and ${timeText(clock, to)}` : `at ${timeText(clock, from)}`;

/** Of a day under way the first bags are those due now; of a scenario from its start they are the opening round. */
const firstRound = (at: number): 'Opening round' | 'Due now' => (at > 0 ? 'Due now' : 'Opening round');

/** 'Opening round', 'Due now', or when a bag round leaves. For the head of a row; in a sentence see `roundText`. */
export const roundHead = (clock: Clock, round: { readonly round: number; readonly at: number }): string =>
  round.round === 0 ? firstRound(round.at) : whenText(clock, round.at);

/** 'the opening round', 'the bags due now', or 'the bag round of Mon, Feb 3, 18:00'. */
export function roundText(clock: Clock, round: { readonly round: number; readonly at: number }): string {
  if (round.round > 0) return `the bag round of ${whenText(clock, round.at)}`;
  return firstRound(round.at) === 'Due now' ? 'the bags due now' : 'the opening round';
}

/**
 * A bag round as the record names it, by number or local time, for people: 'Opening round' or its time, never its number.
 * @param rounds of the scenario from its start
 */
export function namedRound(
  { clock, rounds }: { readonly clock: Clock; readonly rounds: readonly { readonly at: number }[] },
  round: number | string,
): string {
  if (typeof round === 'string') return `${round.replace('T', ' ')}, no bag round of this scenario`;
  const at = rounds[round]?.at;
  return at === undefined ? 'no bag round of this scenario' : roundHead(clock, { round, at });
}

/** A sentence for each clock change in minutes from..to: which times come twice, or not at all. */
export function clockChangeTexts(clock: Clock, from: number, to: number): string[] {
  const ahead = (minute: number) =>
    Math.round((Date.parse(`${clock.localOf(minute)}Z`) - clock.epochOf(minute)) / 60_000);
  const texts: string[] = [];
  for (let begin = from; begin < to; begin += 1440) {
    let [before, after] = [begin, Math.min(to, begin + 1440)];
    const change = ahead(after) - ahead(before);
    if (change === 0) continue;
    while (after - before > 1) {
      const middle = Math.floor((before + after) / 2);
      if (ahead(middle) === ahead(before)) before = middle;
      else after = middle;
    }
    const time = (minute: number) => clock.localOf(minute).slice(11, 16);
    const day = dateText(clock.localOf(after).slice(0, 10));
    texts.push(
      change < 0
        ? `On ${day} the clocks go back ${-change} min: ${time(after)} to ${time(after - change - 1)} come twice. The second pass is marked "second time".`
        : `On ${day} the clocks go forward ${change} min: ${time(after)} follows ${time(before)} at once.`,
    );
  }
  return texts;
}

/** A lot as it is read: the name as typed; of a fill its machine and local time, 'M1 2031-02-03 08:45'. */
export const lotText = ({ id, origin }: { readonly id: string; readonly origin: string }): string =>
  origin === 'fill' ? id.replace(/T(?=\d\d:\d\d$)/, ' ') : id;

/** A title as the stem of a file's name: letters and digits, small, with single dashes between; e.g. 'surge-week'. */
export const fileStem = (title: string): string =>
  title
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'scenario';
