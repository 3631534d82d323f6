import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { Plan } from '../../plan/plan.ts';
import { withoutTestsDone } from '../../plan/testDone.ts';
import type { Start } from '../../record/from.ts';
import { handoverOf } from '../../reports/day/handover.ts';
import { namedOf, peopleOf, personListsOf } from '../../reports/day/personLists.ts';
import { bagsAtBeds, pickList } from '../../reports/day/pickList.ts';
import { type SwapLabel, swapLabels } from '../../reports/day/swapLabels.ts';
import { unsafeTexts } from '../../reports/day/unsafe.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { spanText, whenText } from '../../words/times.ts';
import type { Baseline } from '../state/planned.ts';
import { peoplePaper, pickPaper, recallPaper } from './dayPapers.tsx';
import { handoverPaper } from './handoverPaper.tsx';
import { withUnsafe } from './pieces.tsx';
import { chartsPaper, madePaper, tracePaper } from './reportPapers.tsx';

/** Labels of the bags that came off since a minute, with their real times. */
export const doneLabels = ({ problem, state }: Start, baths: readonly Bath[], since: number): SwapLabel[] =>
  state.lots
    .filter(({ fill }) => fill?.end != null && fill.end >= since)
    .flatMap((lot) => swapLabels(problem, lot, baths));

interface DayProps {
  readonly start: Start;
  /** The scenario compiled, from its start, and its need. */
  readonly whole: { readonly problem: Problem; readonly demand: Demand };
  readonly baths: readonly Bath[];
  /** Of the plan from now on. */
  readonly demand: Demand;
  readonly plan: Plan;
  /** Of the plan's activities. */
  readonly covered: Cover;
  readonly shift: ShiftBand;
  /** What is traced, as it was asked. */
  readonly suspect: string;
  /** The plan that people were given. */
  readonly given: Baseline | null;
}
/** The pages of a recorded day. */
export function dayPapers({ start, whole, baths, demand, plan, covered, shift, suspect, given }: DayProps) {
  const { problem, state } = start;
  const from = Math.max(0, shift.from);
  const activities = withoutTestsDone(problem, plan.activities);
  return {
    handover: () =>
      handoverPaper(
        problem,
        handoverOf(problem, state, activities, Math.max(0, state.now - 720)),
        unsafeTexts(start),
      ),
    pick: () => {
      const next = state.dueNow.some((bags) => bags > 0) ? 0 : Math.min(1, problem.rounds.length - 1);
      const made = new Set(problem.lots.map(({ id }) => id));
      const atBeds = bagsAtBeds(whole, state);
      return withUnsafe(
        pickPaper(problem, pickList({ scenario: { baths }, problem, demand, covered, atBeds }, next, made)),
        start,
        whenText(problem.clock, state.now),
      );
    },
    people: () =>
      withUnsafe(
        peoplePaper(
          problem,
          personListsOf(problem, activities, peopleOf(problem, namedOf(whole.problem, state.staff)), {
            from: state.now,
            to: shift.to,
          }),
          activities,
          spanText(problem.clock, Math.max(from, state.now), shift.to),
        ),
        start,
        whenText(problem.clock, state.now),
      ),
    recall: () => recallPaper(whole.problem, state.recall, whenText(problem.clock, state.now)),
    trace: () => tracePaper({ whole: whole.problem, demand: whole.demand, start }, suspect),
    charts: () => chartsPaper(start, baths),
    made: () => madePaper({ whole: whole.problem, start }, given),
  };
}
