import type { Scenario } from '../schema.ts';
import { BATH_RULES } from './baths.ts';
import { DUTY_RULES } from './duties.ts';
import { type Fault, type FaultRule, groundOf } from './fault.ts';
import { FIELD_RULES } from './fields.ts';
import { FORECAST_RULES } from './forecast.ts';
import { HANDS_RULES } from './hands.ts';
import { IN_USE_RULES } from './inUse.ts';
import { LOT_RULES } from './lots.ts';
import { MACHINE_RULES } from './machines.ts';
import { NAME_RULES } from './names.ts';
import { OFFER_RULES } from './offers.ts';
import { PATIENT_RULES } from './patients.ts';
import { PRIVACY_RULES } from './privacy.ts';
import { RULES_RULES } from './rules.ts';
import { SESSION_RULES } from './sessions.ts';
import { SHIFT_RULES } from './shifts.ts';
import { SUPPLY_RULES } from './supplies.ts';
import { TIME_RULES } from './times.ts';
import { UNASSIGNED_RULES } from './unassigned.ts';
import { WATER_RULES } from './water.ts';

export type { Fault } from './fault.ts';

/** Every rule of a valid scenario, by its name. */
export const FAULT_RULES: Readonly<Record<string, FaultRule>> = {
  ...TIME_RULES,
  ...NAME_RULES,
  ...BATH_RULES,
  ...PATIENT_RULES,
  ...PRIVACY_RULES,
  ...SESSION_RULES,
  ...MACHINE_RULES,
  ...WATER_RULES,
  ...SHIFT_RULES,
  ...DUTY_RULES,
  ...LOT_RULES,
  ...SUPPLY_RULES,
  ...OFFER_RULES,
  ...RULES_RULES,
  ...HANDS_RULES,
  ...FORECAST_RULES,
  ...IN_USE_RULES,
  ...FIELD_RULES,
  ...UNASSIGNED_RULES,
};

/** The id of the listed row that a path leads through, if the row has one. */
export function rowName(scenario: unknown, path: Fault['path']): string | undefined {
  if (typeof path[1] !== 'number') return undefined;
  const list = (scenario as Record<string, unknown> | null)?.[path[0] as string];
  const row = (Array.isArray(list) ? list[path[1]] : null) as Record<string, unknown> | null;
  const name = row?.id ?? row?.lot ?? row?.item;
  return typeof name === 'string' ? name : undefined;
}

/**
 * Everything that is wrong or unusual in a scenario of the right shape, all at once, in the order of its lists. Without
 * an error among them, `compile` and the plan have a meaning.
 * @param names what the rows' names are taken from, where not all of the scenario could be read (`halfRead.ts`)
 * @param silent names of rules that are left out
 */
export function faultsOf(
  scenario: Scenario,
  { names = scenario, silent = [] }: { names?: unknown; silent?: readonly string[] } = {},
): Fault[] {
  const ground = groundOf(scenario);
  return Object.entries(FAULT_RULES)
    .filter(([name]) => !silent.includes(name))
    .flatMap(([, rule]) => [...rule(ground)])
    .map((fault) => {
      const row = rowName(names, fault.path);
      return row === undefined ? fault : { ...fault, row };
    });
}
