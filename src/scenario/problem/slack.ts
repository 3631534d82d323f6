import type { Scenario } from '../schema.ts';
import type { Slack } from './types.ts';

/** A plan that is made by the rules alone. */
export const NO_SLACK: Slack = {
  roundMinutes: 0,
  swapMinutes: 0,
  testMinutes: 0,
  circuitMinutes: 0,
  restMinutes: 0,
  bags: 0,
};

/** What a scenario's plan is made with beyond the rules (M35); null: nothing. */
export function slackOf({ slack }: Pick<Scenario, 'slack'>): Slack | null {
  const names = Object.keys(NO_SLACK) as (keyof Slack)[];
  if (!slack || names.every((name) => !slack[name])) return null;
  return Object.fromEntries(names.map((name) => [name, slack[name] ?? 0])) as unknown as Slack;
}
