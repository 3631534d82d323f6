import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { State } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { freeOf } from '../../words/solutes.ts';

/** Bags of one lot for one bed. */
interface LotBags {
  readonly lot: string;
  readonly bags: number;
}
/** What one bed takes from a bag round. */
interface PickRow {
  /** '': for no bed, see `bedText`. */
  readonly bed: string;
  /** '' where no ward is typed. */
  readonly ward: string;
  readonly bath: string;
  /** What the bath lacks, in capitals. */
  readonly free: readonly string[];
  /** Bags of the fill volume that are hung. */
  readonly bags: number;
  /** What is there for them, in the order in which bags hang. */
  readonly picks: readonly LotBags[];
  /** L that these hold beyond the bags of the fill volume; below 0: less. 0 where all hold the fill volume, or bags are missing. */
  readonly beyond: number;
  /** Bags for which there is nothing: whose they are to be is decided by the people responsible, not by the order of hanging. */
  readonly missing: number;
  /** Of what is due now: bags that this bed lacks and another one has too many of, by the record. */
  readonly elsewhere: number;
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
  /** Baths of which there are too few bags: nobody's share is chosen here. Of what is due now, some may be at beds: nobody noted at which. */
  readonly short: readonly {
    readonly bath: string;
    readonly wanted: number;
    readonly there: number;
    readonly unmetLitres: number;
  }[];
}

/** What a list is made of: a plan as it is shown. */
interface Planned {
  readonly scenario: { readonly baths: readonly Bath[] };
  readonly problem: Problem;
  readonly demand: Demand;
  readonly covered: Cover;
  /** Of what is due now: bags that each bed has and has not hung, see `bagsAtBeds`. */
  readonly atBeds?: ReadonlyMap<string, number>;
}
const bedKey = (bed: string, bath: string) => JSON.stringify([bed, bath]);

/**
 * Bags carried to each bed that count for what hangs from now on, less what was hung since, by the prescription: they are not
 * carried again. Bags that are called back, and those of which no bed is noted, are at no bed. Below 0: bags to be
 * hung at once in place of those called back.
 * @param whole the scenario compiled, from its start, and its need
 */
export function bagsAtBeds(
  { problem, demand }: Pick<Planned, 'problem' | 'demand'>,
  { lots, now, recall, nextRound }: Pick<State, 'lots' | 'now' | 'recall' | 'nextRound'>,
): Map<string, number> {
  const there = new Map<string, number>();
  const covering = problem.rounds.filter(({ to }) => to > now);
  const rounds = new Set(covering.map(({ index }) => index));
  const first = covering[0]?.from ?? now;
  for (const { bath, leaves, holds } of lots) {
    if (bath === null || holds.some(({ bags }) => bags === 'all')) continue;
    for (const { bed, round, bags } of leaves)
      if (bed && typeof round === 'number' && rounds.has(round)) {
        const key = bedKey(bed, bath);
        there.set(key, (there.get(key) ?? 0) + bags);
      }
  }
  problem.patients.forEach(({ id }, patient) => {
    for (const { bath, minute } of demand.hangs[patient]!) {
      const key = bedKey(id, problem.baths[bath]!);
      if (minute >= first && minute < now && there.has(key)) there.set(key, Math.max(0, there.get(key)! - 1));
    }
  });
  // A bed with bags called back lacks as many as take their place: those that hang, and those that nobody could hang since.
  const until = problem.rounds[nextRound]?.from ?? problem.horizon;
  const ahead = (bed: string, bath: string) => {
    const patient = problem.patients.findIndex(({ id }) => id === bed);
    const number = problem.baths.indexOf(bath);
    const own = demand.hangs[patient] ?? [];
    return own.filter((hang) => hang.bath === number && hang.minute >= now && hang.minute < until).length;
  };
  const lacking = new Map<string, number>();
  for (const { bed, bath, hanging, replace } of recall) {
    if (!bed || !bath) continue;
    const key = bedKey(bed, bath);
    lacking.set(key, (lacking.get(key) ?? 0) + replace);
    there.set(key, Math.min((there.get(key) ?? 0) - hanging, ahead(bed, bath) - lacking.get(key)!));
  }
  return there;
}

interface Stack {
  readonly lot: number;
  /** Parts of a litre in a bag, and parts promised to the round. */
  readonly size: number;
  parts: number;
}

/**
 * What leaves with a bag round: which bags of which lots for which bed, the first to expire first, whoever hangs first.
 * Where a bath has too few bags, what is there stands with whoever hangs first, and only what is missing is marked; who gets
 * them is decided by the people responsible, so that the loads of such a bath name no bed.
 * @param made lots that are there: their ids; the others are planned
 */
