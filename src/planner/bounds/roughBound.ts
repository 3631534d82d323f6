import type { Demand } from '../../demand/demand.ts';
import type { Bound, Score } from '../../plan/plan.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { outOfReach } from '../search/outOfReach.ts';
import { minuteStep } from './bounds.ts';
import { handsOn, handsOnTest, mostCapacity } from './floor.ts';
import { nextMultiple } from './multiples.ts';

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

type Allowed = Pick<Score, 'unmetLitres' | 'reserveShort'>;

/** Bags that fills must make at the least, when a plan leaves no more than `allowed` unmet and short of reserve. */
function bagsToMake(problem: Problem, demand: Demand, allowed: Allowed): number {
  const { bagParts, partsPerLitre, lots, reserve, baths } = problem;
  const wanted = baths.map((_, bath) => {
    const given = sum(lots.filter((lot) => lot.bath === bath).map((lot) => lot.bags * lot.bagParts));
    return Math.max(0, sum(demand.bags[bath] ?? []) + (reserve[bath] ?? 0) - given / bagParts);
  });
  return sum(wanted) - (allowed.unmetLitres * partsPerLitre) / bagParts - allowed.reserveShort;
}

/**
 * A lower bound on hands-on minutes by plain division, for when the solver has none (yet): bags that must be made, times
 * what a bag costs on the machine where it costs least, in swaps and in its share of a circuit and of a water test, less
 * what stands there already. Bath changes, rounds, shelf life and technicians are left out, so it is below any plan's.
 * @param allowed holds for plans no worse than this in both
 * @returns min; 0 where nothing has to be made
 */
export function roughHandsOn(problem: Problem, demand: Demand, allowed: Allowed): number {
  const { machines, water, rules } = problem;
  const { swapMinutes, circuitMinutes, circuitLife } = rules;
  const hands = handsOn(problem);
  const fillsIn = ({ shortest }: Machine, minutes: number) =>
    Math.max(0, Math.floor(minutes / (shortest + swapMinutes)));
  const perCircuit = (machine: Machine) => fillsIn(machine, circuitLife - circuitMinutes);
  /** Share of a circuit that one fill uses up; none where a new one bears no fill at all. */
  const circuitCost = (machine: Machine) =>
    perCircuit(machine) > 0 ? hands.circuit / perCircuit(machine) : 0;
  const costs = machines.map((machine) => {
    const { testEvery } = water[machine.water]!;
    const capacity = mostCapacity(problem, machine.water);
    const own = machines.filter((other) => other.water === machine.water);
    // So many run at once at most; a test serves the minute it ends in and `testEvery` more.
    const together = Math.max(
      1,
      Math.min(own.length, Math.floor(capacity / Math.min(...own.map(({ flow }) => flow)) + 1e-9)),
    );
    const testCost = (handsOnTest(problem, machine.water) * machine.shortest) / (together * (testEvery + 1));
    return (hands.fill + circuitCost(machine) + testCost) / machine.usable;
  });
  if (costs.length === 0) return 0;
  const there =
    sum(
      machines.map((machine) =>
        machine.loaded ? fillsIn(machine, machine.loaded.since + circuitLife) * circuitCost(machine) : 0,
      ),
    ) + sum(water.map(({ lastTest }, source) => (lastTest === null ? 0 : handsOnTest(problem, source))));
  return nextMultiple(bagsToMake(problem, demand, allowed) * Math.min(...costs) - there, minuteStep(problem));
}

/**
 * What is proven at once, by counting alone: litres that no fill can serve stay unmet, and `roughHandsOn`. Null where counting
 * says nothing: where something is unmet that a fill might serve, or where nothing must be made and yet work is planned.
 * @param score of the plan that is judged
 */
export function plainBound(problem: Problem, demand: Demand, score: Score): Bound {
  const lost = outOfReach(problem, demand).unmetParts / problem.partsPerLitre;
  const minutes = roughHandsOn(problem, demand, score);
  return {
    unmetLitres: lost > 0 || score.unmetLitres < NOTHING ? lost : null,
    handsOnMinutes: minutes > 0 || score.handsOnMinutes === 0 ? minutes : null,
  };
}
/** L below which nothing is unmet. */
const NOTHING = 1e-6;
