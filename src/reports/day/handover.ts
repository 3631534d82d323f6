import type { Activity } from '../../plan/plan.ts';
import type { ReadingNoted, TestNoted } from '../../record/state/books.ts';
import type { State, UnderWay } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { windowsUnderWay } from './windows.ts';

/** What the next shift has to know, as data for one page; what is unsafe stands above it (`unsafeTexts`). Minutes from the scenario's start. */
export interface Handover {
  readonly from: number;
  readonly now: number;
  /** Bags that may serve, those on hold, and the first minute at which some of the good ones expire. */
  readonly stock: readonly {
    readonly bath: string;
    readonly good: number;
    readonly held: number;
    readonly litres: number;
    readonly firstExpiry: number | null;
  }[];
  readonly held: readonly {
    readonly lot: string;
    readonly bath: string | null;
    readonly bags: number;
    readonly why: string;
  }[];
  readonly readings: readonly ReadingNoted[];
  readonly tests: readonly TestNoted[];
  /** Circuits in place, with the minutes that each has been, and how long it still may. */
  readonly circuits: readonly {
    readonly machine: string;
    readonly bath: string;
    readonly age: number;
    readonly left: number;
  }[];
  /** Of a fill, the minutes between which its bags come off (see `windowsUnderWay`). */
  readonly underWay: readonly ({ readonly machine: string } & UnderWay)[];
  /** What begins in the next six hours, in order. */
  readonly next: readonly Activity[];
  readonly notes: State['notes'];
  readonly doubts: State['doubts'];
}

/** How far ahead a handover looks, min. */
const AHEAD = 360;

/**
 * What the shift that goes hands over to the one that comes.
 * @param problem what is planned from now on
 * @param activities the plan from now on
 * @param from minute of the last handover
 */
export function handoverOf(
  problem: Problem,
  state: State,
  activities: readonly Activity[],
  from: number,
): Handover {
  const { now, lots } = state;
  const windows = windowsUnderWay(problem, state, activities);
  const since = <T extends { readonly at: number }>(list: readonly T[]) =>
    list.filter(({ at }) => at >= from && at <= now);
  // A delivery that is still to come is no stock.
  const isHere = ({ origin, ready }: (typeof lots)[number]) =>
    origin !== 'delivery' || ready === null || ready <= now;
  const live = lots.filter((lot) => isHere(lot) && (lot.expires === null || lot.expires > now));
  return {
    from,
    now,
    stock: problem.baths.map((bath) => {
      const mine = live.filter((lot) => lot.bath === bath);
      const expiries = mine.flatMap(({ good, expires }) => (good > 0 && expires !== null ? expires : []));
      return {
        bath,
        good: mine.reduce((sum, { good }) => sum + good, 0),
        held: mine.reduce((sum, { held }) => sum + held, 0),
        litres: mine.reduce((sum, { good, litres }) => sum + good * litres, 0),
        firstExpiry: expiries.length > 0 ? Math.min(...expiries) : null,
      };
    }),
    held: lots.flatMap(({ lot, bath, held, holds }) =>
      held > 0
        ? { lot, bath, bags: held, why: [...new Set(holds.map(({ why }) => why).filter(Boolean))].join('; ') }
        : [],
    ),
    readings: since(state.readings),
    tests: since(state.tests),
    circuits: state.machines.flatMap(({ id, bath, circuitSince }) =>
      bath !== null && circuitSince !== null
        ? { machine: id, bath, age: now - circuitSince, left: circuitSince + problem.rules.circuitLife - now }
        : [],
    ),
    underWay: state.machines.flatMap(({ id, underWay }) => {
      if (!underWay) return [];
      const { from: earliestEnd, to: latestEnd } = windows(id) ?? {
        from: underWay.earliestEnd,
        to: underWay.latestEnd,
      };
      return { machine: id, ...underWay, earliestEnd, latestEnd };
    }),
    next: activities.filter(({ start }) => start >= now && start < now + AHEAD),
    notes: since(state.notes),
    doubts: state.doubts,
  };
}
