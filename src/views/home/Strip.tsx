import { coveredUntil, endOfDay, firstShort, roundNeeds } from '../../reports/coverage.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { Signal, type Tone } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';

/** One answer of the strip: a word with its shape, and what it rests on. */
interface Answer {
  readonly tone: Tone;
  readonly text: string;
  readonly title: string;
}

/** Is today covered, and until when is everything? Of a plan that answers what is typed, and that the check has passed. */
export function answersOf(planned: Planned, now: number): { today: Answer; until: Answer } {
  const { problem } = planned;
  const needs = roundNeeds(planned);
  const short = firstShort(needs, now);
  const end = endOfDay(problem, now);
  const today = needs.filter(({ round }) => round.to > now && round.from < end);
  const litres = today.reduce((sum, { unmetLitres }) => sum + unmetLitres, 0);
  const bags = Math.ceil(litres / problem.rules.fillLitres - 1e-9);
  const until = whenText(problem.clock, coveredUntil(planned, short, now));
  return {
    today:
      litres > 1e-9
        ? { tone: 'bad', text: `Today: ${countText(bags, 'bag')} unmet`, title: `${numberText(litres)} L` }
        : { tone: 'good', text: 'Today is covered', title: 'Every bag that hangs today is in a plan' },
    until: short
      ? { tone: 'bad', text: `Covered until ${until}`, title: 'From then on some bags are unmet' }
      : { tone: 'good', text: `Covered to the end, ${until}`, title: 'No bag round of the plan is short' },
  };
}

/** The two answers, as large as the strip allows. */
export const CoverAnswers = ({ planned, now }: { planned: Planned; now: number }) => {
  const { today, until } = answersOf(planned, now);
  return (
    <>
      {[today, until].map(({ tone, text, title }) => (
        <Signal key={title} tone={tone} title={title}>
          {text}
        </Signal>
      ))}
    </>
  );
};