export function pickList(
  { scenario, problem, demand, covered, atBeds }: Planned,
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
      .flatMap((list, patient) => {
        const there = round === 0 ? (atBeds?.get(bedKey(problem.patients[patient]!.id, bath)) ?? 0) : 0;
        const own = list.filter((hang) => hang.bath === index && hang.minute >= from && hang.minute < to);
        const instead = Array.from({ length: Math.max(0, -there) }, () => ({ patient, minute: from }));
        return [...instead, ...own.slice(Math.max(0, there)).map(({ minute }) => ({ patient, minute }))];
      })
      .sort((a, b) => a.minute - b.minute || a.patient - b.patient);
    // Due beyond what any bed lacks, e.g. in place of bags of which no bed is noted: carried too, for no bed.
    const spare = atBeds && round === 0 ? problem.dueNow![index]! - hangs.length : 0;
    for (let n = 0; n < spare; n++) hangs.push({ patient: NO_BED, minute: to });
    const unmet = covered.unmet[index]![round]!;
    if (unmet > 0) {
      short.push({
        bath,
        wanted: hangs.length,
        there: Math.max(0, -spare),
        unmetLitres: unmet / problem.partsPerLitre,
      });
    }
    const lots = covered.lots.map(({ id }) => id);
    const dealt = served(problem, bath, { stacks, hangs, taken, lots });
    return dealt.map((row) => ({
      ...row,
      free: free.get(bath) ?? [],
      ...(unmet === 0 && { missing: 0, elsewhere: row.missing }),
    }));
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

/** Bags that leave with a round, by the scenario's baths: real bags of the lots that serve it, and those of the fill volume that are missing. */
export function bagsLeaving(
  plan: Planned,
  round: number,
): { readonly bags: number; readonly missing: number }[] {
  // Of what is due now the bags of the lots count, whoever gets them.
  const due = plan.problem.dueNow ? { atBeds: new Map<string, number>() } : {};
  const { rows, lots } = pickList({ ...plan, ...due }, round, new Set());
  const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0);
  return plan.problem.baths.map((bath) => ({
    bags: sum(lots.filter((one) => one.bath === bath).map(({ bags }) => bags)),
    missing: sum(rows.filter((one) => one.bath === bath).map(({ missing }) => missing)),
  }));
}

/** In place of a patient's number. */
const NO_BED = -1;

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
  const rows = new Map<
    number,
    { bags: number; missing: number; parts: number; picks: Map<number, number> }
  >();
  let open = 0;
  for (const { patient } of hangs) {
    const row = rows.get(patient) ?? { bags: 0, missing: 0, parts: 0, picks: new Map<number, number>() };
    rows.set(patient, row);
    row.bags += 1;
    let wanted = problem.bagParts - open;
    open = 0;
    while (wanted > 0) {
      const stack = stacks.find(({ parts }) => parts > 0);
      if (!stack) break;
      stack.parts -= Math.min(stack.parts, stack.size);
      wanted -= stack.size;
      row.parts += stack.size;
      row.picks.set(stack.lot, (row.picks.get(stack.lot) ?? 0) + 1);
      taken.set(stack.lot, (taken.get(stack.lot) ?? 0) + 1);
    }
    if (wanted > 0) row.missing += 1;
    open = Math.max(0, -wanted);
  }
  return [...rows].map(([patient, { bags, missing, parts, picks }]) => ({
    bed: problem.patients[patient]?.id ?? '',
    ward: problem.patients[patient]?.ward ?? '',
    bath,
    bags,
    missing,
    elsewhere: 0,
    beyond: missing > 0 ? 0 : (parts - bags * problem.bagParts) / problem.partsPerLitre,
    picks: [...picks].map(([lot, count]) => ({ lot: lots[lot]!, bags: count })),
  }));
}

/**
 * What a `leave` entry says of a list: every bag that is there, with its ward and bed. Bags not made yet are left out. Of a
 * bath with too few bags no bed is said: people decided that.
 */
export const loadsOf = ({ rows, lots, short }: PickList) => {
  const isShort = (bath: string) => short.some((one) => one.bath === bath);
  return [
    ...lots.flatMap(({ lot, bath, bags, planned }) =>
      !planned && isShort(bath) ? [{ lot, bath, bags }] : [],
    ),
    ...rows.flatMap(({ bed, ward, bath, picks }) =>
      picks.flatMap(({ lot, bags }) =>
        isShort(bath) || lots.some((one) => one.lot === lot && one.planned)
          ? []
          : [{ lot, bath, bags, ...(bed !== '' && { bed }), ...(ward !== '' && { ward }) }],
      ),
    ),
  ];
};

/** The bed of a row. */
export const bedText = ({ bed }: PickRow): string => bed || 'where one is lacking';

/** Bags that are carried to a bed and those that are missing: where they do not hold the fill volume, another number than is hung of it. */
export const bagsToCarry = ({ picks, missing, elsewhere }: PickRow): number =>
  picks.reduce((sum, { bags }) => sum + bags, missing + elsewhere);

/** What stands in the column of lots: those that are there, and what is missing or not as needed. */
export const picksText = ({ picks, missing, elsewhere, beyond }: PickRow): string =>
  [
    ...picks.map(({ lot, bags }) => `${bags} × ${lot}`),
    ...(Math.abs(beyond) < 0.05
      ? []
      : [`${numberText(Math.abs(beyond))} L ${beyond < 0 ? 'LESS' : 'more'} than needed`]),
    ...(missing > 0 ? [`${countText(missing, 'bag')} MISSING`] : []),
    ...(elsewhere > 0 ? [`${countText(elsewhere, 'bag')} from a bed that has more than it hangs`] : []),
  ].join(', ');

/** What is said above a list of a bath with too few bags. */
export const shortText = ({ bath, wanted, there, unmetLitres }: PickList['short'][number]): string =>
  [
    `${bath}: ${numberText(unmetLitres)} L unmet of ${countText(wanted, 'bag')}.`,
    ...(there > 0 ? [`By the record ${there} of these are at beds already. Look there first.`] : []),
    'Lots stand in the order of hanging. The people responsible decide who gets them.',
  ].join(' ');
