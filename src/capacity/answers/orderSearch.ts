import type { Scenario } from '../../scenario/schema.ts';
import { drawInto, emptyDraw, groundOf } from '../draws/draw.ts';
import type { Cause } from '../model/causes.ts';
import { Lots } from '../model/lots.ts';
import { lacksFirst, type MachineRow, machineRows } from './answers.ts';
import { jobsOf, type Runner } from './job.ts';
import { itemOf, type Offer, type OrderItem, withItems } from './offers.ts';
import { column, joined } from './simulate.ts';

export interface OrderOptions {
  readonly draws: number;
  readonly seed: number;
  readonly onProgress?: (done: number) => void;
}

/** Steps of growth before it is said that no purchase helps. */
const MOST_STEPS = 60;

/** Packs of each offer, in the offers' order. */
export type Packs = readonly number[];

/** What the runs of one order said so far: bags short and what lacked first, run by run. */
interface Said {
  readonly short: Float64Array;
  readonly cause: Int8Array;
}

/** Runs after which a hopeless order is given up. */
const GLANCE = 100;
const PIECE = 50;

/** Asks the model about orders: of each order no run twice. */
export class Asker {
  readonly #scenario: Scenario;
  readonly #offers: readonly Offer[];
  readonly #run: Runner;
  readonly #seed: number;
  readonly #known = new Map<string, Promise<Said>>();
  /** Largest share of runs that may be short. */
  readonly allowed: number;

  constructor(scenario: Scenario, offers: readonly Offer[], { run, seed }: { run: Runner; seed: number }) {
    this.#scenario = scenario;
    this.#offers = offers;
    this.#run = run;
    this.#seed = seed;
    this.allowed = 1 - groundOf(scenario).spec.confidence + 1e-12;
  }

  itemsOf(packs: Packs): OrderItem[] {
    return this.#offers.flatMap((offer, n) =>
      packs[n]! > 0 ? [itemOf(this.#scenario, offer, packs[n]!)] : [],
    );
  }

  /** What the first so many runs say of an order. */
  async ask(packs: Packs, draws: number): Promise<MachineRow> {
    const { short, cause } = await this.#said(packs, draws);
    const all = { short: short.subarray(0, draws), cause: cause.subarray(0, draws), count: draws };
    return machineRows(all, 1)[0]!;
  }

  /** At least so many runs of an order; those that it has are not run again. */
  #said(packs: Packs, draws: number): Promise<Said> {
    const key = packs.join();
    const before = this.#known.get(key);
    const made = (async () => {
      const had = await before;
      return had && had.short.length >= draws ? had : this.#more(packs, had, draws);
    })();
    this.#known.set(key, made);
    return made;
  }

