import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { freeOf } from '../../words/solutes.ts';

/** Bags of one lot for one bed. */
export interface Pick {
  readonly lot: string;
  readonly bags: number;
}
/** What one bed takes from a bag round. */
interface PickRow {
  readonly bed: string;
  /** '' where no ward is typed. */
  readonly ward: string;
  readonly bath: string;
  /** What the bath lacks, in capitals. */
  readonly free: readonly string[];
  /** Bags of the fill volume that are hung. */
  readonly bags: number;
  /** Empty where there are too few bags of the bath: who gets them is decided by the people responsible. */
  readonly picks: readonly Pick[];
}
export interface PickList {
  readonly round: number;
  /** Minute at which its bags leave. */
  readonly at: number;
  /** By ward, then bed, then bath. */
  readonly rows: readonly PickRow[];
  /** By lot: what leaves in all, with its litres (about 1 kg each). */
  readonly lots: readonly {
    readonly lot: string;
    readonly bath: string;
    readonly free: readonly string[];
    readonly bags: number;
    readonly litres: number;
    /** Made by a fill that has still to be done. */
    readonly planned: boolean;
  }[];
  /** Baths of which there are too few bags: nobody's share is chosen here. */
  readonly short: readonly { readonly bath: string; readonly wanted: number; readonly unmetLitres: number }[];
}

interface Stack {
  readonly lot: number;
  /** Parts of a litre in a bag, and parts promised to the round. */
  readonly size: number;
  parts: number;
}

/** What a list is made of: a plan as it is shown. */
interface Picked {
  readonly scenario: { readonly baths: readonly Bath[] };
  readonly problem: Problem;
  readonly demand: Demand;
  readonly covered: Cover;
}

/**
 * What leaves with a bag round: which bags of which lots for which bed, the first to expire first, whoever hangs first.
 * Where a bath has too few bags, it says what there is and what is wanted, and leaves open who gets them.
 * @param made lots that are there: their ids; the others are planned
 */
export function pickList(
  { scenario, problem, demand, covered }: Picked,
  round: number,
  made: ReadonlySet<string>,
): PickList {
  const { from, to, at } = problem.rounds[round]!;
  const taken = new Map<number, number>();
  const free = new Map(scenario.baths.map((bath) => [bath.id, freeOf(bath)]));
  const short: PickList['short'][number][] = [];
  const rows = problem.baths.flatMap((bath, index) => {
    const stacks = covered.servings
      .filter((serving) => serving.round === round && serving.bath === index)
      .map(({ lot, parts }): Stack => ({ lot, parts, size: covered.lots[lot]!.bagParts }));
    const hangs = demand.hangs
      .flatMap((list, patient) =>
        list
          .filter((hang) => hang.bath === index && hang.minute >= from && hang.minute < to)
          .map(({ minute }) => ({ patient, minute })),
      )
      .sort((a, b) => a.minute - b.minute || a.patient - b.patient);
    const unmet = covered.unmet[index]![round]!;
    if (unmet > 0) {
      short.push({ bath, wanted: hangs.length, unmetLitres: unmet / problem.partsPerLitre });
      for (const { lot, parts, size } of stacks) taken.set(lot, Math.ceil(parts / size));
    }
    const lots = covered.lots.map(({ id }) => id);
    const rows = served(problem, bath, { stacks: unmet > 0 ? [] : stacks, hangs, taken, lots });
    return rows.map((row) => ({ ...row, free: free.get(bath) ?? [] }));
  });
  rows.sort(
    (a, b) => a.ward.localeCompare(b.ward) || a.bed.localeCompare(b.bed) || a.bath.localeCompare(b.bath),
  );
  const lots = [...taken].map(([lot, bags]) => {
    const { id, bath, bagParts } = covered.lots[lot]!;
    return {
      lot: id,
      bath: problem.baths[bath]!,
      free: free.get(problem.baths[bath]!) ?? [],
      bags,
      litres: (bags * bagParts) / problem.partsPerLitre,
      planned: !made.has(id),
    };
  });
  return { round, at, rows, lots, short };
}

interface Serving {
  readonly stacks: Stack[];
  readonly hangs: readonly { readonly patient: number }[];
  /** Bags taken of each lot so far, by its number. */
  readonly taken: Map<number, number>;
  readonly lots: readonly string[];
}

/** One bath: whole bags from the first stack that has any, until what hangs is served; what a bag holds too much serves the next. */
function served(
  problem: Problem,
  bath: string,
  { stacks, hangs, taken, lots }: Serving,
): Omit<PickRow, 'free'>[] {
  const rows = new Map<number, { bags: number; picks: Map<number, number> }>();
  let open = 0;
  for (const { patient } of hangs) {
    const row = rows.get(patient) ?? { bags: 0, picks: new Map<number, number>() };
    rows.set(patient, row);
    row.bags += 1;
    let wanted = problem.bagParts - open;
    open = 0;
    while (wanted > 0) {
      const stack = stacks.find(({ parts }) => parts > 0);
      if (!stack) break;
      stack.parts -= Math.min(stack.parts, stack.size);
      wanted -= stack.size;
      row.picks.set(stack.lot, (row.picks.get(stack.lot) ?? 0) + 1);
      taken.set(stack.lot, (taken.get(stack.lot) ?? 0) + 1);
    }
    open = Math.max(0, -wanted);
  }
  return [...rows].map(([patient, { bags, picks }]) => ({
    bed: problem.patients[patient]!.id,
    ward: problem.patients[patient]!.ward ?? '',
    bath,
    bags,
    picks: [...picks].map(([lot, count]) => ({ lot: lots[lot]!, bags: count })),
  }));
}

/** What a `leave` entry says of a list: every bag that is there, with its ward and bed. Bags not made yet are left out. */
export const loadsOf = ({ rows, lots, short }: PickList) => [
  ...lots.flatMap(({ lot, bath, bags, planned }) =>
    !planned && short.some((one) => one.bath === bath) ? [{ lot, bath, bags }] : [],
  ),
  ...rows.flatMap(({ bed, ward, bath, picks }) =>
    picks.flatMap(({ lot, bags }) =>
      lots.some((one) => one.lot === lot && one.planned)
        ? []
        : [{ lot, bath, bags, bed, ...(ward !== '' && { ward }) }],
    ),
  ),
];
