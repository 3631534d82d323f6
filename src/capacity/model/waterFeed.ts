import type { Problem } from '../../scenario/problem/types.ts';
import { capacityParts, type Deadlines } from './floor.ts';
import { usableFlow } from './flow.ts';
import type { Making } from './machines.ts';
import { USABLE } from './usable.ts';

interface Usable {
  /** What the machines draw when all are fed, mL/min. */
  readonly all: number;
  readonly of: (capacity: number) => number;
}

/** What water sources give the machines before each deadline, as they change. */
export class WaterFeed {
  readonly #problem: Problem;
  readonly #making: Pick<Making, 'machines' | 'perCircuit'>;
  readonly #deadlines: Deadlines;
  readonly #known: Float64Array[] = [];

  constructor(problem: Problem, making: Pick<Making, 'machines' | 'perCircuit'>, deadlines: Deadlines) {
    this.#problem = problem;
    this.#making = making;
    this.#deadlines = deadlines;
  }

  /**
   * Flow of each source that the first `count` machines can use before each deadline, mL/min, [round x sources +
   * source]; infinite where all are fed: it does not matter then.
   */
  flowsFor(count: number): Float64Array {
    const known = this.#known[count];
    if (known) return known;
    const { water } = this.#problem;
    const flows = new Float64Array(this.#deadlines.length * water.length);
    water.forEach((_, source) => {
      const usable = this.#usableBy(count, source);
      for (let r = 1; r < this.#deadlines.length; r++)
        flows[r * water.length + source] = this.#mean(r, source, usable);
    });
    this.#known[count] = flows;
    return flows;
  }

  /** Flow that machines can use of a source, by its capacity; each capacity is worked out once. */
  #usableBy(count: number, source: number): Usable {
    const { machines, perCircuit } = this.#making;
    const { circuitMinutes, swapMinutes } = this.#problem.rules;
    const mine = machines.slice(0, count).flatMap(({ flow, shortest, water }, m) => {
      const setting = circuitMinutes / perCircuit[m]!;
      return water === source
        ? [{ flow, duty: (shortest + setting) / (shortest + swapMinutes + setting) }]
        : [];
    });
    const all = mine.reduce((sum, { flow }) => sum + flow, 0);
    const known = new Map<number, number>();
    const of = (capacity: number): number => {
      if (all <= capacity) return Number.POSITIVE_INFINITY;
      const usable = known.get(capacity) ?? usableFlow(mine, capacity) * USABLE.water;
      known.set(capacity, usable);
      return usable;
    };
    return { all, of };
  }

  #mean(r: number, source: number, { all, of }: Usable): number {
    const from = Math.max(0, this.#deadlines[r - 1]!);
    const parts = capacityParts(this.#problem.water[source]!, from, Math.max(from, this.#deadlines[r]!));
    const flows = parts.map(({ capacity }) => of(capacity));
    if (parts.length === 1 || flows.every((flow) => flow === Number.POSITIVE_INFINITY)) return flows[0]!;
    // While all are fed they draw what they can, and no more.
    return parts.reduce((sum, { share }, n) => sum + share * Math.min(all, flows[n]!), 0);
  }
}
