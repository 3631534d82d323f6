import type { Scenario } from '../../scenario/schema.ts';
import type { Runner } from './job.ts';
import { freeId } from './levers.ts';
import { itemOf, type Offer, offersOf, withItems } from './offers.ts';
import type { Study, StudyOptions } from './study.ts';
import { smallestOf } from './sweeps.ts';

/** Machines of one kind that are just enough beside all that is listed, supplies without end. */
export interface KindNeed {
  /** The machine that they are like. */
  readonly like: string;
  readonly weekdays?: readonly string[];
  /** Machines more than listed; null: no number of this kind is enough. */
  readonly more: number | null;
}

/** The least of everything for the service level, each beside all else as listed and the machines of one kind. */
export interface Requirements {
  /** Each kind that could be had, alone. */
  readonly kinds: readonly KindNeed[];
  /** The kind that the rest goes with: the one of which the fewest are enough; null: none is. */
  readonly beside: KindNeed | null;
  /** Technicians of each shift, the others as listed; null: more than any asked about. */
  readonly technicians: readonly { readonly shift: string; readonly technicians: number | null }[];
  /** Capacity of each source in use, mL/min, the others as listed; null: more than any asked about. */
  readonly water: readonly { readonly id: string; readonly capacity: number | null }[];
}

/** So many machines: the first of the list, then copies of the last. */
export function withMachines(scenario: Scenario, count: number): Scenario {
  const machines = scenario.machines.slice(0, count);
  const last = scenario.machines.at(-1);
  while (last && machines.length < count)
    machines.push({
      ...last,
      id: freeId(
        last.id,
        machines.map(({ id }) => id),
      ),
      loaded: null,
    });
  return { ...scenario, machines };
}

const upTo = (most: number): number[] => Array.from({ length: most + 1 }, (_, n) => n);
const MOST_TECHNICIANS = 12;
/** Machines of one kind that are asked about. */
export const MOST_OF_KIND = 16;
/** Water is asked about in steps of a tenth of what is there. */
const FACTORS = Array.from({ length: 30 }, (_, n) => (n + 1) / 10);

const withShift = (scenario: Scenario, shift: string, technicians: number): Scenario => ({
  ...scenario,
  shifts: scenario.shifts.map((row) => (row.id === shift ? { ...row, technicians } : row)),
});
const withSource = (scenario: Scenario, source: string, factor: number): Scenario => ({
  ...scenario,
  water: scenario.water.map((row) =>
    row.id === source ? { ...row, capacity: Math.round(row.capacity * factor) } : row,
  ),
});

/** The scenario with so many machines more of an offer. */
const withKind = (scenario: Scenario, offer: Offer, more: number): Scenario =>
  more === 0 ? scenario : withItems(scenario, [itemOf(scenario, offer, more / offer.pack)]);

/**
 * What is just enough: machines by kind, then technicians by shift and water by source beside the kind of which the
 * fewest are enough; supplies without end. What is needed of each supply stands in the study (`wanted`).
 */
export async function requirements(
  { scenario: given }: Pick<Study, 'scenario'>,
  run: Runner,
  options: StudyOptions,
): Promise<Requirements> {
  const scenario = { ...given, supplies: [] };
  const offers = offersOf(given).filter(({ kind }) => kind === 'machine');
  const kinds: (KindNeed & { offer: Offer })[] = [];
  for (const offer of offers) {
    const packs = upTo(Math.min(offer.most, Math.floor(MOST_OF_KIND / offer.pack)));
    const counts = packs.map((count) => count * offer.pack);
    const more = await smallestOf(counts, (count) => withKind(scenario, offer, count), run, options);
    kinds.push({ like: offer.of, more, offer, ...(offer.weekdays && { weekdays: offer.weekdays }) });
  }
  const best = kinds
    .filter(({ more }) => more !== null)
    .reduce<(typeof kinds)[number] | null>((a, b) => (a && a.more! <= b.more! ? a : b), null);
  const base = best ? withKind(scenario, best.offer, best.more!) : scenario;
  const technicians: { shift: string; technicians: number | null }[] = [];
  for (const shift of new Set(scenario.shifts.map(({ id }) => id)))
    technicians.push({
      shift,
      technicians: best
        ? await smallestOf(upTo(MOST_TECHNICIANS), (count) => withShift(base, shift, count), run, options)
        : null,
    });
  const water: { id: string; capacity: number | null }[] = [];
  for (const { id, capacity } of scenario.water) {
    if (!base.machines.some((machine) => machine.water === id)) continue;
    const factor = best ? await smallestOf(FACTORS, (one) => withSource(base, id, one), run, options) : null;
    water.push({ id, capacity: factor === null ? null : Math.round(capacity * factor) });
  }
  const plain = ({ like, more, weekdays }: KindNeed): KindNeed => ({
    like,
    more,
    ...(weekdays && { weekdays }),
  });
  return { kinds: kinds.map(plain), beside: best && plain(best), technicians, water };
}
