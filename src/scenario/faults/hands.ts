import { limitsOf } from '../fields.ts';
import { DEFAULT_HANDS } from '../problem/rules.ts';
import { error, type Fault, type FaultRule, type Ground, outside } from './fault.ts';
import { windowOf } from './machines.ts';

function* walkOutOfRange({ scenario }: Ground): Iterable<Fault> {
  yield* outside(['rules', 'walkMinutes'], scenario.rules?.walkMinutes, limitsOf('rules.walkMinutes'));
}

/** Nobody can stay at a fill for longer than the shortest one lasts. */
function* fillStartOutOfRange(ground: Ground): Iterable<Fault> {
  const minutes = ground.scenario.rules?.fillStartMinutes;
  const path = ['rules', 'fillStartMinutes'];
  const faults = [...outside(path, minutes, limitsOf('rules.fillStartMinutes'))];
  yield* faults;
  if (minutes == null || faults.length > 0) return;
  const windows = ground.scenario.machines.flatMap((row) => {
    const window = windowOf(ground, row);
    return window ? { id: row.id, shortest: window.shortest } : [];
  });
  const [least] = windows.sort((a, b) => a.shortest - b.shortest);
  if (least && minutes > least.shortest)
    yield error(
      path,
      `At the start of a fill: ${minutes} min, longer than a fill of ${least.id} (${least.shortest} min)`,
      `at most ${least.shortest} min`,
    );
}

function* handsOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const kinds = Object.keys(DEFAULT_HANDS);
  for (const [kind, technicians] of Object.entries(scenario.rules?.hands ?? {}))
    if (!kinds.includes(kind))
      yield error(
        ['rules', 'hands', kind],
        `"${kind}" is no kind of work that takes hands`,
        `one of ${kinds.join(', ')}`,
      );
    else yield* outside(['rules', 'hands', kind], technicians, limitsOf('rules.hands{}'));
}

/** A fill gives no more bags to tests than it makes. */
function* sampleBagsOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const bags = scenario.rules?.sampleBags;
  const path = ['rules', 'sampleBags'];
  const faults = [...outside(path, bags, limitsOf('rules.sampleBags'))];
  yield* faults;
  if (bags == null || faults.length > 0) return;
  const small = scenario.machines.find(({ positions }) => positions >= 1 && bags > positions);
  if (small)
    yield error(
      path,
      `Sample bags: ${bags}, more than ${small.id} fills at a time (${small.positions})`,
      `at most ${small.positions} bags`,
    );
}

export const HANDS_RULES: Record<string, FaultRule> = {
  walkOutOfRange,
  fillStartOutOfRange,
  handsOutOfRange,
  sampleBagsOutOfRange,
};
