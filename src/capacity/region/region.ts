import { makeClock } from '../../calendar/clock.ts';
import type { LotRow, Scenario } from '../../scenario/schema.ts';
import { machineRows } from '../answers/answers.ts';
import { jobsOf, type Runner } from '../answers/job.ts';
import { freeId } from '../answers/levers.ts';
import { offersOf } from '../answers/offers.ts';
import { orderLists } from '../answers/orders.ts';
import { joined } from '../answers/simulate.ts';
import type { Study } from '../answers/study.ts';
import { groundOf } from '../draws/draw.ts';
import { type Amount, bestMoves, type Move, type Route } from './flow.ts';

/** One site of a region with its answer. */
interface RegionSite {
  readonly name: string;
  readonly made: Study;
}
/** What one site lends to another. */
export interface Transfer {
  readonly from: string;
  readonly to: string;
  readonly kind: 'bags' | 'supply' | 'machine';
  /** Bath, supply, or the lender's machine. */
  readonly what: string;
  readonly quantity: number;
  /** Local times of the lender and the receiver. */
  readonly leaves: string;
  readonly arrives: string;
  /** Bags: local time of the receiver; null: never, or no bags. */
  readonly expires: string | null;
}
/** What the transfers do at a site: share of the same runs that are short, and mean bags short. */
export interface Saving {
  readonly site: string;
  readonly chanceBefore: number;
  readonly chanceAfter: number;
  readonly bagsShortBefore: number;
  readonly bagsShortAfter: number;
}
export interface RegionAnswer {
  readonly transfers: readonly Transfer[];
  readonly savings: readonly Saving[];
  readonly remarks: readonly string[];
}
interface RegionOptions {
  readonly draws: number;
  readonly seed: number;
}

/** A site as lending and borrowing change it. */
interface Place {
  readonly name: string;
  readonly made: Study;
  scenario: Scenario;
}
interface Spare extends Amount {
  /** The lot it is of. */
  readonly lot?: LotRow;
}

const days = ({ scenario, made }: Place): number => Math.max(scenario.days, made.days.length);
const clockOf = ({ timeZone, start }: Scenario) => makeClock(timeZone, start);
const later = (scenario: Scenario, hours: number): string =>
  clockOf(scenario).localOf(Math.round(hours * 60));

async function rowOf(scenario: Scenario, run: Runner, { draws, seed }: RegionOptions) {
  const own = scenario.machines.length;
  const all = joined(await run(jobsOf(scenario, { seed, draws, least: own, most: own, piece: 50 })));
  return machineRows(all, own, own)[0]!;
}
const allowed = (scenario: Scenario): number => 1 - groundOf(scenario).spec.confidence + 1e-12;

/** Machines beyond those that are enough, and supplies beyond what is needed; what falls short of either is lacking. */
function equipment(places: readonly Place[]): { spares: Spare[]; lacks: Amount[] } {
  const spares: Spare[] = [];
  const lacks: Amount[] = [];
  places.forEach((place, site) => {
    const { made, scenario } = place;
    const { own, supplied } = made;
    const smallest = supplied ? supplied.smallest : made.smallest;
    // A site that is short for whatever reason lends nothing that it may need for it.
    const lends = made.smallest !== null && made.smallest <= own;
    if (lends && own - made.smallest > 0)
      spares.push({ site, thing: 'machine', quantity: own - made.smallest, day: 0 });
    if (smallest !== null && smallest > own)
      lacks.push({ site, thing: 'machine', quantity: smallest - own, day: days(place) - 1 });
    for (const { item, onHand, wanted, p5 } of made.supplies) {
      const listed = (scenario.supplies ?? []).some((row) => row.item === item);
      if (!listed) continue;
      if (lends && onHand - wanted >= 1)
        spares.push({ site, thing: `supply ${item}`, quantity: Math.floor(onHand - wanted), day: 0 });
      if (wanted > onHand)
        lacks.push({
          site,
          thing: `supply ${item}`,
          quantity: Math.ceil(wanted - onHand),
          day: p5 === null ? days(place) - 1 : Math.floor(p5 / 1440),
        });
    }
  });
  return { spares, lacks };
}

const withLot = (scenario: Scenario, lot: LotRow, bags: number): Scenario => ({
  ...scenario,
  stock: (scenario.stock ?? []).map((row) => (row.lot === lot.lot ? { ...row, bags: row.bags - bags } : row)),
});

