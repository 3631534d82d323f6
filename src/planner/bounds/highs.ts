import loadHighs, { type Highs } from 'highs';
import { branch, type Limits, provenBy, type Relaxed } from './branch.ts';
import type { LinearModel } from './model.ts';

/** HiGHS's number for a run that the clock ended. */
const TIME_LIMIT = 13;
/** Columns from which on the interior point method is the faster one for a relaxation. */
const LARGE = 3000;
/** Of one relaxation of a part of the search tree: a guard against a simplex that turns in circles. */
const MOST_ITERATIONS = 20_000;

export interface SolveOptions {
  /** False: the relaxation without integrality. Default true. */
  readonly whole?: boolean;
  /** Simplex iterations, all nodes together: a limit that gives the same answer on every machine. */
  readonly iterations?: number;
  /** Last guard, s of wall clock. Default 60. */
  readonly seconds?: number;
  /** Relative distance of bound and solution at which to stop. Default 1e-4. */
  readonly gap?: number;
  /** The cost of every whole point is a multiple of this: search for the bound alone (`branch.ts`), no solution. */
  readonly step?: number;
}

export interface Outcome {
  /** limit: a limit struck first; bound and, if there are, values hold none the less. failed: see message. */
  readonly status: 'optimal' | 'limit' | 'infeasible' | 'unbounded' | 'failed';
  /** No solution is below this; minus infinity when nothing is proven. */
  readonly bound: number;
  /** Of the best solution found; infinity when there is none. */
  readonly objective: number;
  readonly values: Float64Array | null;
  readonly message: string;
  /** The clock, not a limit of work, ended the search. */
  readonly timedOut: boolean;
}

export interface Solver {
  /** Blocks until done. Never throws: what goes wrong is the outcome's status and message. */
  solve(model: LinearModel, options?: SolveOptions): Outcome;
}

let wasmUrl: string | null = null;
let instance: Promise<Highs> | null = null;

/** Where a browser finds the solver's wasm file; Node finds it by itself. Call before the first solve. */
export function locateHighs(url: string): void {
  if (url !== wasmUrl) instance = null;
  wasmUrl = url;
}

const failed = (message: string): Outcome => ({
  status: 'failed',
  bound: Number.NEGATIVE_INFINITY,
  objective: Number.POSITIVE_INFINITY,
  values: null,
  message,
  timedOut: false,
});

/** The HiGHS solver, loaded once. A solver that cannot be loaded answers every model with 'failed' and the reason. */
export async function loadSolver(): Promise<Solver> {
  const url = wasmUrl;
  instance ??= loadHighs(url === null ? {} : { locateFile: () => url });
  try {
    const highs = await instance;
    return { solve: (model, options = {}) => solveWith(highs, model, options) };
  } catch (error) {
    instance = null;
    const message = `The solver could not be loaded: ${error instanceof Error ? error.message : String(error)}`;
    return { solve: () => failed(message) };
  }
}

function solveWith(highs: Highs, model: LinearModel, options: SolveOptions): Outcome {
  // HiGHS calls a model without columns empty and gives it no value; its one answer is 0.
  if (model.cost.length === 0)
    return { ...failed(''), status: 'optimal', bound: 0, objective: 0, values: new Float64Array(0) };
  try {
    if (options.whole !== false && options.step !== undefined && model.integer.some((is) => is > 0))
      return branched(highs, model, options, options.step);
    return highs.withModel((solver) => {
      const { iterations = Number.POSITIVE_INFINITY } = options;
      solver.options.set('output_flag', false);
      solver.options.set('time_limit', options.seconds ?? 60);
      solver.options.set('mip_rel_gap', options.gap ?? 1e-4);
      const whole = options.whole !== false && model.integer.some((is) => is > 0);
      // On the relaxation of a crisis the interior point method, made exact by crossover, takes a third of simplex's time.
      if (!whole && model.cost.length > LARGE) solver.options.set('solver', 'ipm');
      solver.passModel(model.data(options.whole !== false) as Parameters<typeof solver.passModel>[0]);
      const { modelStatus } = solver.run({
        [highs.constants.callbackType.mipInterrupt](event: {
          data: { mip_total_lp_iterations?: bigint };
          interrupt(): void;
        }): undefined {
          if (Number(event.data.mip_total_lp_iterations ?? 0) > iterations) event.interrupt();
        },
      });
      const status = statusOf(modelStatus);
      const found =
        (status === 'optimal' || status === 'limit') &&
        Number(solver.info.get('primal_solution_status')) === 2;
      /** Where every column has limits the multipliers of the rows prove the least value without trust in tolerances. */
      const safely = (least: number) => {
        const safe = found ? provenBy(model, solver.getSolution().rowDual, new Map()) : least;
        return Number.isFinite(safe) ? Math.min(least, safe) : least;
      };
      const objective = found ? solver.getObjectiveValue() : Number.POSITIVE_INFINITY;
      const proven = whole ? Number(solver.info.get('mip_dual_bound')) : safely(objective);
      return {
        status,
        bound: status === 'optimal' || (status === 'limit' && whole) ? proven : Number.NEGATIVE_INFINITY,
        objective,
        values: found ? solver.getSolution().colValue : null,
        message: status === 'failed' ? `The solver ended with its status ${modelStatus}.` : '',
        timedOut: modelStatus === TIME_LIMIT,
      };
    });
  } catch (error) {
    instance = null;
    return failed(`The solver failed: ${error instanceof Error ? error.message : String(error)}`);
  }
}

