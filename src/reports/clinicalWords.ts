import type { ClinicalWay, DeliveryInTime } from '../planner/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { countText, listText, numberText } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';

/** Beside each list of clinical ways out. */
export const PRESCRIBER =
  'Each is a decision of the prescriber. The tool shows what a plan with it leaves unmet, and decides nothing.';

/** mL/kg/h; a cap below is less than what the usual dose range prescribes (KDIGO 2012: deliver 20-25, prescribe 25-30). */
const USUAL_DOSE = 25;

/** One way as people read it. `tone`: good clears all that is unmet; quiet: does not, or nobody knows. */
interface WayWords {
  readonly tone: 'good' | 'quiet';
  readonly text: string;
  readonly more: readonly string[];
}

/** What one clinical way out gives, in sentences. */
export function clinicalText({ clock }: Pick<Problem, 'clock'>, way: ClinicalWay): WayWords {
  switch (way.kind) {
    case 'deliveries':
      return {
        tone: 'quiet',
        text: 'A delivery prevents a shortage when it is ready before its bag round leaves:',
        more: way.deliveries.map((one) => deliveryText(clock, one)),
      };
    case 'dose':
      return capText(way, {
        unit: 'mL/kg/h',
        none: 'No cap of the dose',
        below:
          way.cap !== null && way.cap < USUAL_DOSE
            ? ['This is below the usual range: deliver 20-25, so prescribe 25-30 (KDIGO 2012).']
            : [],
      });
    case 'hours':
      return capText(way, { unit: 'h of therapy per day', none: 'No cap of hours', below: [] });
    case 'substitute': {
      const { bath, by, except, from, until, approvedBy } = way.row;
      const span = [from && `from ${from.replace('T', ' ')}`, until && `until ${until.replace('T', ' ')}`];
      const where = span.filter(Boolean).join(' ');
      const who = except?.length ? `for all beds but ${listText(except)}` : 'for all beds';
      const clears = way.unmetLitres <= 1e-6;
      return {
        tone: clears ? 'good' : 'quiet',
        text: `${by} in place of ${bath} ${who}${where && `, ${where}`}: ${
          clears ? 'nothing would be unmet.' : `${numberText(way.unmetLitres)} L would still be unmet.`
        }`,
        more: [approvedBy ? `Approved by ${approvedBy}.` : 'Nobody is named who approved it. Ask first.'],
      };
    }
  }
}

const deliveryText = (clock: Problem['clock'], { bath, bags, by, goodUntil }: DeliveryInTime): string =>
  `${countText(bags, 'bag')} of ${bath} by ${whenText(clock, by)}, good until ${whenText(clock, goodUntil)}`;

/** A cap that is told has a plan; none that is told says only what a short search found. */
function capText(
  { cap, lowest }: { readonly cap: number | null; readonly lowest: number },
  { unit, none, below }: { readonly unit: string; readonly none: string; readonly below: readonly string[] },
): WayWords {
  if (cap === null)
    return {
      tone: 'quiet',
      text: `${none} was found, down to ${numberText(lowest)} ${unit}, that leaves nothing unmet.`,
      more: ['The search was short. It proves nothing.'],
    };
  return {
    tone: 'good',
    text: `At most ${numberText(cap)} ${unit} for all would do: a plan was found that leaves nothing unmet.`,
    more: [...below, 'A little more may do too: the search was short.'],
  };
}
