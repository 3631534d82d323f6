import type { Clock } from '../calendar/clock.ts';

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A calendar date as people say it, e.g. '2031-02-03' -> 'Mon 3 Feb'; with the year when asked. */
export function dateText(date: string, withYear = false): string {
  const day = new Date(`${date}T00:00Z`);
  const text = `${WEEKDAYS[day.getUTCDay()]} ${day.getUTCDate()} ${MONTHS[day.getUTCMonth()]}`;
  return withYear ? `${text} ${day.getUTCFullYear()}` : text;
}

/** Local time of day of a minute, e.g. '07:40'. */
export const timeText = (clock: Clock, minute: number): string => clock.localOf(minute).slice(11, 16);

/** Local day and time of a minute, e.g. 'Mon 3 Feb 07:40'. */
export function whenText(clock: Clock, minute: number, withYear = false): string {
  if (minute === Number.POSITIVE_INFINITY) return 'never';
  if (minute === Number.NEGATIVE_INFINITY) return 'at the start';
  const local = clock.localOf(minute);
  return `${dateText(local.slice(0, 10), withYear)} ${local.slice(11, 16)}`;
}

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
