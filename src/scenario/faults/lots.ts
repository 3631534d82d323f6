import { limitsOf } from '../fields.ts';
import type { LotRow } from '../schema.ts';
import { error, type Fault, type FaultRule, type Ground, outside, placesOf, warning } from './fault.ts';

/** Stock, then deliveries, with their paths. */
function* lots({ scenario }: Ground): Generator<{ path: Fault['path']; row: LotRow }> {
  for (const list of ['stock', 'deliveries'] as const)
    for (const [i, row] of (scenario[list] ?? []).entries()) yield { path: [list, i], row };
}

function* duplicateLot(ground: Ground): Iterable<Fault> {
  const first = new Map<string, Fault['path']>();
  for (const { path, row } of lots(ground)) {
    const earlier = first.get(row.lot);
    if (!earlier) first.set(row.lot, path);
    else
      yield error(
        [...path, 'lot'],
        `"${row.lot}" is the lot of row ${Number(earlier[1]) + 1} of ${earlier[0] === 'stock' ? 'Stock' : 'Deliveries'} too`,
        'a name that no other lot of stock or deliveries has',
      );
  }
}

function* bagsOutOfRange(ground: Ground): Iterable<Fault> {
  for (const { path, row } of lots(ground))
    yield* outside([...path, 'bags'], row.bags, limitsOf('stock[].bags'));
}

function* litresOutOfRange(ground: Ground): Iterable<Fault> {
  for (const { path, row } of lots(ground)) {
    yield* outside([...path, 'litres'], row.litres, limitsOf('stock[].litres'));
    if (placesOf(row.litres) > 6)
      yield error(
        [...path, 'litres'],
        `Volume of a bag is ${row.litres} L`,
        'at most 6 decimals (a thousandth of a mL)',
      );
  }
}

/** Used up its life before it could serve anything. */
function* expiredLot(ground: Ground): Iterable<Fault> {
  for (const { path, row } of lots(ground)) {
    const expires = ground.minute(row.expires);
    const ready = Math.max(0, ground.minute(row.ready) ?? 0);
    if (expires !== null && expires <= ready)
      yield warning(
        [...path, 'expires'],
        `the lot expires ${row.expires}, ${expires <= 0 ? 'by the start of the plan' : `by the time it is ready (${row.ready})`}`,
        'a later time; it serves nothing now',
      );
  }
}

/** No bag may hang after it expires, so a lot that expires inside what a round covers serves none of that round. */
function* lotExpiresWithinRound(ground: Ground): Iterable<Fault> {
  const { rounds, clock, horizon, minute } = ground;
  if (!rounds || !clock) return;
  for (const { path, row } of lots(ground)) {
    const expires = minute(row.expires);
    if (expires === null || expires <= Math.max(0, minute(row.ready) ?? 0) || expires >= horizon) continue;
    const round = rounds.find(({ from, to }) => from < expires && expires < to);
    if (round)
      yield warning(
        [...path, 'expires'],
        `the lot expires ${row.expires}, before what the round of ${clock.localOf(round.at)} covers has ended`,
        `${clock.localOf(round.to)} or later to serve that round; it serves none of it`,
      );
  }
}

function* lotAfterLastRound(ground: Ground): Iterable<Fault> {
  const last = ground.rounds?.at(-1)?.at;
  for (const { path, row } of lots(ground)) {
    const ready = ground.minute(row.ready);
    if (last !== undefined && ready !== null && ready > last)
      yield warning(
        [...path, 'ready'],
        `the lot is ready ${row.ready}, after the last round`,
        'by the last round; it serves none, only the reserve if ready by then',
      );
  }
}

function* deliveryWithoutTime({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of (scenario.deliveries ?? []).entries())
    if (row.ready == null)
      yield warning(
        ['deliveries', i],
        `delivery ${row.lot} has no ready time`,
        'ready: when it can be used; it counts as there at the start',
      );
}

/** Need and supply are counted in liters over all beds; at one bed a whole bag hangs, whatever it holds. */
function* bagsOfOtherVolume(ground: Ground): Iterable<Fault> {
  const fill = ground.rule('fillLitres');
  for (const { path, row } of lots(ground))
    if (row.litres > 0 && row.bags > 0 && fill > 0 && row.litres !== fill)
      yield warning(
        [...path, 'litres'],
        `the bags of lot ${row.lot} hold ${row.litres} L, a fill holds ${fill} L. The plan counts liters, but a bed hangs whole bags: some beds may get less than they need`,
        `${fill} L; else read on the pick list which bed gets less, and carry one more bag there`,
      );
}

export const LOT_RULES: Record<string, FaultRule> = {
  duplicateLot,
  bagsOutOfRange,
  litresOutOfRange,
  expiredLot,
  lotExpiresWithinRound,
  lotAfterLastRound,
  deliveryWithoutTime,
  bagsOfOtherVolume,
};
