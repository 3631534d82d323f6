import { bagsMissing, countText, hoursText, numberText } from './numbers.ts';

/** Heads every plan that breaks a rule, or that nobody checked: on screens, paper and in files. */
export const DO_NOT_USE = 'DO NOT USE THIS PLAN';

/** What the plan check found, e.g. 'Plan check passed: 23 rules', 'DO NOT USE THIS PLAN: 2 rules are broken'. */
export function checkText(rules: number, violations: number): string {
  return violations > 0
    ? `${DO_NOT_USE}: the plan check found ${countText(violations, 'broken rule')}`
    : `Plan check passed: ${countText(rules, 'rule')}`;
}

/** The plan check's word where only work begun before now broke a rule. */
export const checkedFromText = (when: string): string => `Plan check passed from ${when} on`;

/** Hands-on work against what no plan can do without, min; null: nothing is proven. */
export function proofText(minutes: number, least: number | null): string {
  if (least === null) return 'The least hands-on work is not proven yet.';
  const above = least > 0 ? Math.max(0, minutes / least - 1) : 0;
  const gap = above < 0.0005 ? '' : `, +${numberText(100 * above)} %`;
  return `Proven: no plan needs less than ${hoursText(least)} (this one: ${hoursText(minutes)}${gap}).`;
}

/** Litres unmet against what no plan can do without, L; null: nothing is proven. */
export function unmetProofText(litres: number, least: number | null): string {
  if (least === null || (least < 1e-6 && litres < 1e-6)) return '';
  return `Proven: no plan leaves less than ${numberText(least)} L unmet (this one: ${numberText(litres)} L).`;
}

/** Said of a plan on which people can act while a better one is looked for; the long form says how far it may be from the best. */
export const GOOD_ENOUGH = 'Good enough to act on';

/**
 * @param percent at most so much more hands-on work than the best possible plan, proven
 * @param litres L unmet that a better plan may still cover
 * @param unmetLitres L that this plan leaves unmet: said first
 * @param reserveShort bags that this plan leaves short of the reserve: said before the work
 */
export function enoughText({
  percent,
  litres,
  unmetLitres = 0,
  reserveShort = 0,
}: {
  readonly percent: number;
  readonly litres: number;
  readonly unmetLitres?: number;
  readonly reserveShort?: number;
}): string {
  const work =
    percent < 0.05
      ? 'no plan needs less work'
      : `at most ${numberText(percent)} % more work than the best possible`;
  const unmet = unmetLitres < 0.05 ? '' : `${numberText(unmetLitres)} L unmet. `;
  const more = litres < 0.05 ? '' : ` A better plan may cover ${numberText(litres)} L more.`;
  const reserve =
    reserveShort < 0.05 ? '' : `${countText(bagsMissing(reserveShort, 1), 'bag')} short of the reserve. `;
  return `${unmet}${reserve}${GOOD_ENOUGH}: ${work}.${more} Still looking.`;
}

/** Why no plan was made, and what stands on screen. @param none there is no plan on screen */
export const failedText = (why: string, none: boolean): string =>
  `Planning failed: ${why.replace(/\.$/, '')}. ${none ? 'There is no plan.' : 'The plan on screen is the previous one.'}`;
