import type { Demand } from '../../demand/demand.ts';
import { toNumber } from '../../exact/fraction.ts';
import type { LotState } from '../../record/state/lots.ts';
import type { State } from '../../record/state.ts';
import { backward, forward, type MadeFrom, type Suspect } from '../../record/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { readBagCode } from './swapLabels.ts';

/** Something that can be asked about: what a person picks or types, and what it stands for. */
export interface Traceable {
  /** As it is picked, typed or scanned; no two alike. */
  readonly name: string;
  readonly group: 'Lot' | 'Machine' | 'Water' | 'Concentrate' | 'Filter' | 'Tubing' | 'Circuit';
  readonly suspect: Suspect;
}

const PARTS = [
  ['acid', 'Concentrate'],
  ['bicarbonate', 'Concentrate'],
  ['filter', 'Filter'],
  ['tubing', 'Tubing'],
] as const;

/** All that a record can be asked about, by groups; lots with the latest first. */
export function traceables({ clock }: Pick<Problem, 'clock'>, state: State): Traceable[] {
  const found: Traceable[] = [];
  const names = new Set<string>();
  const add = (name: string, group: Traceable['group'], suspect: Suspect) => {
    if (names.has(name)) return;
    names.add(name);
    found.push({ name, group, suspect });
  };
  for (const { underWay } of state.machines)
    if (underWay?.lot) add(underWay.lot, 'Lot', { kind: 'lot', lot: underWay.lot });
  for (const { lot } of [...state.lots].reverse()) add(lot, 'Lot', { kind: 'lot', lot });
  for (const { id } of state.machines) add(`machine ${id}`, 'Machine', { kind: 'machine', id });
  for (const { id } of state.water) add(`water ${id}`, 'Water', { kind: 'water', id });
  for (const { lots, circuit, entry, machine, began } of state.setUps) {
    for (const [part, group] of PARTS) {
      const lot = lots[part];
      if (!lot) continue;
      const suspect: Suspect =
        part === 'acid' || part === 'bicarbonate' ? { kind: 'concentrate', part, lot } : { kind: part, lot };
      add(`${part} ${lot}`, group, suspect);
    }
    if (circuit === entry)
      add(`circuit on ${machine} since ${clock.localOf(began).replace('T', ' ')}`, 'Circuit', {
        kind: 'circuit',
        entry,
      });
  }
  return found;
}

/** What a text asks about: a label's code, a name of the list, or a bare name of a lot of concentrate, machine or source; null: nothing of this record. */
export function traceableOf(list: readonly Traceable[], text: string): Traceable | null {
  const typed = text.trim();
  const lot = readBagCode(typed)?.lot ?? typed;
  const same = (a: string, b: string) => a.toLowerCase() === b.toLowerCase();
  return (
    list.find(({ name }) => same(name, lot)) ??
    list.find(({ group, name }) => group !== 'Circuit' && same(name.slice(name.indexOf(' ') + 1), lot)) ??
    null
  );
}

/** Bags of one lot that left together for one bed. */
export interface AtBed {
  readonly lot: string;
  readonly bath: string | null;
  readonly bags: number;
  readonly leftAt: number;
  /** Minute of its bag round; null: none of this scenario. */
  readonly round: { readonly round: number; readonly at: number } | null;
  /** null: not noted. */
  readonly ward: string | null;
  readonly bed: string | null;
  /**
   * At most so many of them hang or wait at the bedside now, by the prescription; all of them where it cannot be told.
   * Nobody notes what hangs: an upper bound, to be looked at.
   */
  readonly there: number;
}
/** What came of something, and what it was made from. */
export interface LotTrace {
  readonly asked: Traceable;
  /** Lots that it is or went into. */
  readonly lots: readonly LotState[];
  readonly beds: readonly AtBed[];
  /** Of lots that were filled here: all that went into them. */
  readonly from: readonly MadeFrom[];
  /** Fills under way that it goes into: machine. */
  readonly filling: readonly string[];
}

interface Book {
  /** The scenario compiled, from its start. */
  readonly problem: Problem;
  readonly demand: Demand;
  readonly state: State;
}

