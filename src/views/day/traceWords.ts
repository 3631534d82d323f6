import type { Clock } from '../../calendar/clock.ts';
import type { LotState } from '../../record/state/lots.ts';
import type { MadeFrom } from '../../record/trace.ts';
import type { AtBed } from '../../reports/day/lotTrace.ts';
import { countText } from '../../words/numbers.ts';
import { roundHead, whenText } from '../../words/times.ts';

/** What the bedside column says: an upper bound, or that it cannot be told. */
export function thereText({ there, bags, bed, round }: AtBed): string {
  if (bed === null) return `not known: no bed is noted (${countText(bags, 'bag')})`;
  if (round === null) return `not known: no bag round fits (${countText(bags, 'bag')})`;
  return there > 0
    ? `up to ${countText(there, 'bag')} may hang or wait there`
    : 'none by the prescription; look all the same';
}

/** When bags left for a bed, by the time of their bag round. */
export function leftText(clock: Clock, { round, leftAt }: AtBed): string {
  if (!round) return `left ${whenText(clock, leftAt)}`;
  const head = roundHead(clock, round);
  return leftAt === round.at ? head : `${head} (left ${whenText(clock, leftAt)})`;
}

/** Where the bags of a lot are: all of them, in a line. */
export const whereText = ({ good, held, left, discarded, made, balance }: LotState): string =>
  `${countText(made, 'bag')} made or received: ${good} here and good, ${held} on hold, ${left} left, ${discarded} discarded${balance === 0 ? '' : `; ${Math.abs(balance)} NOT ACCOUNTED FOR`}`;

/** All that a lot was made from, as lines: what, which, when, by whom. */
export function fromLines(clock: Clock, { lot, began, ended, setUp, readings, tests }: MadeFrom): string[] {
  const who = (by: string) => (by === '' ? 'not noted' : by);
  const parts = setUp
    ? (['filter', 'tubing', 'acid', 'bicarbonate'] as const).map(
        (part) => `${part} ${setUp.lots[part] || 'not noted'}`,
      )
    : [];
  return [
    ...(began
      ? [`Filling began ${whenText(clock, began.at)}, ${who(began.by)}, on ${lot.fill!.machine}.`]
      : []),
    ended ? `Bags off ${whenText(clock, ended.at)}, ${who(ended.by)}.` : 'That bags came off is not noted.',
    setUp
      ? `Circuit in place ${whenText(clock, setUp.at)}, ${who(setUp.by)}: ${parts.join(', ')}.`
      : 'Circuit: none is noted, or it was loaded at the start.',
    ...readings.map(
      ({ at, by, measured, result }) =>
        `Reading ${whenText(clock, at)}, ${who(by)}: ${[
          measured.conductivity === null ? null : `${measured.conductivity} mS/cm`,
          measured.temperature === null ? null : `${measured.temperature} °C`,
          measured.pH === null ? null : `pH ${measured.pH}`,
          measured.potassium === null ? null : `potassium ${measured.potassium} mmol/L`,
        ]
          .filter((one) => one !== null)
          .join(
            ', ',
          )}; ${result === 'out' ? 'OUT OF LIMITS' : result === 'within' ? 'within limits' : 'not enough to judge'}.`,
    ),
    ...(readings.length === 0 ? ['No reading is noted for it.'] : []),
    ...tests.map(
      ({ at, by, water, passed, totalChlorine }) =>
        `Total chlorine test of ${water} ${whenText(clock, at)}, ${who(by)}: ${passed ? 'passed' : 'FAILED'}${totalChlorine === null ? '' : `, ${totalChlorine} mg/L`}.`,
    ),
    ...(tests.length === 0 ? ['No total chlorine test is noted for it.'] : []),
  ];
}
