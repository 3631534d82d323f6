import type { Clock } from '../calendar/clock.ts';

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A calendar date as people say it, e.g. '2031-02-03' -> 'Mon 3 Feb'; with the year when asked. */
export function dateText(date: string, withYear = false): string {
  const day = new Date(`${date}T00:00Z`);
  const text = `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]}`;
  return withYear ? `${text} ${day.getUTCFullYear()}` : text;
}

/** ' again' where the clocks were put back and this local time has been there before; else ''. */
const againText = (clock: Clock, minute: number, local: string): string =>
  clock.minuteOf(local) < Math.floor(minute) ? ' again' : '';

/** Local time of day of a minute, e.g. '07:40'; the second time that a clock change repeats it '01:40 again'. */
export function timeText(clock: Clock, minute: number): string {
  const local = clock.localOf(minute);
  return local.slice(11, 16) + againText(clock, minute, local);
}

/** Local day and time of a minute, e.g. 'Mon 3 Feb 07:40'; a repeated one as in `timeText`. */
export function whenText(clock: Clock, minute: number, withYear = false): string {
  if (minute === Number.POSITIVE_INFINITY) return 'never';
  if (minute === Number.NEGATIVE_INFINITY) return 'at the start';
  const local = clock.localOf(minute);
  return `${dateText(local.slice(0, 10), withYear)} ${local.slice(11, 16)}${againText(clock, minute, local)}`;
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
        ? `${day} the clocks go back by ${-change} min: ${time(after)} to ${time(after - change - 1)} come twice, the second time marked "again".`
        : `${day} the clocks go forward by ${change} min: from ${time(before)} to ${time(after)} is one minute.`,
    );
  }
  return texts;
}

/** A lot as it is read: the name as typed; of a fill its machine and local time, 'M1 2031-02-03 08:45'. */
export const lotText = ({ id, origin }: { readonly id: string; readonly origin: string }): string =>
  origin === 'fill' ? id.replace(/T(?=\d\d:\d\d$)/, ' ') : id;

/** 'Mon 3 Feb 07:40 to 08:45'; the second day only where it differs. */
export function spanText(clock: Clock, from: number, to: number): string {
  const sameDay = clock.localOf(from).slice(0, 10) === clock.localOf(to).slice(0, 10);
  return `${whenText(clock, from)} to ${sameDay ? timeText(clock, to) : whenText(clock, to)}`;
}

/** A number for reading: at most `places` decimals, thousands apart, no trailing zeros. */
export const numberText = (value: number, places = 1): string =>
  Number.isFinite(value) ? value.toLocaleString('en-US', { maximumFractionDigits: places }) : '-';

/** '1 bag', '12 bags', '0.5 bags'. */
export const countText = (value: number, one: string, many = `${one}s`): string =>
  `${numberText(value)} ${numberText(value) === '1' ? one : many}`;

/** Minutes as a length of time, e.g. 65 -> '1 h 05 min', 1500 -> '1 d 1 h'. */
export function lengthText(minutes: number): string {
  const rounded = Math.round(minutes);
  if (rounded < 60) return `${rounded} min`;
  const hours = Math.floor(rounded / 60);
  if (hours < 24) return `${hours} h ${String(rounded % 60).padStart(2, '0')} min`;
  return `${Math.floor(hours / 24)} d ${hours % 24} h`;
}

/** A title as the stem of a file's name: letters and digits, small, with single dashes between; e.g. 'surge-week'. */
export const fileStem = (title: string): string =>
  title
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'scenario';
