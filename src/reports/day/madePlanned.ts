import { demandOf } from '../../demand/demand.ts';
import { lotsOfFills } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import type { State } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';

/** What was made until now against what had been planned until then. */
interface MadePlanned {
  readonly byBath: readonly {
    readonly bath: string;
    readonly plannedBags: number;
    readonly madeBags: number;
    readonly madeLitres: number;
    readonly held: number;
    readonly discarded: number;
  }[];
  /** Technician minutes of set-ups, swaps and tests: as planned, and as noted (a swap and a test by the site's minutes). */
  readonly handsOn: { readonly planned: number; readonly real: number };
  readonly discards: readonly { readonly why: string; readonly bags: number }[];
  /** Bags that left for a bed against those prescribed for it until now. */
  readonly byBed: readonly { readonly bed: string; readonly prescribed: number; readonly left: number }[];
}

/**
 * @param problem the scenario compiled, from its start
 * @param planned the plan that people were given, from its start
 */
export function madePlanned(problem: Problem, state: State, planned: readonly Activity[]): MadePlanned {
  const { now } = state;
  const { rules, baths } = problem;
  const due = planned.filter(({ end }) => end <= now);
  const lots = lotsOfFills(
    problem,
    due.filter(({ kind }) => kind === 'fill'),
  );
  const fills = state.lots.filter(({ fill }) => fill !== null);
  const total = (numbers: readonly number[]) => numbers.reduce((sum, one) => sum + one, 0);
  const setUp = total(
    state.setUps.map(
      ({ circuit, entry, at, began }) => (at - began) * rules.hands[circuit === entry ? 'circuit' : 'bath'],
    ),
  );
  const discards = new Map<string, number>();
  for (const { why, bags } of state.lots.flatMap((lot) => lot.discards))
    discards.set(why, (discards.get(why) ?? 0) + bags);
  const { hangs } = demandOf({ ...problem, dueNow: null });
  return {
    byBath: baths.map((bath, index) => {
      const mine = fills.filter((lot) => lot.bath === bath);
      return {
        bath,
        plannedBags: total(lots.filter((lot) => lot.bath === index).map(({ bags }) => bags)),
        madeBags: total(mine.map(({ made }) => made)),
        madeLitres: total(mine.map(({ made, litres }) => made * litres)),
        held: total(mine.map(({ held }) => held)),
        discarded: total(mine.map(({ discarded }) => discarded)),
      };
    }),
    handsOn: {
      planned: total(
        due.map((one) =>
          one.kind === 'fill'
            ? rules.fillStartMinutes
            : one.kind === 'duty'
              ? 0
              : (one.end - one.start) * rules.hands[one.kind],
        ),
      ),
      real:
        setUp +
        fills.length * (rules.swapMinutes * rules.hands.swap + rules.fillStartMinutes) +
        total(
          state.tests.map(
            ({ water }) =>
              (problem.water.find(({ id }) => id === water)?.testMinutes ?? 0) * rules.hands.test,
          ),
        ),
    },
    discards: [...discards]
      .map(([why, bags]) => ({ why, bags }))
      .sort((a, b) => b.bags - a.bags || a.why.localeCompare(b.why)),
    byBed: problem.patients.map(({ id }, index) => ({
      bed: id,
      prescribed: hangs[index]!.filter(({ minute }) => minute < now).length,
      left: total(
        state.lots.flatMap(({ leaves }) => leaves.filter(({ bed }) => bed === id).map(({ bags }) => bags)),
      ),
    })),
  };
}