/** Children of a node begin from the last basis, which stays dual feasible: presolve would throw it away. */
function branched(highs: Highs, model: LinearModel, options: SolveOptions, step: number): Outcome {
  return highs.withModel((solver): Outcome => {
    const { seconds = 60, iterations = Number.POSITIVE_INFINITY } = options;
    let timedOut = false;
    let moved: Limits = new Map();
    let solved = 0;
    solver.options.set('output_flag', false);
    // Counts the runs of one model together.
    solver.options.set('time_limit', seconds);
    if (model.cost.length > LARGE) solver.options.set('solver', 'ipm');
    solver.passModel(model.data(false) as Parameters<typeof solver.passModel>[0]);
    const run = () => {
      const { modelStatus } = solver.run();
      timedOut ||= modelStatus === TIME_LIMIT;
      return modelStatus;
    };
    const relax = (limits: Limits): Relaxed => {
      for (const column of moved.keys())
        if (!limits.has(column)) solver.changeColBounds(column, model.lower[column]!, model.upper[column]!);
      for (const [column, [lower, upper]] of limits) solver.changeColBounds(column, lower, upper);
      moved = limits;
      const status = statusOf(run());
      solved += 1;
      if (solved === 1) {
        solver.options.set('presolve', 'off');
        solver.options.set('solver', 'simplex');
        // Nearly all columns cost nothing; HiGHS's cure for that, other costs for a while, costs more than it saves.
        solver.options.set('dual_simplex_cost_perturbation_multiplier', 0);
        solver.options.set('simplex_iteration_limit', MOST_ITERATIONS);
      }
      const taken = Math.max(0, Number(solver.info.get('simplex_iteration_count')));
      if (status === 'infeasible') {
        const ray = solver.getDualRay();
        const impossible =
          ray !== undefined && provenBy(model, Float64Array.from(ray.values), limits, true) > 1e-6;
        return {
          bound: impossible ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY,
          values: null,
          iterations: taken,
        };
      }
      const { rowDual, colValue } = solver.getSolution();
      const usable = rowDual.length === model.rowLower.length;
      return {
        bound: usable ? provenBy(model, rowDual, limits) : Number.NEGATIVE_INFINITY,
        values: status === 'optimal' ? colValue.slice() : null,
        iterations: taken,
      };
    };
    const { bound, values, closed } = branch(model, relax, { step, iterations, late: () => timedOut });
    if (bound === Number.POSITIVE_INFINITY) return { ...failed(''), status: 'infeasible' };
    return {
      status: closed ? 'optimal' : 'limit',
      bound,
      objective: Number.POSITIVE_INFINITY,
      values,
      message: '',
      timedOut,
    };
  });
}

/** HiGHS's numbers for how a solve ended (HighsModelStatus). */
function statusOf(code: number): Outcome['status'] {
  if (code === 7) return 'optimal';
  if (code === 8) return 'infeasible';
  if (code === 9 || code === 10) return 'unbounded';
  return code >= 11 && code <= 17 ? 'limit' : 'failed';
}
