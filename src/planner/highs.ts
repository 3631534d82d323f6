import loadHighs, { type Highs } from 'highs';

/** HiGHS reads any bound beyond this as none. */
const NONE = 1e30;

/** A linear model by numbers alone, no names. Minimised. */
export class LinearModel {
  readonly cost: number[] = [];
  readonly lower: number[] = [];
  readonly upper: number[] = [];
  readonly integer: number[] = [];
  readonly rowLower: number[] = [];
  readonly rowUpper: number[] = [];
  private readonly starts: number[] = [0];
  private readonly indices: number[] = [];
  private readonly values: number[] = [];

  /** @returns the column's number */
  column(cost: number, lower: number, upper: number, integer = false): number {
    this.cost.push(cost);
    this.lower.push(lower);
    this.upper.push(upper);
    this.integer.push(integer ? 1 : 0);
    return this.cost.length - 1;
  }

  /** A row lower <= sum of coefficient x column <= upper. Terms of one column add up; a row without terms is left out. */
  row(lower: number, upper: number, terms: Iterable<readonly [column: number, coefficient: number]>): void {
    const sums = new Map<number, number>();
    for (const [column, coefficient] of terms) sums.set(column, (sums.get(column) ?? 0) + coefficient);
    if (sums.size === 0) return;
    for (const [column, coefficient] of sums) {
      if (coefficient === 0) continue;
      this.indices.push(column);
      this.values.push(coefficient);
    }
    this.starts.push(this.indices.length);
    this.rowLower.push(lower);
    this.rowUpper.push(upper);
  }

  /** The arrays HiGHS takes; `whole` false drops integrality. */
  data(whole: boolean) {
    const finite = (list: readonly number[]) =>
      Float64Array.from(list, (value) => Math.max(-NONE, Math.min(NONE, value)));
    const numCols = this.cost.length;
    const numRows = this.rowLower.length;
    return {
      numCols,
      numRows,
      colCost: Float64Array.from(this.cost),
      colLower: finite(this.lower),
      colUpper: finite(this.upper),
      rowLower: finite(this.rowLower),
      rowUpper: finite(this.rowUpper),
      matrix: {
        format: 'csr' as const,
        numRows,
        numCols,
        starts: Int32Array.from(this.starts),
        indices: Int32Array.from(this.indices),
        values: Float64Array.from(this.values),
      },
      ...(whole && this.integer.includes(1) ? { integrality: Int32Array.from(this.integer) } : {}),
    };
  }
}

export interface SolveOptions {
  /** False: the relaxation without integrality. Default true. */
  readonly whole?: boolean;
  /** Simplex iterations, all nodes together: a limit that gives the same answer on every machine. */
  readonly iterations?: number;
  /** Nodes of the search tree. */
  readonly nodes?: number;
  /** Last guard, s of wall clock. Default 60. */
  readonly seconds?: number;
  /** Relative distance of bound and solution at which to stop. Default 1e-4. */
  readonly gap?: number;
  /** Values of all columns to start from. */
  readonly start?: Float64Array;
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
    return highs.withModel((solver) => {
      const { iterations = Number.POSITIVE_INFINITY } = options;
      solver.options.set('output_flag', false);
      solver.options.set('time_limit', options.seconds ?? 60);
      solver.options.set('mip_rel_gap', options.gap ?? 1e-4);
      const whole = options.whole !== false && model.integer.includes(1);
      // On the relaxation of a crisis the interior point method, made exact by crossover, takes a third of simplex's time.
      if (!whole && model.cost.length > 3000) solver.options.set('solver', 'ipm');
      if (options.nodes !== undefined) solver.options.set('mip_max_nodes', options.nodes);
      solver.passModel(model.data(options.whole !== false) as Parameters<typeof solver.passModel>[0]);
      if (options.start) solver.setSolution({ colValue: options.start });
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
      const objective = found ? solver.getObjectiveValue() : Number.POSITIVE_INFINITY;
      const proven = whole ? Number(solver.info.get('mip_dual_bound')) : objective;
      return {
        status,
        bound: status === 'optimal' || (status === 'limit' && whole) ? proven : Number.NEGATIVE_INFINITY,
        objective,
        values: found ? solver.getSolution().colValue : null,
        message: status === 'failed' ? `The solver ended with its status ${modelStatus}.` : '',
        timedOut: modelStatus === 13,
      };
    });
  } catch (error) {
    instance = null;
    return failed(`The solver failed: ${error instanceof Error ? error.message : String(error)}`);
  }
}

/** HiGHS's numbers for how a solve ended (HighsModelStatus). */
function statusOf(code: number): Outcome['status'] {
  if (code === 7) return 'optimal';
  if (code === 8) return 'infeasible';
  if (code === 9 || code === 10) return 'unbounded';
  return code >= 11 && code <= 17 ? 'limit' : 'failed';
}