/** Bags of each lot in stock that a site can do without, one lot after the other; its own reserve stays. */
async function spareBags(place: Place, site: number, run: Runner, options: RegionOptions): Promise<Spare[]> {
  let { scenario } = place;
  const most = allowed(scenario);
  if ((await rowOf(scenario, run, options)).shortageChance > most) return [];
  const spares: Spare[] = [];
  for (const lot of place.scenario.stock ?? []) {
    const stocked = (scenario.stock ?? [])
      .filter(({ bath }) => bath === lot.bath)
      .reduce((sum, { bags }) => sum + bags, 0);
    let low = 0;
    let high = Math.max(0, Math.min(lot.bags, stocked - (scenario.rules?.reserve?.[lot.bath] ?? 0)));
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      const { shortageChance } = await rowOf(withLot(scenario, lot, middle), run, options);
      if (shortageChance <= most) low = middle;
      else high = middle - 1;
    }
    if (low === 0) continue;
    scenario = withLot(scenario, lot, low);
    const clock = clockOf(scenario);
    spares.push({
      site,
      thing: `bags ${lot.bath}`,
      quantity: low,
      day: Math.max(0, Math.ceil((lot.ready ? clock.minuteOf(lot.ready) : 0) / 1440)),
      ...(lot.expires && { expires: clock.minuteOf(lot.expires) / 60 }),
      lot,
    });
  }
  return spares;
}

/** Bags of each bath that a site would buy if nothing else could be had, there after so many hours. */
async function lackingBags(
  place: Place,
  site: number,
  run: Runner,
  { hours, ...options }: RegionOptions & { readonly hours: number },
): Promise<Amount[]> {
  const { scenario } = place;
  const row = await rowOf(scenario, run, options);
  if (row.shortageChance <= allowed(scenario)) return [];
  const last = days(place) - 1;
  const lack = (bath: string, quantity: number): Amount => ({
    site,
    thing: `bags ${bath}`,
    quantity,
    day: last,
  });
  const offers = offersOf({ ...scenario, offers: null })
    .filter(({ kind }) => kind === 'bags')
    .map((offer) => ({ ...offer, leadDays: hours / 24 }));
  const { orders } = await orderLists(scenario, offers, run, { ...options, ways: ['cheapest'] });
  if (orders[0])
    return orders[0].items.flatMap((item) => (item.kind === 'bags' ? [lack(item.bath, item.quantity)] : []));
  // Bags alone do not reach the level: any that can be had leave fewer unmet.
  return scenario.baths.map(({ id }) => lack(id, Math.ceil(row.p95BagsShort)));
}

/** The transfer that a move is, and what it leaves at both sites. */
function carryOut(
  move: Move,
  places: readonly Place[],
  { spares, routes }: { spares: readonly Spare[]; routes: readonly Route[] },
): Transfer {
  const spare = spares[move.spare]!;
  const { from, to, hours } = routes[move.route]!;
  const [lender, receiver] = [places[from]!, places[to]!];
  const leaving = move.day * 24;
  const arrives = later(receiver.scenario, leaving + hours);
  const { quantity } = move;
  const [kind, ...rest] = spare.thing.split(' ') as [Transfer['kind'], ...string[]];
  let what = rest.join(' ');
  let expires: string | null = null;
  if (kind === 'machine') {
    const lent = lender.scenario.machines.slice(-quantity);
    what = lent.map(({ id }) => id).join(', ');
    lender.scenario = { ...lender.scenario, machines: lender.scenario.machines.slice(0, -quantity) };
    receiver.scenario = withLentMachines(receiver.scenario, lent, arrives);
  } else if (kind === 'supply') {
    lender.scenario = withSupply(lender.scenario, what, (row) => ({ ...row, onHand: row.onHand - quantity }));
    receiver.scenario = withSupply(receiver.scenario, what, (row) => ({
      ...row,
      deliveries: [...(row.deliveries ?? []), { at: arrives, quantity }],
    }));
  } else {
    const lot = spare.lot!;
    lender.scenario = withLot(lender.scenario, lot, quantity);
    // The same moment on the receiver's clock, should it be in another zone.
    expires = spare.expires === undefined ? null : later(receiver.scenario, spare.expires);
    const deliveries = receiver.scenario.deliveries ?? [];
    const taken = [...deliveries, ...(receiver.scenario.stock ?? [])].map((row) => row.lot);
    receiver.scenario = {
      ...receiver.scenario,
      deliveries: [
        ...deliveries,
        {
          lot: freeId(lot.lot, taken),
          bath: lot.bath,
          bags: quantity,
          litres: lot.litres,
          ready: arrives,
          expires,
        },
      ],
    };
  }
  return {
    from: lender.name,
    to: receiver.name,
    kind,
    what,
    quantity,
    leaves: later(lender.scenario, leaving),
    arrives,
    expires,
  };
}

