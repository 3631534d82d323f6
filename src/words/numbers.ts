/** A number for reading, as the person's locale writes it: at most `places` decimals, no trailing zeros. */
export const numberText = (value: number, places = 1, locale?: string): string =>
  Number.isFinite(value)
    ? value.toLocaleString(locale, { maximumFractionDigits: places, numberingSystem: 'latn' })
    : '-';

/**
 * The word that goes with a number as it is shown: one of what reads as 1. The only place where singular and plural part.
 * @returns e.g. plural(1, 'bag') = 'bag', plural(0.5, 'bag') = 'bags', plural(2, 'is', 'are') = 'are'
 */
export const plural = (value: number, one: string, many = `${one}s`): string =>
  numberText(value, 1, 'en-US') === '1' ? one : many;

/** '1 bag', '12 bags', '0.5 bags'. */
export const countText = (value: number, one: string, many = `${one}s`): string =>
  `${numberText(value)} ${plural(value, one, many)}`;

/** Whole bags that are missing for so many liters: a part of a bag is one, for a bed hangs whole bags. */
export const bagsMissing = (litres: number, bagLitres: number): number =>
  Math.max(0, Math.ceil(litres / bagLitres - 1e-9));

/** What is missing, told one way everywhere: whole bags, the exact liters beside them, e.g. '8 bags (48.8 L)'. */
export function missingText(litres: number, bagLitres: number): string {
  const exact = numberText(litres);
  return `${countText(bagsMissing(litres, bagLitres), 'bag')} (${exact} L)`;
}

/** Minutes as a length of time, e.g. 65 -> '1 h 05 min', 1500 -> '1 d 1 h'. */
export function lengthText(minutes: number): string {
  const rounded = Math.round(minutes);
  if (rounded < 60) return `${rounded} min`;
  const hours = Math.floor(rounded / 60);
  if (hours < 24) return `${hours} h ${String(rounded % 60).padStart(2, '0')} min`;
  return `${Math.floor(hours / 24)} d ${hours % 24} h`;
}

/** Minutes as hours, e.g. 2580 -> '43 h'. */
export const hoursText = (minutes: number): string => `${numberText(minutes / 60)} h`;

/**
 * The day in which something happens that many days after the start, counted from 1: what happens 4.2 or 4.9 days
 * after the start happens on day 5.
 */
export const dayNumber = (days: number): string => `day ${numberText(Math.floor(days) + 1, 0)}`;

/** Texts as one list in a sentence: 'a', 'a and b', 'a, b and c'. */
export const listText = (parts: readonly string[], last = 'and'): string =>
  parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} ${last} ${parts.at(-1)}`;

/** With a capital at its front. */
export const sentenceCase = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