  async #more(packs: Packs, had: Said | undefined, draws: number): Promise<Said> {
    const scenario = withItems(this.#scenario, this.itemsOf(packs));
    const own = scenario.machines.length;
    const from = had?.short.length ?? 0;
    const jobs = jobsOf(scenario, {
      seed: this.#seed,
      from,
      draws: draws - from,
      least: own,
      most: own,
      piece: PIECE,
    });
    const all = joined(await this.#run(jobs));
    const said: Said = { short: new Float64Array(draws), cause: new Int8Array(draws) };
    if (had) {
      said.short.set(had.short);
      said.cause.set(had.cause);
    }
    said.short.set(column(all.short, own, own - 1, all.count), from);
    said.cause.set(column(all.cause, own, own - 1, all.count), from);
    return said;
  }

  /** Whether an order reaches the level; one that a few runs show to be hopeless is not asked on. */
  async isEnough(packs: Packs, draws: number): Promise<boolean> {
    if (draws > GLANCE) {
      const { shortageChance } = await this.ask(packs, GLANCE);
      if (shortageChance * GLANCE > this.allowed * draws + 1e-9) return false;
    }
    return (await this.ask(packs, draws)).shortageChance <= this.allowed;
  }
}

export const costOf = (offers: readonly Offer[], packs: Packs): number =>
  packs.reduce((sum, count, n) => sum + count * offers[n]!.price, 0);
export const withPacks = (packs: Packs, at: number, count: number): number[] =>
  packs.map((value, n) => (n === at ? count : value));

/** Most bags of each bath that any of the first runs lacks in the opening round, which only stock serves. */
function openingLack(scenario: Scenario, seed: number, draws: number): number[] {
  const ground = groundOf(scenario);
  const { problem } = ground;
  const lots = new Lots(problem);
  const draw = emptyDraw(ground, 0);
  const most = problem.baths.map(() => 0);
  for (let index = 0; index < draws; index++) {
    drawInto(ground, seed, index, draw);
    lots.refill();
    for (let bath = 0; bath < most.length; bath++)
      most[bath] = Math.max(most[bath]!, lots.take(bath, 0, draw.need[bath * problem.rounds.length]!));
  }
  return most;
}

/** Most of each supply that any of the runs lacks at the start, were machines to make every bag; the item's unit. */
async function supplyLack(scenario: Scenario, run: Runner, { seed, draws }: OrderOptions): Promise<number[]> {
  const supplies = scenario.supplies ?? [];
  const most = Math.max(1, scenario.machines.length);
  const all = joined(await run(jobsOf(scenario, { seed, draws, least: most, most, piece: 50 })));
  return supplies.map(({ onHand }, s) => {
    let needed = 0;
    for (let draw = 0; draw < all.count; draw++)
      needed = Math.max(needed, all.supplyAtStart[draw * supplies.length + s]!);
    return Math.max(0, needed - onHand);
  });
}

/** Supplies and bags that are enough in every run looked at: what else is short then lacks machines, hands or water. */
export async function ample(
  scenario: Scenario,
  offers: readonly Offer[],
  run: Runner,
  options: OrderOptions,
): Promise<number[]> {
  const opening = openingLack(scenario, options.seed, options.draws);
  const lacks = await supplyLack(scenario, run, options);
  return offers.map(({ kind, of, pack, most }) => {
    const lack =
      kind === 'bags'
        ? opening[scenario.baths.findIndex(({ id }) => id === of)]!
        : kind === 'supply'
          ? // Whole fills take a little more than the bags that are wanted.
            1.1 * lacks[(scenario.supplies ?? []).findIndex(({ item }) => item === of)]!
          : 0;
    return Math.min(most, Math.ceil(lack / pack - 1e-9));
  });
}

/** Which kinds of offer mend which cause. */
const MENDS: Readonly<Record<Cause, readonly Offer['kind'][]>> = {
  'opening stock': ['bags'],
  supplies: ['supply', 'bags'],
  technicians: ['technicians', 'machine', 'bags'],
  water: ['water', 'machine', 'bags'],
  machines: ['machine', 'technicians', 'water', 'bags'],
};
/** Steps of growth: one machine or technician; water for one machine; a tenth more of goods. */
function stepOf(scenario: Scenario, { kind, of, pack }: Offer, packs: number): number {
  if (kind === 'water')
    return Math.ceil(
      Math.max(...scenario.machines.filter(({ water }) => water === of).map(({ flow }) => flow)) / pack,
    );
  return kind === 'supply' || kind === 'bags' ? Math.max(1, Math.ceil(packs / 10), Math.ceil(16 / pack)) : 1;
}

/**
 * Adds what takes away most missing bags for its price until the level is reached.
 * @returns null: no purchase reaches it
 */
export async function grown(
  scenario: Scenario,
  offers: readonly Offer[],
  asker: Asker,
  { from, draws }: { from: Packs; draws: number },
): Promise<number[] | null> {
  let packs = [...from];
  for (let step = 0; step < MOST_STEPS; step++) {
    const now = await asker.ask(packs, draws);
    if (now.shortageChance <= asker.allowed) return packs;
    const causes = lacksFirst(now).map(({ limit }) => limit);
    const kinds = new Set(causes.slice(0, 2).flatMap((cause) => MENDS[cause]));
    const candidates = offers.flatMap((offer, n) => {
      const count = Math.min(offer.most, packs[n]! + stepOf(scenario, offer, packs[n]!));
      return kinds.has(offer.kind) && count > packs[n]! ? [{ n, packs: withPacks(packs, n, count) }] : [];
    });
    let best: { packs: number[]; gain: number } | null = null;
    // Asked together, so that no thread waits for the last piece of another's.
    const answers = await Promise.all(candidates.map((candidate) => asker.ask(candidate.packs, draws)));
    for (const [index, candidate] of candidates.entries()) {
      const then = answers[index]!;
      const price = costOf(offers, candidate.packs) - costOf(offers, packs);
      const fewer = now.bagsShort - then.bagsShort + (now.shortageChance - then.shortageChance);
      const gain = fewer / Math.max(1e-9, price);
      if (fewer > 1e-9 && (!best || gain > best.gain)) best = { packs: candidate.packs, gain };
    }
    // Where each alone helps nothing, two limits may bind at once.
    if (best) packs = best.packs;
    else {
      const together = candidates.filter(({ n }) => offers[n]!.kind !== 'bags');
      if (together.length === 0) return null;
      for (const { n, packs: more } of together) packs[n] = more[n]!;
      const then = await asker.ask(packs, draws);
      if (then.bagsShort >= now.bagsShort - 1e-9) return null;
    }
  }
  return null;
}

/** The fewest packs of each offer, one after the other from the dearest line, until none can be lowered. */
export async function cutDown(
  offers: readonly Offer[],
  asker: Asker,
  { from, draws }: { from: Packs; draws: number },
): Promise<number[]> {
  let packs = [...from];
  for (let again = true; again; ) {
    again = false;
    const order = offers
      .map((_, n) => n)
      .filter((n) => packs[n]! > 0)
      .sort((a, b) => packs[b]! * offers[b]!.price - packs[a]! * offers[a]!.price || a - b);
    for (const n of order) {
      let low = 0;
      let high = packs[n]!;
      // One fewer tells most lines apart at once.
      if (!(await asker.isEnough(withPacks(packs, n, high - 1), draws))) continue;
      high -= 1;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (await asker.isEnough(withPacks(packs, n, middle), draws)) high = middle;
        else low = middle + 1;
      }
      packs = withPacks(packs, n, high);
      again = true;
    }
  }
  return packs;
}

/** One pack of a line for some of another, where that is cheaper and still enough. */
export async function exchanged(
  scenario: Scenario,
  offers: readonly Offer[],
  asker: Asker,
  { from, draws }: { from: Packs; draws: number },
): Promise<number[]> {
  let packs = [...from];
  const strong = offers.map(({ kind }) => kind === 'machine' || kind === 'technicians' || kind === 'water');
  for (let a = 0; a < offers.length; a++)
    for (let b = 0; strong[a] && b < offers.length; b++) {
      if (a === b || !strong[b] || packs[a]! === 0) continue;
      for (const count of [1, 2]) {
        const more = packs[b]! + count * stepOf(scenario, offers[b]!, packs[b]!);
        if (more > offers[b]!.most) break;
        const fewer = withPacks(packs, a, Math.max(0, packs[a]! - stepOf(scenario, offers[a]!, packs[a]!)));
        const swapped = withPacks(fewer, b, more);
        if (costOf(offers, swapped) >= costOf(offers, packs)) break;
        if (await asker.isEnough(swapped, draws)) {
          packs = await cutDown(offers, asker, { from: swapped, draws });
          break;
        }
      }
    }
  return packs;
}
