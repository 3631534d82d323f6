import type { Clock } from '../calendar/clock.ts';
import { type MachineRow, moreIsNoUse, NO_LESS } from '../capacity/answers/answers.ts';
import type { Given } from '../capacity/answers/limits.ts';
import type { Study } from '../capacity/answers/study.ts';
import type { Copied } from '../capacity/draws/copies.ts';
import { CAUSES } from '../capacity/model/causes.ts';
import { countText, numberText } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';

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

/** What the first missing bag lacks in most of the draws that fall short, e.g. 'supplies in 62 % of draws'. */
export function lackText(row: MachineRow): string {
  const most = mostLacked(row);
  return row.causes[most] > 0 ? `${LACK[most]} in ${chanceText(row.causes[most])} of draws` : 'nothing';
}
const mostLacked = ({ causes }: MachineRow) => [...CAUSES].sort((a, b) => causes[b] - causes[a])[0]!;

/** What a machine beyond those listed is, e.g. 'a copy of M4: available 12 % of the time, not for 3K'. */
export function copyText({ id, available, cannot }: Copied): string {
  const less = [
    ...(available < 1 ? [`available ${Math.max(1, Math.round(100 * available))} % of the time`] : []),
    ...(cannot.length > 0 ? [`not for ${cannot.join(', ')}`] : []),
  ];
  return `a copy of ${id}${less.length > 0 ? `: ${less.join(', ')}` : ''}`;
}

/** What becomes of it with machines beyond those listed, none of them being enough. */
function moreText({ rows, own, copied }: Study): string {
  const mine = rows[own - 1]!;
  const last = rows.at(-1)!;
  const beyond = copied ? `Beyond the ${own} listed each is ${copyText(copied)}. ` : '';
  if (!moreIsNoUse(rows, own))
    return `${beyond}With ${last.machines} a bag is still missing in ${chanceText(last.shortageChance)} of draws, first lacks ${lackText(last)}. ${ownText(mine)}`;
  // Machines that lack, while more of them change nothing, would read as a contradiction.
  const other =
    mostLacked(mine) === 'machines' && mostLacked(last) !== 'machines'
      ? `with ${last.machines} the first missing bag lacks ${lackText(last)}`
      : mostLacked(mine) === 'machines' && copied
        ? `the first missing bag lacks a machine at its time and for its bath (in ${chanceText(mine.causes.machines)} of draws), which a copy of ${copied.id} is not`
        : `the first missing bag lacks ${lackText(mine)}`;
  return `${beyond}More such machines change nothing: with ${last.machines} as with ${own} a bag is missing in ${chanceText(mine.shortageChance)} of draws, ${numberText(mine.bagsShort)} bags on average; ${other}.`;
}

const ownText = (mine: MachineRow): string =>
  `With the ${mine.machines} listed a bag is missing in ${chanceText(mine.shortageChance)} of draws${mine.shortageChance > 0 ? ` (first lacks: ${lackText(mine)})` : ''}.`;

/** What supplies without end would change, '' where they are not what lacks. */
function suppliedText({ supplied, rows, own }: Study): string {
  if (supplied === null) return '';
  if (supplied.smallest !== null)
    return `Were supplies without end, ${countText(supplied.smallest, 'machine')} would be enough.`;
  const [before, after] = [rows[own - 1]!.bagsShort, supplied.rows[own - 1]!.bagsShort];
  const fewer =
    after * NO_LESS < before
      ? `Supplies without end would leave ${numberText(after)} of those ${numberText(before)} bags missing with the ${own} listed. `
      : '';
  return `${fewer}Also with supplies without end no number of such machines would be enough.`;
}

/** What copies of a machine that is always there and for every bath would change, '' where that was not asked. */
function fullerText({ fuller, supplied }: Study): string {
  if (fuller === null) return '';
  const like = `Were those added like ${fuller.id} instead, always there and for every bath${supplied ? ', and supplies without end' : ''},`;
  return fuller.smallest !== null
    ? `${like} ${fuller.smallest} in all would be enough.`
    : `${like} ${fuller.last.machines} in all would still be too few: the first missing bag then lacks ${lackText(fuller.last)}.`;
}

/** The administrator's answer: one sentence, then what it rests on. */
export function answerLines(study: Study): string[] {
  const { smallest, own, rows, confidence, days, copied } = study;
  const span = `${countText(days.length, 'day')}`;
  const sure = chanceText(confidence);
  if (own === 0) return ['No machine is listed: type one machine to ask how many are needed.'];
  if (smallest === null)
    return [
      `No number of machines is enough for ${sure} confidence in ${span}.`,
      moreText(study),
      suppliedText(study),
      fullerText(study),
    ].filter((line) => line !== '');
  const added = copied && smallest > own ? ` (each beyond the ${own} listed is ${copyText(copied)})` : '';
  return [
    `${countText(smallest, 'machine')} ${smallest === 1 ? 'is' : 'are'} enough${added}: with ${sure} confidence no bag is missing in ${span}.`,
    ownText(rows[own - 1]!),
  ];
}
export const answerText = (study: Study): string => answerLines(study).join(' ');

/** What the draws say of a limit, e.g. 'runs out in 2.8 % of draws'. */
export const givenText = ({ kind, share }: Given): string =>
  `${kind === 'supply' ? 'runs out' : 'lacks first'} in ${chanceText(share)} of draws`;

/** Whole patients or bags that a limit is enough for: never more than it is. */
export const enoughOf = (value: number): string => numberText(Math.floor(value + 1e-9), 0);

/** What a limit alone is enough for. */
export const enoughText = ({ census, bagsPerDay }: Pick<Given, 'census' | 'bagsPerDay'>): string =>
  `enough for ${enoughOf(census)} ${enoughOf(census) === '1' ? 'patient' : 'patients'} (${enoughOf(bagsPerDay)} bags a day)`;

/** When the machines listed first fall short too often, '' when they never do. */
export function exceededText({ first, confidence }: Study, clock: Clock): string {
  if (first.minute === null) return '';
  return `By the round of ${whenText(clock, first.minute)} more than ${chanceText(1 - confidence)} of draws are short with them: the date at which capacity is first exceeded.`;
}

/** How sure the draws make a chance, e.g. '3.4 % (+/- 0.4)'. */
export const chanceWithError = ({ shortageChance, chanceError }: MachineRow): string =>
  `${chanceText(shortageChance)} (+/- ${numberText(100 * chanceError)})`;
