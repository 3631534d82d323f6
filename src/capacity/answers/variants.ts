import type { Scenario } from '../../scenario/schema.ts';
import type { MachineRow } from './answers.ts';
import type { Runner } from './job.ts';
import { offersOf } from './offers.ts';
import { orderLists } from './orders.ts';
import { type StudyOptions, study } from './study.ts';

/** What the runs say of one of several scenarios, each on the same seed. */
export interface VariantAnswer {
  readonly name: string;
  /** Machines listed, and what the runs say with them; null: none is listed. */
  readonly own: number;
  readonly row: MachineRow | null;
  /** Machines that are enough; null: no number of them. */
  readonly smallest: number | null;
  /** Bags hung per day, mean over days and runs. */
  readonly bagsPerDay: number;
  readonly draws: number;
  /** Cost of the cheapest list with which the service level is reached; null: no purchase reaches it. */
  readonly cost: number | null;
}

/** Lists are compared on so many runs at most. */
const LISTED = 500;

/** Scenarios compared on machines needed, runs short and bags per day. */
export async function variantAnswers(
  variants: readonly { readonly name: string; readonly scenario: Scenario }[],
  run: Runner,
  options: StudyOptions,
): Promise<VariantAnswer[]> {
  const answers: VariantAnswer[] = [];
  for (const { name, scenario } of variants) {
    const { draws, seed } = options;
    const made = await study(scenario, run, { draws, seed });
    const { orders } = await orderLists(scenario, offersOf(scenario), run, {
      draws: Math.min(draws, LISTED),
      seed,
      ways: ['cheapest'],
    });
    const bags = made.days.map((day) => day.bags.reduce((sum, { mean }) => sum + mean, 0));
    answers.push({
      name,
      own: made.own,
      row: made.rows[made.own - 1] ?? null,
      smallest: made.smallest,
      bagsPerDay: bags.reduce((sum, value) => sum + value, 0) / Math.max(1, bags.length),
      draws,
      cost: orders[0]?.cost ?? null,
    });
    options.onProgress?.(answers.length / variants.length);
  }
  return answers;
}
