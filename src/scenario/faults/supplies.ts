import { limitsOf } from '../fields.ts';
import { MINUTES_A_DAY } from '../problem/types.ts';
import { error, type Fault, type FaultRule, type Ground, outside, placesOf, warning } from './fault.ts';

const AMOUNTS = ['onHand', 'perCircuit', 'perFill', 'perLitre'] as const;

function* supplyOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of (scenario.supplies ?? []).entries()) {
    for (const field of AMOUNTS)
      yield* outside(['supplies', i, field], row[field], limitsOf(`supplies[].${field}`));
    for (const [j, delivery] of (row.deliveries ?? []).entries())
      yield* outside(
        ['supplies', i, 'deliveries', j, 'quantity'],
        delivery.quantity,
        limitsOf('supplies[].deliveries[].quantity'),
      );
  }
}

/**
 * Supplies are counted in whole parts of 1/10^places, per litre in parts of a minute's flow. Beyond 2^53 parts the count
 * would no longer be exact.
 */
function* supplyTooFine({ scenario }: Ground): Iterable<Fault> {
  const flowPlaces = Math.max(0, ...scenario.machines.map((machine) => placesOf(machine.flow)));
  for (const [i, row] of (scenario.supplies ?? []).entries()) {
    const quantities = (row.deliveries ?? []).map((delivery) => delivery.quantity);
    const exponent = Math.max(
      ...[row.onHand, row.perCircuit ?? 0, row.perFill ?? 0, ...quantities].map(placesOf),
      row.perLitre ? placesOf(row.perLitre) + flowPlaces + 3 : 0,
    );
    const most = row.onHand + quantities.reduce((a, b) => a + b, 0);
    // The litres of one day's flow on the fastest machine, far above any single activity.
    const perUse = 1440 * 10 * (row.perLitre ?? 0) + (row.perCircuit ?? 0) + (row.perFill ?? 0);
    if (exponent > 12 || (most + perUse) * 10 ** exponent > Number.MAX_SAFE_INTEGER)
      yield error(
        ['supplies', i],
        `the amounts of "${row.item}" have too many digits to be counted exactly`,
        'fewer decimals or smaller amounts, e.g. 0.02222 a litre of 90 litres',
      );
  }
}

function* duplicateSupply({ scenario }: Ground): Iterable<Fault> {
  const seen = new Set<string>();
  for (const [i, row] of (scenario.supplies ?? []).entries()) {
    if (seen.has(row.item))
      yield warning(
        ['supplies', i, 'item'],
        `"${row.item}" stands in an earlier row too`,
        'one row an item; two rows limit the plan each on its own',
      );
    seen.add(row.item);
  }
}

function* supplyNeverUsed({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of (scenario.supplies ?? []).entries())
    if (!row.perCircuit && !row.perFill && !row.perLitre)
      yield warning(['supplies', i], `nothing uses "${row.item}"`, 'perCircuit, perFill or perLitre above 0');
}

function* supplyDeliveryOutsidePlan({ scenario, minute, horizon }: Ground): Iterable<Fault> {
  for (const [i, row] of (scenario.supplies ?? []).entries())
    for (const [j, delivery] of (row.deliveries ?? []).entries()) {
      const at = minute(delivery.at);
      const path = ['supplies', i, 'deliveries', j, 'at'];
      if (at !== null && at < 0)
        yield warning(
          path,
          `delivered ${delivery.at}, before the plan's start`,
          'a time within the plan; it counts on top of On hand',
        );
      // A forecast may look further than the plan.
      if (at !== null && at >= Math.max(horizon, (scenario.forecast?.days ?? 0) * MINUTES_A_DAY))
        yield warning(
          path,
          `delivered ${delivery.at}, at or after the plan's end`,
          'a time within the plan; it helps nothing',
        );
    }
}

export const SUPPLY_RULES: Record<string, FaultRule> = {
  supplyOutOfRange,
  supplyTooFine,
  duplicateSupply,
  supplyNeverUsed,
  supplyDeliveryOutsidePlan,
};
