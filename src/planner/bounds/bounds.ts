import type { Demand } from '../../demand/demand.ts';
import type { Bound, Score } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { commonDivisor, nextMultiple } from './branch.ts';
import { type Buckets, bucketsOf } from './buckets.ts';
import { type Counted, countedModel } from './counted.ts';
import { type LinearModel, loadSolver, type Outcome, type SolveOptions, type Solver } from './highs.ts';

export interface BoundOptions {
  /** What the plan to be judged reaches: the hands-on bound holds for plans no worse in both. Default: the unmet bound, any reserve. */
  readonly allowed?: Pick<Score, 'unmetLitres' | 'reserveShort'>;
  /** A bound on unmetLitres proven before for the same problem: it is not computed again. */
  readonly unmetLitres?: number;
  /** Simplex iterations allowed for each of the two questions in whole numbers; 0: only without them. Default: by the model's size. */
  readonly iterations?: number;
  /** Last guard for each of the two questions, s. Default 20. */
  readonly seconds?: number;
}

/** What is done in one stretch of time, machines of a kind together: a hint where to begin, no plan. */
export interface CountedBucket {
  /** Minutes: what ends in from+1..to. */
  readonly from: number;
  readonly to: number;
  /** By kind (see `CountedPlan.kinds`), by bath number; whole only in the totals over all buckets. */
  readonly fills: readonly (readonly number[])[];
  readonly circuits: readonly (readonly number[])[];
  readonly changes: readonly (readonly number[])[];
  /** Machines that end the bucket with the bath loaded. */
  readonly loaded: readonly (readonly number[])[];
  /** By source. */
  readonly tests: readonly number[];
}
export interface CountedPlan {
  /** Machine numbers of each kind. */
  readonly kinds: readonly (readonly number[])[];
  readonly buckets: readonly CountedBucket[];
}

export interface Bounds extends Bound {
  /** How the counted plan's minutes come about; null when no counted plan was found. Not each proven for itself. */
  readonly parts: {
    readonly fills: number;
    readonly swapMinutes: number;
    readonly circuitMinutes: number;
    readonly changeMinutes: number;
    readonly testMinutes: number;
  } | null;
  readonly counted: CountedPlan | null;
  /** What the reader should know, e.g. that the solver's clock struck. */
  readonly remarks: readonly string[];
}

/** Of a search in whole numbers, in a model of 1500 rows or fewer; fewer in a larger one, where each takes longer and parts need more. */
const ITERATIONS = 150_000;
const iterationsFor = ({ rowLower }: LinearModel): number =>
  Math.round(ITERATIONS * Math.min(1, 1500 / rowLower.length) ** 4);

/**
 * Proven lower bounds: no valid plan leaves fewer litres unmet, and none that is as good in unmet litres and reserve
 * (see `allowed`) takes fewer hands-on minutes. From the least value of the counted model, or what HiGHS proves of it
 * within the limits. Never rejects: what cannot be proven is 0, with a remark.
 */
export async function boundsOf(
  problem: Problem,
  demand: Demand,
  options: BoundOptions = {},
): Promise<Bounds> {
  const solver = await loadSolver();
  const buckets = bucketsOf(problem, demand);
  const remarks: string[] = [];
  const limits = { seconds: options.seconds ?? 20 };
  const unmetLitres = options.unmetLitres ?? unmetBound(problem, buckets, solver, limits, options, remarks);
  const { bagParts, partsPerLitre } = problem;
  const bags = (litres: number) => (litres * partsPerLitre) / bagParts;
  const counted = countedModel(problem, buckets, {
    unmetBags: bags(options.allowed?.unmetLitres ?? unmetLitres),
    reserveBags: options.allowed?.reserveShort ?? Number.POSITIVE_INFINITY,
  });
  const { swapMinutes, circuitMinutes, bathMinutes } = problem.rules;
  const step = commonDivisor([
    swapMinutes,
    circuitMinutes,
    bathMinutes,
    ...problem.water.map(({ testMinutes }) => testMinutes),
  ]);
  const iterations = options.iterations ?? iterationsFor(counted.model);
  const relaxed = () => solver.solve(counted.model, { ...limits, whole: false });
  let outcome = iterations > 0 ? solver.solve(counted.model, { ...limits, iterations, step }) : relaxed();
  if (iterations > 0 && !outcome.timedOut && proven(outcome) === Number.NEGATIVE_INFINITY)
    outcome = relaxed();
  note(outcome, 'hands-on minutes', remarks);
  return {
    unmetLitres,
    handsOnMinutes: nextMultiple(proven(outcome), step),
    ...(outcome.values
      ? explained(problem, buckets, counted, outcome.values)
      : { parts: null, counted: null }),
    remarks,
  };
}