/** Lent machines run at the receiver's source that most machines use, any bath, from their arrival on. */
function withLentMachines(scenario: Scenario, lent: Scenario['machines'], arrives: string): Scenario {
  const counts = new Map<string, number>();
  for (const { water } of scenario.machines) counts.set(water, (counts.get(water) ?? 0) + 1);
  const source = [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? scenario.water[0]!.id;
  const end = later(scenario, 24 * Math.max(scenario.days, scenario.forecast?.days ?? 30));
  const machines = [...scenario.machines];
  for (const row of lent)
    machines.push({
      ...row,
      id: freeId(
        row.id,
        machines.map(({ id }) => id),
      ),
      water: source,
      baths: null,
      loaded: null,
      available: [{ from: arrives, to: end }],
    });
  return { ...scenario, machines };
}

function withSupply(
  scenario: Scenario,
  item: string,
  change: (row: NonNullable<Scenario['supplies']>[number]) => NonNullable<Scenario['supplies']>[number],
): Scenario {
  return {
    ...scenario,
    supplies: (scenario.supplies ?? []).map((row) => (row.item === item ? change(row) : row)),
  };
}

/** Transfers of one thing on one day between two sites, in order of day and sites. */
const inOrder = (transfers: readonly Transfer[]): Transfer[] =>
  [...transfers].sort((a, b) =>
    `${a.leaves} ${a.from} ${a.to} ${a.what}` < `${b.leaves} ${b.from} ${b.to} ${b.what}` ? -1 : 1,
  );

/** One round of lending, with sites that may not lend. */
async function lending(
  places: readonly Place[],
  routes: readonly Route[],
  { run, options, barred }: { run: Runner; options: RegionOptions; barred: ReadonlySet<number> },
): Promise<Transfer[]> {
  const may = (spares: readonly Spare[]) => spares.filter(({ site }) => !barred.has(site));
  const transfers: Transfer[] = [];
  const send = async (given: readonly Spare[], lacks: readonly Amount[]) => {
    const spares = may(given);
    for (const move of await bestMoves(spares, lacks, routes))
      transfers.push(carryOut(move, places, { spares, routes }));
  };
  const { spares, lacks } = equipment(places);
  await send(spares, lacks);
  // Bags last: what machines and supplies mend needs none.
  const bags: Spare[] = [];
  const asked: Amount[] = [];
  for (const [site, place] of places.entries()) {
    bags.push(...(await spareBags(place, site, run, options)));
    const ways = routes.filter(({ to }) => to === site).map(({ hours }) => hours);
    if (ways.length > 0)
      asked.push(...(await lackingBags(place, site, run, { ...options, hours: Math.min(...ways) })));
  }
  await send(bags, asked);
  return inOrder(transfers);
}

/**
 * What several sites may lend each other, machines and supplies first, then bags with their remaining shelf life; each
 * site is simulated again on the same runs, and one that would no longer keep its own level lends nothing.
 */
export async function regionAnswer(
  sites: readonly RegionSite[],
  routes: readonly Route[],
  run: Runner,
  options: RegionOptions,
): Promise<RegionAnswer> {
  const before = await Promise.all(sites.map(({ made }) => rowOf(made.scenario, run, options)));
  const barred = new Set<number>();
  for (;;) {
    const places: Place[] = sites.map(({ name, made }) => ({ name, made, scenario: made.scenario }));
    const transfers = await lending(places, routes, { run, options, barred });
    const after = await Promise.all(places.map(({ scenario }) => rowOf(scenario, run, options)));
    const harmed = places.findIndex(
      ({ name, scenario }, n) =>
        !barred.has(n) &&
        transfers.some(({ from }) => from === name) &&
        after[n]!.shortageChance > Math.max(allowed(scenario), before[n]!.shortageChance),
    );
    if (harmed >= 0) {
      barred.add(harmed);
      continue;
    }
    return {
      transfers,
      savings: sites.map(({ name }, n) => ({
        site: name,
        chanceBefore: before[n]!.shortageChance,
        chanceAfter: after[n]!.shortageChance,
        bagsShortBefore: before[n]!.bagsShort,
        bagsShortAfter: after[n]!.bagsShort,
      })),
      remarks: [...barred].map(
        (n) => `${sites[n]!.name} lends nothing: it would no longer keep its own service level.`,
      ),
    };
  }
}
