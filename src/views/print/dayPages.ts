import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { Plan } from '../../plan/plan.ts';
import type { Start } from '../../record/from.ts';
import { handoverOf } from '../../reports/day/handover.ts';
import { peopleOf, personListsOf } from '../../reports/day/personLists.ts';
import { pickList } from '../../reports/day/pickList.ts';
import { type SwapLabel, swapLabels } from '../../reports/day/swapLabels.ts';
import type { ShiftBand } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { spanText, whenText } from '../../words/times.ts';
import { peoplePaper, pickPaper, recallPaper } from './dayPapers.tsx';
import { handoverPaper } from './handoverPaper.tsx';

/** Labels of the bags that came off since a minute, with their real times. */
export const doneLabels = ({ problem, state }: Start, baths: readonly Bath[], since: number): SwapLabel[] =>
  state.lots
    .filter(({ fill }) => fill?.end != null && fill.end >= since)
    .flatMap((lot) => swapLabels(problem, lot, baths));

interface DayProps {
  readonly start: Start;
  readonly demand: Demand;
  readonly plan: Plan;
  /** Of the plan's activities. */
  readonly covered: Cover;
  readonly shift: ShiftBand;
}
/** The pages of a recorded day. */
export function dayPapers({ start, demand, plan, covered, shift }: DayProps) {
  const { problem, state } = start;
  const from = Math.max(0, shift.from);
  return {
    handover: () =>
      handoverPaper(problem, handoverOf(problem, state, plan.activities, Math.max(0, state.now - 720))),
    pick: () => {
      const next = state.dueNow.some((bags) => bags > 0) ? 0 : Math.min(1, problem.rounds.length - 1);
      const made = new Set(problem.lots.map(({ id }) => id));
      return pickPaper(problem, pickList({ problem, demand, covered }, next, made));
    },
    people: () =>
      peoplePaper(
        problem,
        personListsOf(problem, plan.activities, peopleOf(problem), { from: state.now, to: shift.to }),
        plan.activities,
        spanText(problem.clock, Math.max(from, state.now), shift.to),
      ),
    recall: () => recallPaper(state.recall, whenText(problem.clock, state.now)),
  };
}
