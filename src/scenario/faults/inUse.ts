import { isLocalTime } from '../../calendar/clock.ts';
import { planInUse } from '../inUse.ts';
import { error, type Fault, type FaultRule, type Ground, warning } from './fault.ts';

function* planInUseBroken({ scenario }: Ground): Iterable<Fault> {
  if (planInUse(scenario) === 'broken')
    yield warning(
      ['inUse'],
      'the plan in use cannot be read; a new plan is made, and what was done is not known',
      '`start` as the scenario has it, a local time `now`, and activities as in a plan: kind, machine or water, bath, start and end in minutes from that start',
    );
}

/** An empty list may be true (stock serves all) or cut out of a file: what was made is then not known to have been. */
function* planInUseEmpty({ scenario }: Ground): Iterable<Fault> {
  const kept = planInUse(scenario);
  if (kept !== 'broken' && kept?.activities.length === 0)
    yield warning(
      ['inUse', 'activities'],
      `the plan in use has no activities, so nothing counts as made before ${kept.now}`,
      'the activities of the plan that people work by, or no inUse',
    );
}

function* planInUseOutside({ scenario, clock, horizon }: Ground): Iterable<Fault> {
  const kept = planInUse(scenario);
  if (!clock || !kept || kept === 'broken') return;
  const now = clock.minuteOf(kept.now);
  if (now < 0 || now > horizon)
    yield warning(
      ['inUse', 'now'],
      `now is ${kept.now}, ${now < 0 ? "before the plan's start; it counts as the start" : "after the plan's end; all of the plan counts as over"}`,
      `${scenario.start} to ${clock.localOf(horizon)}`,
    );
}

/** A loss that applies to nothing would leave bags in the count that nobody may hang. */
function* lossUnclear({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { machine, water, at }] of (scenario.lost ?? []).entries()) {
    if (!isLocalTime(at))
      yield error(['lost', i, 'at'], `"${at}" is no local time`, 'when it began, like 2031-02-03T07:00');
    if ((machine == null) === (water == null))
      yield error(
        ['lost', i],
        `names ${machine == null ? 'neither a machine nor a water source' : 'both a machine and a water source'}`,
        'the machine whose work is lost, or the water whose test failed',
      );
    else if (machine != null && !scenario.machines.some(({ id }) => id === machine))
      yield warning(
        ['lost', i, 'machine'],
        `no machine "${machine}": nothing is lost by it`,
        'a listed machine',
      );
    else if (water != null && !scenario.water.some(({ id }) => id === water))
      yield warning(
        ['lost', i, 'water'],
        `no water source "${water}": no test fails by it`,
        'a listed source',
      );
  }
}

export const IN_USE_RULES: Readonly<Record<string, FaultRule>> = {
  planInUseBroken,
  planInUseEmpty,
  planInUseOutside,
  lossUnclear,
};
