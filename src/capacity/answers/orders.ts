import type { Scenario } from '../../scenario/schema.ts';
import { CAUSES } from '../model/causes.ts';
import { chanceError } from './bands.ts';
import type { Runner } from './job.ts';
import { type Offer, type OrderItem, type OrderKind, timeAfter } from './offers.ts';
import {
  Asker,
  ample,
  costOf,
  cutDown,
  exchanged,
  grown,
  type OrderOptions,
  type Packs,
  withPacks,
} from './orderSearch.ts';

const WAYS = ['cheapest', 'soonest', 'fewest people'] as const;
type Way = (typeof WAYS)[number];

/** One line of an order, with what it does. */
export type OrderLine = OrderItem & {
  /** What the site calls the offer; null where it typed none. */
  readonly offer: string | null;
  /** Local time at which it has to be ordered to be there by then, by the typed lead time. */
  readonly orderBy: string;
  /** Sum of its packs' prices or weights. */
  readonly cost: number;
  /** Chance of shortage were this line alone bought, and were all lines but this one. */
  readonly chanceAlone: number;
  readonly chanceWithout: number;
};
export interface Order {
  readonly way: Way;
  readonly cost: number;
  /** Share of all runs that are short with it, and half of its 95 % interval. */
  readonly shortageChance: number;
  readonly error: number;
  /** The same were all of it ordered at the start. */
  readonly chanceAtOnce: number;
  readonly items: readonly OrderLine[];
}
export interface OrderAnswer {
  readonly orders: readonly Order[];
  /** Why a way is absent, and what no purchase mends. */
  readonly remarks: readonly string[];
}

/** Runs on which a list is looked for, and on which it is cut down to its last pack. */
const SEARCH = 200;
const CUT = 1000;
/** Prices as a way sees them: where people are to be few, each of them outweighs everything else. */
const seenBy = (way: Way, offers: readonly Offer[]): Offer[] => {
  if (way !== 'fewest people') return [...offers];
  const all = offers.reduce((sum, { price }) => sum + price, 0);
  return offers.map((offer) =>
    offer.kind === 'technicians' ? { ...offer, price: offer.price + 1000 * all } : offer,
  );
};

interface Searching {
  readonly scenario: Scenario;
  readonly run: Runner;
  readonly options: OrderOptions;
}

/** Packs of a way; null: it cannot reach the level. */
async function packsFor(
  { scenario, run, options }: Searching,
  offers: readonly Offer[],
  asker: Asker,
): Promise<number[] | null> {
  const search = Math.min(options.draws, SEARCH);
  const cut = Math.min(options.draws, CUT);
  const from = await ample(scenario, offers, run, { ...options, draws: cut });
  let packs = await grown(scenario, offers, asker, { from, draws: search });
  if (packs === null) return null;
  packs = await cutDown(offers, asker, { from: packs, draws: search });
  packs = await exchanged(scenario, offers, asker, { from: packs, draws: search });
  // More runs may ask for more; what they leave over is cut again.
  for (const draws of new Set([cut, options.draws])) {
    const goods = packs.map((count, n) => Math.max(count, from[n]!));
    packs = await grown(scenario, offers, asker, { from: draws === cut ? goods : packs, draws });
    if (packs === null) return null;
    if (draws === cut) packs = await cutDown(offers, asker, { from: packs, draws });
  }
  return packs;
}

/** Whole days by which a line may come later at most. */
const daysLater = ({ days, forecast }: Scenario, { leadDays }: Offer): number =>
  Math.max(0, Math.floor(Math.max(days, forecast?.days ?? 30) - 1 - leadDays));

/**
 * The offers with each bought line as late as the level allows, in whole days, the dearest line first; the others as
 * late as those before it were made.
 */
async function postponed(
  packs: Packs,
  { searching, offers, draws }: { searching: Searching; offers: readonly Offer[]; draws: number },
): Promise<Offer[]> {
  const { scenario, run, options } = searching;
  const late = [...offers];
  const lines = offers
    .map((_, n) => n)
    .filter((n) => packs[n]! > 0)
    .sort((a, b) => packs[b]! * offers[b]!.price - packs[a]! * offers[a]!.price || a - b);
  const isEnough = (n: number, days: number) => {
    const then = late.map((offer, m) =>
      m === n ? { ...offer, leadDays: offers[n]!.leadDays + days } : offer,
    );
    return new Asker(scenario, then, { run, seed: options.seed }).isEnough(packs, draws);
  };
  for (const n of lines) {
    let [low, high] = [0, daysLater(scenario, offers[n]!)];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (await isEnough(n, middle)) low = middle;
      else high = middle - 1;
    }
    late[n] = { ...offers[n]!, leadDays: offers[n]!.leadDays + low };
  }
  return late;
}

