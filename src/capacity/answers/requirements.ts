import type { Scenario } from '../../scenario/schema.ts';
import type { Runner } from './job.ts';
import { freeId } from './levers.ts';
import type { Study, StudyOptions } from './study.ts';
import { smallestOf, withTechnicians } from './sweeps.ts';

/** The least of everything for the wanted confidence, at the smallest number of machines. */
export interface Requirements {
  /** Machines that the rest goes with. */
  readonly machines: number;
  /** Whether that many machines are enough at all; if not, no number is, and the rest says what is missing anyway. */
  readonly enough: boolean;
  /** Technicians in every shift; null: more than any asked about. */
  readonly technicians: number | null;
  /** Capacity of each water source, mL/min; null: more than any asked about. */
  readonly water: readonly { readonly id: string; readonly capacity: number }[] | null;
}

/** So many machines: the first of the list, then copies of the last. */
export function withMachines(scenario: Scenario, count: number): Scenario {
  const machines = scenario.machines.slice(0, count);
  const last = scenario.machines.at(-1);
  while (last && machines.length < count)
    machines.push({
      ...last,
      id: freeId(
        last.id,
        machines.map(({ id }) => id),
      ),
      loaded: null,
    });
  return { ...scenario, machines };
}

const withWater = (scenario: Scenario, factor: number): Scenario => ({
  ...scenario,
  water: scenario.water.map((row) => ({ ...row, capacity: Math.round(row.capacity * factor) })),
});

const MOST_TECHNICIANS = 12;
/** Water is asked about in steps of a tenth of what is there. */
const FACTORS = Array.from({ length: 28 }, (_, n) => (n + 3) / 10);

/**
 * Technicians a shift and water that are just enough beside the smallest number of machines, supplies without end;
 * what is needed of each supply stands in the study (`wanted`).
 */
export async function requirements(made: Study, run: Runner, options: StudyOptions): Promise<Requirements> {
  const { supplied, own } = made;
  const smallest = supplied ? supplied.smallest : made.smallest;
  const machines = smallest ?? own;
  const base = withMachines({ ...made.scenario, supplies: [] }, machines);
  const counts = Array.from({ length: MOST_TECHNICIANS }, (_, n) => n + 1);
  const technicians = await smallestOf(counts, (count) => withTechnicians(base, count), run, options);
  const factor = await smallestOf(FACTORS, (one) => withWater(base, one), run, options);
  return {
    machines,
    enough: smallest !== null,
    technicians,
    water:
      factor === null ? null : withWater(base, factor).water.map(({ id, capacity }) => ({ id, capacity })),
  };
}
