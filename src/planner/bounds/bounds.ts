import type { Demand } from '../../demand/demand.ts';
import type { Bound, Score } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { type Buckets, bucketsOf } from './buckets.ts';
import { countedModel } from './counted.ts';
import { handsOn, handsOnTest, lessDuties } from './floor.ts';
import { loadSolver, type Outcome, type SolveOptions, type Solver } from './highs.ts';
import type { LinearModel } from './model.ts';
import { commonDivisor, nextMultiple } from './multiples.ts';

export interface BoundOptions {
  /** What the plan to be judged reaches: the hands-on bound holds for plans no worse in each. Default: the unmet bound, any reserve. */
  readonly allowed?: Pick<Score, 'unmetLitres' | 'reserveShort'> & Partial<Pick<Score, 'unmetLitreHours'>>;
  /** Simplex iterations allowed for each of the two questions in whole numbers; 0: only without them. Default: by the model's size. */
  readonly iterations?: number;
  /** Last guard for each of the two questions, s. Default 20. */
  readonly seconds?: number;
}

interface Bounds extends Bound {
  /** What the reader should know, e.g. that the solver's clock struck. */
  readonly remarks: readonly string[];
}

/** Of a search in whole numbers, in a model of 1500 rows or fewer; fewer in a larger one, where each takes longer and parts need more. */
const ITERATIONS = 75_000;
const iterationsFor = ({ rowLower }: LinearModel): number =>
  Math.round(ITERATIONS * Math.min(1, 1500 / rowLower.length) ** 4);

/** min, of a bound that further rows raise. */
const LEAST_RISE = 0.1;

/** The hands-on minutes of all plans are multiples of this. */
export function minuteStep(problem: Problem): number {
  const { fill, circuit, change } = handsOn(problem);
  return commonDivisor([
    fill,
    circuit,
    change,
    ...problem.water.map((_, source) => handsOnTest(problem, source)),
  ]);
}

/**
 * Proven lower bounds: no valid plan leaves fewer litres unmet, and none that is as good in unmet litres and reserve
 * (see `allowed`) takes fewer hands-on minutes. From the least value of the counted model, or what HiGHS proves of it
 * within the limits. Never rejects: what cannot be proven is null, with a remark.
 */
export async function boundsOf(
  problem: Problem,
  demand: Demand,
  options: BoundOptions = {},
): Promise<Bounds> {
  const solver = await loadSolver();
  const certain = lessDuties(problem);
  const question: Question = {
    problem: certain,
    buckets: bucketsOf(certain, demand),
    solver,
    limits: { seconds: options.seconds ?? 20 },
    remarks: [],
  };
  const unmetLitres = leastLitres(question, options);
  const handsOnMinutes = leastMinutes(question, options, unmetLitres ?? 0);
  return { unmetLitres, handsOnMinutes, remarks: question.remarks };
}

/** L that no plan leaves less of, from the relaxation alone: soon, for many like problems. Null: nothing is proven. */
export async function leastUnmet(problem: Problem, demand: Demand, seconds: number): Promise<number | null> {
  const solver = await loadSolver();
  const certain = lessDuties(problem);
  const buckets = bucketsOf(certain, demand);
  return leastLitres(
    { problem: certain, buckets, solver, limits: { seconds }, remarks: [] },
    { iterations: 0 },
  );
}

/** What is asked of the solver, and what there is to be said of its answers. */
interface Question {
  readonly problem: Problem;
  readonly buckets: Buckets;
  readonly solver: Solver;
  readonly limits: SolveOptions;
  readonly remarks: string[];
}

/** min, or null. @param least L that no plan leaves less of */
function leastMinutes(
  { problem, buckets, solver, limits, remarks }: Question,
  { allowed, iterations: given }: BoundOptions,
  least: number,
): number | null {
  const bags = (litres: number) => (litres * problem.partsPerLitre) / problem.bagParts;
  const model = countedModel(problem, buckets, {
    unmetBags: bags(allowed?.unmetLitres ?? least),
    unmetBagHours: bags(allowed?.unmetLitreHours ?? Number.POSITIVE_INFINITY),
    reserveBags: allowed?.reserveShort ?? Number.POSITIVE_INFINITY,
  });
  const step = minuteStep(problem);
  sharpen(model, solver, limits);
  const iterations = given ?? iterationsFor(model);
  const relaxed = () => solver.solve(model, { ...limits, whole: false });
  let outcome = iterations > 0 ? solver.solve(model, { ...limits, iterations, step }) : relaxed();
  if (iterations > 0 && !outcome.timedOut && proven(outcome) === null) outcome = relaxed();
  note(outcome, 'minutes of hands-on work', remarks);
  const minutes = proven(outcome);
  return minutes === null ? null : nextMultiple(minutes, step);
}

/** Takes on offered rows that the relaxation's best point breaks, as long as that raises what is proven. */
function sharpen(model: LinearModel, solver: Solver, limits: SolveOptions): void {
  let best = Number.NEGATIVE_INFINITY;
  while (model.hasOffers()) {
    const { objective, values } = solver.solve(model, { ...limits, whole: false });
    if (values === null || objective < best + LEAST_RISE || model.takeBroken(values) === 0) return;
    best = objective;
  }
}

/** L, or null. Litres unmet come in steps: whatever lots serve is a whole number of the divisor of all their sizes. */
function leastLitres(
  { problem, buckets, solver, limits, remarks }: Question,
  { allowed, iterations }: BoundOptions,
): number | null {
  // A plan that meets every need has reached the least there is.
  if (allowed && allowed.unmetLitres === 0) return 0;
  const model = countedModel(problem, buckets, null);
  const { bagParts, partsPerLitre, lots } = problem;
  const step = commonDivisor([bagParts, ...lots.map((lot) => lot.bags * lot.bagParts)]);
  const litres = (outcome: Outcome) => {
    const bags = proven(outcome);
    return bags === null ? null : nextMultiple(bags * bagParts, step) / partsPerLitre;
  };
  const answer = solver.solve(model, { ...limits, whole: false });
  note(answer, 'unmet liters', remarks);
  const relaxed = answer.status === 'optimal' ? litres(answer) : null;
  // Whole numbers are worth the time only where a plan does not reach what is proven without them.
  if (relaxed === null || iterations === 0 || !allowed || relaxed > allowed.unmetLitres - 1e-6)
    return relaxed;
  const whole = solver.solve(model, {
    ...limits,
    iterations: iterations ?? iterationsFor(model),
    step: step / bagParts,
  });
  note(whole, 'unmet liters', remarks);
  return Math.max(relaxed, litres(whole) ?? 0);
}

/** A model found infeasible proves nothing here: a valid plan is a point of it, so the solver's arithmetic is in doubt. */
const proven = ({ status, bound }: Outcome): number | null =>
  (status === 'optimal' || status === 'limit') && Number.isFinite(bound) ? bound : null;

function note({ status, message, timedOut }: Outcome, what: string, remarks: string[]): void {
  if (status === 'failed' || status === 'infeasible' || status === 'unbounded')
    remarks.push(
      `The solver proved nothing about the least possible ${what}${message ? `: ${message}` : ''} (${status}).`,
    );
  else if (timedOut) remarks.push(`Time ran out before the least possible ${what} were known.`);
}