/** What is bought, when it is ordered, and what it does alone and without. */
async function orderOf(
  way: Way,
  packs: Packs,
  { searching, offers }: { searching: Searching; offers: readonly Offer[] },
): Promise<Order> {
  const { scenario, run, options } = searching;
  const runs = Math.min(options.draws, CUT);
  const early = new Asker(scenario, offers, { run, seed: options.seed });
  let late: readonly Offer[] =
    way === 'soonest' ? offers : await postponed(packs, { searching, offers, draws: runs });
  let asker = new Asker(scenario, late, { run, seed: options.seed });
  // What the first runs let come late all runs may not.
  if (!(await asker.isEnough(packs, options.draws))) {
    late = offers;
    asker = early;
  }
  const { shortageChance } = await asker.ask(packs, options.draws);
  const items: OrderLine[] = [];
  for (let n = 0; n < offers.length; n++) {
    if (packs[n] === 0) continue;
    const only = packs.map((count, other) => (other === n ? count : 0));
    const [item] = asker.itemsOf(only);
    items.push({
      ...item!,
      offer: offers[n]!.name ?? null,
      orderBy: timeAfter(scenario, late[n]!.leadDays - offers[n]!.leadDays),
      cost: packs[n]! * offers[n]!.price,
      chanceAlone: (await asker.ask(only, runs)).shortageChance,
      chanceWithout: (await asker.ask(withPacks(packs, n, 0), runs)).shortageChance,
    });
  }
  return {
    way,
    cost: costOf(offers, packs),
    shortageChance,
    error: chanceError(shortageChance, options.draws),
    chanceAtOnce: (await early.ask(packs, options.draws)).shortageChance,
    items,
  };
}

/** Offers that are there so many days after the start, for the fewest days with which the level can be reached. */
async function soonestOffers(searching: Searching, offers: readonly Offer[]): Promise<Offer[] | null> {
  for (const days of [...new Set(offers.map(({ leadDays }) => leadDays))].sort((a, b) => a - b)) {
    const there = offers.map((offer) => (offer.leadDays <= days ? offer : { ...offer, most: 0 }));
    const asker = new Asker(searching.scenario, there, { run: searching.run, seed: searching.options.seed });
    if (await packsFor(searching, there, asker)) return there;
  }
  return null;
}

/**
 * What to get so that the service level is reached: up to three lists, each one that no line can be lowered by one pack
 * without missing the level (on the first 1,000 runs), each simulated on all runs, each line there as late as the level
 * allows, but in the soonest list. Ways that come to the same list
 * stand once, under the first name.
 */
export async function orderLists(
  scenario: Scenario,
  offers: readonly Offer[],
  run: Runner,
  options: OrderOptions & { readonly ways?: readonly Way[] },
): Promise<OrderAnswer> {
  if (scenario.machines.length === 0)
    return { orders: [], remarks: ['No machine is listed that a further one could be like.'] };
  const searching: Searching = { scenario, run, options };
  const orders: Order[] = [];
  const remarks: string[] = [];
  const lists = new Set<string>();
  const ways = options.ways ?? WAYS;
  for (const [index, way] of ways.entries()) {
    options.onProgress?.(index / ways.length);
    const isTimed = new Set(offers.map(({ leadDays }) => leadDays)).size > 1;
    if (way === 'soonest' && !isTimed) continue;
    const given = way === 'soonest' ? await soonestOffers(searching, offers) : offers;
    const seen = given && seenBy(way, given);
    const asker = seen && new Asker(scenario, seen, { run, seed: options.seed });
    const packs = asker && (await packsFor(searching, seen, asker));
    if (!packs || !asker) {
      remarks.push(...(await beyondHelp(searching, offers)));
      break;
    }
    const key = packs.join();
    if (lists.has(key)) continue;
    lists.add(key);
    orders.push(await orderOf(way, packs, { searching, offers }));
  }
  options.onProgress?.(1);
  return { orders, remarks };
}

/** What is still short when everything is bought that could help. */
async function beyondHelp(
  { scenario, run, options }: Searching,
  offers: readonly Offer[],
): Promise<string[]> {
  const draws = Math.min(options.draws, SEARCH);
  const asker = new Asker(scenario, offers, { run, seed: options.seed });
  const from = await ample(scenario, offers, run, { ...options, draws });
  const plenty: Partial<Record<OrderKind, number>> = { machine: 10, technicians: 10, water: 100 };
  const most = offers.map(({ kind, most: limit }, n) => Math.min(limit, plenty[kind] ?? from[n]!));
  const row = await asker.ask(most, draws);
  const first = CAUSES.find((cause) => row.causes[cause] === Math.max(...Object.values(row.causes)));
  return [`No purchase reaches the service level: ${first ?? 'something'} still runs short.`];
}