const keyOf = (round: number | string, bed: string, bath: string | null) =>
  JSON.stringify([round, bed, bath]);

/** Bags of a bed and bag round that have run through or hung their longest time by now, by the prescription. */
function finishedOf(
  { problem, demand, state }: Book,
  round: number,
  bed: string,
  bath: string | null,
): number {
  const patient = problem.patients.findIndex(({ id }) => id === bed);
  const span = problem.rounds[round];
  if (patient < 0 || !span || bath === null) return 0;
  const number = problem.baths.indexOf(bath);
  const longest = toNumber(problem.rules.maxHang);
  const hangs = demand.hangs[patient]!;
  return hangs.filter(({ minute, bath: hung }, index) => {
    if (hung !== number || minute < span.from || minute >= span.to) return false;
    const end = Math.min(hangs[index + 1]?.minute ?? Number.POSITIVE_INFINITY, minute + longest);
    return end <= state.now;
  }).length;
}

function bedsOf(book: Book, lots: readonly LotState[]): AtBed[] {
  const { problem, state } = book;
  const carried = new Map<string, number>();
  for (const { bath, leaves } of state.lots)
    for (const { round, bed, bags } of leaves) {
      const key = keyOf(round, bed ?? '', bath);
      carried.set(key, (carried.get(key) ?? 0) + bags);
    }
  return lots
    .flatMap(({ lot, bath, leaves }) =>
      leaves.map(({ round, bed, ward, bags, at }): AtBed => {
        const of = typeof round === 'number' ? problem.rounds[round] : undefined;
        const back = state.recall.find(
          (one) => one.lot === lot && one.round === round && one.at === at && one.bed === bed,
        );
        const rest = back
          ? back.hanging + back.waiting
          : bed && of
            ? carried.get(keyOf(round, bed, bath))! - finishedOf(book, of.index, bed, bath)
            : bags;
        return {
          lot,
          bath,
          bags,
          leftAt: at,
          round: of ? { round: of.index, at: of.at } : null,
          ward: ward ?? null,
          bed: bed ?? null,
          there: Math.max(0, Math.min(bags, rest)),
        };
      }),
    )
    .sort((a, b) => b.there - a.there || (a.bed ?? '').localeCompare(b.bed ?? '') || a.leftAt - b.leftAt);
}

/** Forward to every bag and bed, backward to all that the bags were made from. */
export function lotTrace(book: Book, asked: Traceable): LotTrace {
  const { problem, state } = book;
  const waterOf = (machine: string) => {
    const of = problem.machines.find(({ id }) => id === machine);
    return of ? problem.water[of.water]!.id : '';
  };
  const fedBy = (water: string) =>
    problem.machines.filter(({ id }) => waterOf(id) === water).map(({ id }) => id);
  const found = new Set(forward(state, asked.suspect, fedBy).map(({ lot }) => lot));
  const lots = state.lots.filter(({ lot }) => found.has(lot));
  return {
    asked,
    lots,
    beds: bedsOf(book, lots),
    from: lots.flatMap(({ lot, fill }) => (fill ? (backward(state, lot, waterOf) ?? []) : [])),
    filling: fillingOf(state, asked.suspect, fedBy),
  };
}

/** Machines that are filling what is asked about: their bags are in no lot yet. */
function fillingOf(state: State, suspect: Suspect, fedBy: (water: string) => readonly string[]): string[] {
  return state.machines.flatMap(({ id, underWay, setUp }) => {
    if (underWay?.kind !== 'fill') return [];
    if (suspect.kind === 'lot') return suspect.lot === underWay.lot ? id : [];
    if ('id' in suspect)
      return (suspect.kind === 'machine' ? [suspect.id] : fedBy(suspect.id)).includes(id) ? id : [];
    if (!setUp) return [];
    if (suspect.kind === 'circuit') return [setUp.circuit, setUp.entry].includes(suspect.entry) ? id : [];
    return setUp.lots[suspect.kind === 'concentrate' ? suspect.part : suspect.kind] === suspect.lot ? id : [];
  });
}
