import * as Comlink from 'comlink';
import type { Plan } from '../../plan/plan.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { PlanService } from '../worker/plan.worker.ts';
import { openThread } from './thread.ts';

const planWorker = () => new Worker(new URL('../worker/plan.worker.ts', import.meta.url), { type: 'module' });

/**
 * Plans of several scenarios, each searched from the beginning by one thread for as long as the others, so that they may
 * be ranked.
 * @param onDone how many are made, 0..1 of the next one included
 * @throws Error when one could not be made
 */
export async function searchAlike(
  scenarios: readonly Scenario[],
  onDone: (share: number) => void,
): Promise<ReadonlyMap<Scenario, Plan>> {
  const plans = new Map<Scenario, Plan>();
  for (const [index, scenario] of scenarios.entries()) {
    const { worker, service, end } = openThread<PlanService>(planWorker);
    try {
      const failed = new Promise<never>((_, reject) => {
        worker.onerror = (event) => reject(new Error(event.message || 'the planner could not start'));
      });
      const told = Comlink.proxy(({ done }: { done: number }) => onDone((index + done) / scenarios.length));
      plans.set(scenario, await Promise.race([service.plan({ scenario, anew: true }, told), failed]));
    } finally {
      end();
    }
    onDone((index + 1) / scenarios.length);
  }
  return plans;
}
