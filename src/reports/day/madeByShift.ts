import type { Activity } from '../../plan/plan.ts';
import type { LotState } from '../../record/state/lots.ts';
import type { State } from '../../record/state.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { timeText } from '../../words/times.ts';

/** One machine in one shift: what was planned, what was made, how late, and why. Minutes from the scenario's start. */
export interface MadeRow {
  readonly shift: string;
  readonly from: number;
  readonly to: number;
  readonly machine: string;
  /** Bags of the planned fills whose swap begins in the shift, as far as it is over; null: no plan of that time is known. */
  readonly plannedBags: number | null;
  /** Bags that came off in the shift, and of them those that are good, on hold, or discarded as they came off. */
  readonly madeBags: number;
  readonly good: number;
  readonly held: number;
  readonly rejected: number;
  /** Minutes by which bags came off later than planned, all matched fills together; null: none is matched. */
  readonly late: number | null;
  readonly reasons: readonly string[];
}

/** A planned fill and a noted one are the same where they are of one bath on one machine and end less than so many minutes apart: a site assumption. */
const SAME_FILL = 240;

type PlannedFill = Activity & { readonly kind: 'fill' };
/** Planned fills in order of time, each with the first noted one of its bath that is not matched yet. */
export function matched(
  fills: readonly PlannedFill[],
  lots: readonly LotState[],
): { readonly planned: PlannedFill; readonly made: LotState | null }[] {
  const open = [...lots].sort((a, b) => a.fill!.end! - b.fill!.end!);
  return [...fills]
    .sort((a, b) => a.end - b.end)
    .map((planned) => {
      const index = open.findIndex(
        ({ bath, fill }) => bath === planned.bath && Math.abs(fill!.end! - planned.end) < SAME_FILL,
      );
      return { planned, made: index < 0 ? null : open.splice(index, 1)[0]! };
    });
}

const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0);

/** Bags discarded by the entry with which they came off. */
const rejectedOf = ({ fill, discards }: LotState): number =>
  sum(discards.filter(({ entry }) => entry === fill!.off).map(({ bags }) => bags));

interface Where {
  readonly band: ShiftBand;
  readonly machine: string;
  readonly water: string;
}

/** What in the record of a shift kept a machine from its plan: a few words each. */
function reasonsOf(
  { clock }: Problem,
  state: State,
  { band, machine, water }: Where,
  lots: readonly LotState[],
) {
  const within = (at: number) => at >= band.from && at < Math.min(band.to, state.now + 1);
  const time = (at: number) => timeText(clock, at);
  const rejected = new Map<string, number>();
  for (const { fill, discards } of lots)
    for (const { entry, why, bags } of discards)
      if (entry === fill!.off) rejected.set(why, (rejected.get(why) ?? 0) + bags);
  const stops = state.folded.facts.flatMap(({ entry, at }) =>
    entry.kind === 'stop' && entry.machine === machine && within(at)
      ? `fill stopped ${time(at)}${entry.why ? `: ${entry.why}` : ''}`
      : [],
  );
  const outages = state.machines.find(({ id }) => id === machine)?.outages ?? [];
  const out = outages.flatMap(({ from, until }) => {
    const [begin, end] = [Math.max(from, band.from), Math.min(until ?? state.now, state.now, band.to)];
    return end > begin ? `unavailable ${lengthText(end - begin)}` : [];
  });
  const holds = lots.flatMap(({ held, holds: why }) =>
    held > 0 ? why.map((hold) => hold.why).filter((text) => text !== '') : [],
  );
  return [
    ...[...rejected].map(([why, bags]) => `${countText(bags, 'bag')} rejected: ${why}`),
    ...stops,
    ...out,
    ...state.tests.flatMap(({ water: of, at, passed }) =>
      of === water && !passed && within(at) ? `test of ${of} FAILED ${time(at)}` : [],
    ),
    ...state.readings.flatMap(({ machine: of, at, result }) =>
      of === machine && result === 'out' && within(at) ? `reading out of limits ${time(at)}` : [],
    ),
    ...new Set(holds.map((why) => `on hold: ${why}`)),
  ];
}

/**
 * A row for each shift that has begun and each machine that had something to do in it.
 * @param problem the scenario compiled, from its start
 * @param given the plan that people were given
 * @param knownFrom minute from which that plan is known: of shifts that begin before it nothing is said as planned
 */
export function madeByShift(
  problem: Problem,
  state: State,
  { given, knownFrom }: { readonly given: readonly Activity[]; readonly knownFrom: number },
): MadeRow[] {
  const { now } = state;
  const fills = given.filter((one): one is PlannedFill => one.kind === 'fill');
  // A fill that was stopped made no bags: it is among the reasons.
  const stops = new Set(state.folded.facts.flatMap(({ entry }) => (entry.kind === 'stop' ? entry.id : [])));
  return problem.shifts
    .filter(({ from }) => from <= now)
    .sort((a, b) => a.from - b.from)
    .flatMap((band) =>
      problem.machines.flatMap(({ id, water, positions }): MadeRow[] => {
        const until = Math.min(band.to, now + 1);
        const within = (at: number) => at >= band.from && at < until;
        const made = state.lots.filter(
          ({ fill }) => fill?.machine === id && fill.end !== null && !stops.has(fill.off ?? ''),
        );
        const own = made.filter(({ fill }) => within(fill!.end!));
        const pairs = matched(
          fills.filter(({ machine }) => machine === id),
          made,
        ).filter(({ planned }) => within(planned.end));
        const known = Math.max(0, band.from) >= knownFrom;
        const reasons = reasonsOf(
          problem,
          state,
          { band, machine: id, water: problem.water[water]!.id },
          own,
        );
        if (own.length === 0 && pairs.length === 0 && reasons.length === 0) return [];
        const lates = pairs.flatMap(({ planned, made: lot }) =>
          lot ? Math.max(0, lot.fill!.end! - planned.end) : [],
        );
        return [
          {
            shift: band.shift,
            from: band.from,
            to: band.to,
            machine: id,
            plannedBags: known ? pairs.length * positions : null,
            madeBags: sum(own.map((lot) => lot.made)),
            good: sum(own.map((lot) => lot.made - rejectedOf(lot) - lot.held)),
            held: sum(own.map(({ held }) => held)),
            rejected: sum(own.map(rejectedOf)),
            late: known && lates.length > 0 ? sum(lates) : null,
            reasons,
          },
        ];
      }),
    );
}