/** L that no plan leaves less of, from the relaxation alone: soon, for many like problems. 0 where nothing is proven. */
export async function leastUnmet(problem: Problem, demand: Demand, seconds: number): Promise<number> {
  const solver = await loadSolver();
  return unmetBound(problem, bucketsOf(problem, demand), solver, { seconds }, { iterations: 0 }, []);
}

/** L. Litres unmet come in steps: whatever lots serve is a whole number of the divisor of all their sizes. */
function unmetBound(
  problem: Problem,
  buckets: Buckets,
  solver: Solver,
  limits: SolveOptions,
  { allowed, iterations }: BoundOptions,
  remarks: string[],
): number {
  // A plan that meets every need has reached the least there is.
  if (allowed && allowed.unmetLitres === 0) return 0;
  const { model } = countedModel(problem, buckets, null);
  const { bagParts, partsPerLitre, lots } = problem;
  const step = commonDivisor([bagParts, ...lots.map((lot) => lot.bags * lot.bagParts)]);
  const litres = (outcome: Outcome) => nextMultiple(proven(outcome) * bagParts, step) / partsPerLitre;
  const relaxed = solver.solve(model, { ...limits, whole: false });
  note(relaxed, 'unmet litres', remarks);
  if (relaxed.status !== 'optimal') return 0;
  // Whole numbers are worth the time only where a plan does not reach what is proven without them.
  if (iterations === 0 || !allowed || litres(relaxed) > allowed.unmetLitres - 1e-6) return litres(relaxed);
  const whole = solver.solve(model, {
    ...limits,
    iterations: iterations ?? iterationsFor(model),
    step: step / bagParts,
  });
  note(whole, 'unmet litres', remarks);
  return Math.max(litres(relaxed), litres(whole));
}

/** A model found infeasible proves nothing here: a valid plan is a point of it, so the solver's arithmetic is in doubt. */
const proven = ({ status, bound }: Outcome): number =>
  status === 'optimal' || status === 'limit' ? bound : Number.NEGATIVE_INFINITY;

function note({ status, message, timedOut }: Outcome, what: string, remarks: string[]): void {
  if (status === 'failed' || status === 'infeasible' || status === 'unbounded')
    remarks.push(`The solver proved no lower bound on ${what}${message ? `: ${message}` : ''} (${status}).`);
  else if (timedOut) remarks.push(`The clock ended the search for a better lower bound on ${what}.`);
}

function explained(
  problem: Problem,
  { cuts, kinds }: Buckets,
  counted: Counted,
  values: Float64Array,
): Pick<Bounds, 'parts' | 'counted'> {
  const read = (column: number) => (column < 0 ? 0 : Math.max(0, Math.round(values[column]! * 1e6) / 1e6));
  const buckets = cuts.slice(1).map((to, index): CountedBucket => {
    const own = counted.kinds.map((byBucket) => byBucket[index + 1]!);
    return {
      from: cuts[index]!,
      to,
      fills: own.map(({ fills }) => fills.map(read)),
      circuits: own.map(({ circuits }) => circuits.map(read)),
      changes: own.map(({ changes }) => changes.map(read)),
      loaded: own.map(({ loaded }) => loaded.map(read)),
      tests: counted.tests.map((byBucket) => read(byBucket[index + 1]!)),
    };
  });
  const sum = (of: (bucket: CountedBucket) => readonly (readonly number[])[]) =>
    buckets.reduce(
      (total, bucket) =>
        total +
        of(bucket)
          .flat()
          .reduce((a, b) => a + b, 0),
      0,
    );
  const { rules, water } = problem;
  const fills = sum((bucket) => bucket.fills);
  return {
    counted: { kinds: kinds.map(({ machines }) => machines), buckets },
    parts: {
      fills,
      swapMinutes: fills * rules.swapMinutes,
      circuitMinutes: sum((bucket) => bucket.circuits) * rules.circuitMinutes,
      changeMinutes: sum((bucket) => bucket.changes) * rules.bathMinutes,
      testMinutes: sum((bucket) => [bucket.tests.map((n, source) => n * water[source]!.testMinutes)]),
    },
  };
}
