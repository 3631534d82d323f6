import type { Clock } from '../calendar/clock.ts';
import type { MachineRow } from '../capacity/answers.ts';
import { CAUSES } from '../capacity/fastModel.ts';
import type { Study } from '../capacity/study.ts';
import { countText, numberText, whenText } from './words.ts';

/** A chance as people say it: 0.034 -> '3.4 %', 0.0002 -> 'under 0.1 %'. */
export function chanceText(chance: number): string {
  if (chance > 0 && chance < 0.001) return 'under 0.1 %';
  if (chance < 1 && chance > 0.999) return 'over 99.9 %';
  return `${numberText(100 * chance)} %`;
}

const LACK: Record<(typeof CAUSES)[number], string> = {
  'opening stock': 'stock for the first hours',
  supplies: 'supplies',
  technicians: 'technicians',
  water: 'water',
  machines: 'machines',
};

/** What lacks first in most of the draws that fall short, e.g. 'supplies in 62 % of draws'. */
export function lackText(row: MachineRow): string {
  const most = [...CAUSES].sort((a, b) => row.causes[b] - row.causes[a])[0]!;
  return row.causes[most] > 0 ? `${LACK[most]} in ${chanceText(row.causes[most])} of draws` : 'nothing';
}

/** The administrator's answer in one or two sentences. */
export function answerText(study: Study): string {
  const { smallest, own, rows, confidence, days, supplied } = study;
  const span = `${countText(days.length, 'day')}`;
  const sure = chanceText(confidence);
  if (own === 0) return 'No machine is listed: type one machine to ask how many are needed.';
  const mine = rows[own - 1]!;
  const now = `With the ${own} listed a bag is missing in ${chanceText(mine.shortageChance)} of draws${mine.shortageChance > 0 ? ` (first lacks: ${lackText(mine)})` : ''}.`;
  if (smallest !== null)
    return `${countText(smallest, 'machine')} ${smallest === 1 ? 'is' : 'are'} enough: with ${sure} confidence no bag is missing in ${span}. ${now}`;
  const last = rows.at(-1)!;
  const why = `No number of machines is enough for ${sure} confidence in ${span}: with ${last.machines} a bag is still missing in ${chanceText(last.shortageChance)} of draws, first lacks ${lackText(last)}.`;
  const free =
    supplied === null
      ? ''
      : supplied.smallest === null
        ? ' Also with supplies without end no number of machines would be enough.'
        : ` Were supplies without end, ${countText(supplied.smallest, 'machine')} would be enough.`;
  return `${why}${free} ${now}`;
}

/** When the machines listed first fall short too often, '' when they never do. */
export function exceededText({ first, confidence }: Study, clock: Clock): string {
  if (first.minute === null) return '';
  return `By the round of ${whenText(clock, first.minute)} more than ${chanceText(1 - confidence)} of draws are short with them: the date at which capacity is first exceeded.`;
}

/** How sure the draws make a chance, e.g. '3.4 % (+/- 0.4)'. */
export const chanceWithError = ({ shortageChance, chanceError }: MachineRow): string =>
  `${chanceText(shortageChance)} (+/- ${numberText(100 * chanceError)})`;

/** Shown wherever the forecast's answers stand. */
export const CAPACITY_CAUTION =
  'A forecast is as good as its assumptions. It never decides a prescription; fluid made this way is dialysate, not sterile fluid for infusion.';
