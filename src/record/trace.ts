import type { ReadingNoted, SetUp, TestNoted } from './state/books.ts';
import type { LotState } from './state/lots.ts';
import type { State } from './state.ts';

/** Where bags of a lot are, or went. */
interface WhereTo {
  readonly lot: string;
  readonly bath: string | null;
  /** Here, by the book. */
  readonly good: number;
  readonly held: number;
  readonly discarded: number;
  readonly left: LotState['leaves'];
}
const whereTo = ({ lot, bath, good, held, discarded, leaves }: LotState): WhereTo => ({
  lot,
  bath,
  good,
  held,
  discarded,
  left: leaves,
});

/** What may be in doubt. Minutes from the scenario's start; `from` and `to` absent: all the time. */
export type Suspect =
  | { readonly kind: 'concentrate'; readonly part: 'acid' | 'bicarbonate'; readonly lot: string }
  | { readonly kind: 'filter' | 'tubing'; readonly lot: string }
  /** The entry of the circuit. */
  | { readonly kind: 'circuit'; readonly entry: string }
  | { readonly kind: 'machine' | 'water'; readonly id: string; readonly from?: number; readonly to?: number }
  | { readonly kind: 'lot'; readonly lot: string };

/** Forward: every lot of bags that a suspect went into, and where its bags are. */
export function forward(
  state: State,
  suspect: Suspect,
  fedBy: (water: string) => readonly string[],
): WhereTo[] {
  return state.lots.filter((lot) => concerns(state, suspect, lot, fedBy)).map(whereTo);
}

function concerns(
  state: State,
  suspect: Suspect,
  { lot, fill }: LotState,
  fedBy: (water: string) => readonly string[],
): boolean {
  if (suspect.kind === 'lot') return suspect.lot === lot;
  if (!fill) return false;
  if ('id' in suspect) {
    const machines = suspect.kind === 'machine' ? [suspect.id] : fedBy(suspect.id);
    const { from = Number.NEGATIVE_INFINITY, to = Number.POSITIVE_INFINITY } = suspect;
    return machines.includes(fill.machine) && fill.start < to && fill.end! > from;
  }
  const ran = state.setUps.find(({ entry }) => entry === fill.circuit);
  if (!ran) return false;
  if (suspect.kind === 'circuit') return ran.circuit === suspect.entry || ran.entry === suspect.entry;
  const part = suspect.kind === 'concentrate' ? suspect.part : suspect.kind;
  return ran.lots[part] === suspect.lot;
}

/** Backward: all that a lot of bags was made from, by whom, when, and on which readings and tests. */
export interface MadeFrom {
  readonly lot: LotState;
  /** Who noted that filling began, and that the bags came off; '' where nobody did. */
  readonly began: { readonly at: number; readonly by: string } | null;
  readonly ended: { readonly at: number; readonly by: string } | null;
  /** Of a bath change, with the circuit's own lots. Null: loaded at the start, or none noted. */
  readonly setUp: SetUp | null;
  /** On its machine: the last one before it began, those while it filled, the first one after. */
  readonly readings: readonly ReadingNoted[];
  /** Of its source: the last one before it began, those while it filled, the first one after. */
  readonly tests: readonly TestNoted[];
}

/** Those around start..end of a list in order of time: the last before, those within, the first after. */
function around<T extends { readonly at: number }>(list: readonly T[], start: number, end: number): T[] {
  const before = list.findLast(({ at }) => at <= start);
  const after = list.find(({ at }) => at >= end);
  const within = list.filter(({ at }) => at > start && at < end);
  return [...(before ? [before] : []), ...within, ...(after ? [after] : [])];
}

/**
 * @param name of the lot, as on its label
 * @param waterOf the source that feeds a machine
 * @returns null: no lot is called that
 */
export function backward(state: State, name: string, waterOf: (machine: string) => string): MadeFrom | null {
  const lot = state.lots.find((one) => one.lot === name);
  if (!lot) return null;
  const { fill } = lot;
  if (!fill) return { lot, began: null, ended: null, setUp: null, readings: [], tests: [] };
  const byOf = (id: string | null) => state.folded.facts.find(({ entry }) => entry.id === id)?.entry.by ?? '';
  // Of a fill under way no lot is listed yet.
  const end = fill.end!;
  const water = waterOf(fill.machine);
  return {
    lot,
    began: { at: fill.start, by: byOf(fill.fill) },
    ended: { at: end, by: byOf(fill.off) },
    setUp: state.setUps.find(({ entry }) => entry === fill.circuit) ?? null,
    readings: around(
      state.readings.filter(({ machine }) => machine === fill.machine),
      fill.start,
      end,
    ),
    tests: around(
      state.tests.filter((test) => test.water === water),
      fill.start,
      end,
    ),
  };
}

/** Lots of which good, held, left and discarded bags do not add up to those made. */
export const unbalanced = ({ lots }: State): readonly LotState[] =>
  lots.filter(({ balance }) => balance !== 0);
