import { planInUse } from '../inUse.ts';
import { type Fault, type FaultRule, type Ground, warning } from './fault.ts';

function* planInUseBroken({ scenario }: Ground): Iterable<Fault> {
  if (planInUse(scenario) === 'broken')
    yield warning(
      ['inUse'],
      'the plan in use cannot be read; a new plan is made, and what was done is not known',
      '`start` as the scenario has it, a local time `now`, and activities as in a plan: kind, machine or water, bath, start and end in minutes from that start',
    );
}

export const IN_USE_RULES: Readonly<Record<string, FaultRule>> = { planInUseBroken };
