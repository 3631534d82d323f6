import type { Demand } from '../demand/demand.ts';
import { roundFinder } from '../demand/demand.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Cover } from './cover.ts';

/**
 * Ways of sharing out too few bags, each shown beside the others; nobody is chosen by any of them.
 * need: who hangs first gets a bag. equal: each bed gives up the same share of its bags. priority: the site's first class
 * gives up nothing before the next has given up all. rotation: beds give up a bag in turn.
 */
export type Sharing = 'need' | 'equal' | 'priority' | 'rotation';
export const SHARINGS: readonly Sharing[] = ['need', 'equal', 'priority', 'rotation'];

/** One bag that does not come, under one way of sharing. */
export interface MissedBag {
  /** Number of the patient. */
  readonly patient: number;
  readonly bath: number;
  readonly round: number;
  /** The minute in which it would be hung. */
  readonly minute: number;
  /** How long it would have run, min: to the next bag, the end of therapy or of its hang time. */
  readonly minutes: number;
}

/** A bag that a bag round should bring to a bed. */
type Wanted = MissedBag;

/** Who gives up bags of one round and bath. Takes those wanted, in order of time, and how many are missing. */
type Share = (wanted: readonly Wanted[], missing: number) => readonly Wanted[];

/**
 * Which beds go without, bag by bag, were too few bags shared out in one way: as many bags as nothing serves, a part of a
 * bag counted as one. What each round lacks is shared among those whose bags it brings. Of one bed always the last bags.
 * What all ways begin with is counted once.
 * @param unmet parts of a litre by [bath][round], see `Cover`
 * @returns for a way, in order of time; fewer than are missing where less hangs than was due (`Problem.dueNow`)
 */
export function missedBy(
  problem: Problem,
  demand: Demand,
  unmet: Cover['unmet'],
): (sharing: Sharing) => MissedBag[] {
  const brought = broughtBy(problem, demand);
  const lacking = problem.rounds.flatMap(({ index: round }) =>
    problem.baths.flatMap((_, bath) => {
      const missing = Math.ceil(unmet[bath]![round]! / problem.bagParts - 1e-9);
      const own = brought(bath, round);
      return missing > 0 ? { own, missing: Math.min(missing, own.length) } : [];
    }),
  );
  return (sharing) => {
    const share = shareOf(sharing, problem);
    return lacking
      .flatMap(({ own, missing }) => share(own, missing))
      .sort((a, b) => a.minute - b.minute || a.patient - b.patient);
  };
}

/** The bags that a round brings of a bath, in order of time, then of the list. */
function broughtBy(problem: Problem, demand: Demand): (bath: number, round: number) => readonly Wanted[] {
  const key = (bath: number, round: number) => round * problem.baths.length + bath;
  const groups = grouped(wantedBags(problem, demand), (one) => key(one.bath, one.round));
  return (bath, round) => groups.get(key(bath, round)) ?? [];
}

/** Lists by a key, each in the order of the whole; keys in the order in which they come first. */
function grouped<One, Key>(list: readonly One[], keyOf: (one: One) => Key): Map<Key, One[]> {
  const groups = new Map<Key, One[]>();
  for (const one of list) {
    const key = keyOf(one);
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  }
  return groups;
}

/** Every bag that hangs, with the round that brings it and how long it runs, in order of time, then of the list. */
function wantedBags(problem: Problem, demand: Demand): Wanted[] {
  const roundAt = roundFinder(problem);
  const { maxHang } = problem.rules;
  const longest = Number(maxHang.n) / Number(maxHang.d);
  const ends = problem.patients.map(({ until, sessions }) => (minute: number) => {
    const session = sessions?.find(({ from, to }) => from <= minute && minute < to);
    return Math.min(until, problem.horizon, session?.to ?? Number.POSITIVE_INFINITY);
  });
  return demand.hangs
    .flatMap((hangs, patient) =>
      hangs.map(({ bath, minute }, n): Wanted => {
        const over = Math.min(hangs[n + 1]?.minute ?? Number.POSITIVE_INFINITY, ends[patient]!(minute));
        return { patient, bath, round: roundAt(minute), minute, minutes: Math.min(over - minute, longest) };
      }),
    )
    .sort((a, b) => a.minute - b.minute || a.patient - b.patient);
}

/** Numbers of the patients for whom a bag round brings bags of a bath, whoever goes without; in the order of the list. */
export function bedsServed(problem: Problem, demand: Demand): (bath: number, round: number) => number[] {
  const brought = broughtBy(problem, demand);
  return (bath, round) =>
    [...new Set(brought(bath, round).map(({ patient }) => patient))].sort((a, b) => a - b);
}

function shareOf(sharing: Sharing, { patients }: Problem): Share {
  switch (sharing) {
    case 'need':
      return (wanted, missing) => wanted.slice(wanted.length - missing);
    case 'equal':
      return equalShare();
    case 'rotation':
      return inTurn(patients.length);
    case 'priority': {
      const classes = priorityClasses(patients.map(({ priority }) => priority)).map(
        ({ name, patients: members }) => ({ name, members: new Set(members) }),
      );
      const equal = new Map(classes.map(({ name }) => [name, equalShare()]));
      return (wanted, missing) => {
        let left = missing;
        // The last class gives up first.
        return classes.toReversed().flatMap(({ name, members }) => {
          const own = wanted.filter(({ patient }) => members.has(patient));
          const given = Math.min(left, own.length);
          left -= given;
          return equal.get(name)!(own, given);
        });
      };
    }
  }
}

/** Beds by class, in the order of the classes' labels (1 before 2 before 10, A before B); those without one come last. */
export function priorityClasses(
  priorities: readonly (string | null)[],
): { readonly name: string | null; readonly patients: readonly number[] }[] {
  const names = [...new Set(priorities)].sort((a, b) =>
    a === null ? 1 : b === null ? -1 : a.localeCompare(b, 'en', { numeric: true }),
  );
  return names.map((name) => ({
    name,
    patients: priorities.flatMap((one, patient) => (one === name ? [patient] : [])),
  }));
}

/**
 * Each bed gives up the same share of the bags it should have had so far: the one furthest below its share gives up the
 * next bag (ties: who is listed first). Over all rounds no bed is a whole bag from its share for long.
 */
function equalShare(): Share {
  /** By patient: bags given up less those owed, so far. */
  const ahead = new Map<number, number>();
  return (wanted, missing) => {
    const own = byPatient(wanted);
    for (const [patient, bags] of own)
      ahead.set(patient, (ahead.get(patient) ?? 0) - (missing * bags.length) / Math.max(1, wanted.length));
    return take(own, missing, (able) => {
      let least = Number.POSITIVE_INFINITY;
      for (const patient of able) least = Math.min(least, ahead.get(patient)!);
      const next = able.find((patient) => ahead.get(patient)! <= least + 1e-9)!;
      ahead.set(next, ahead.get(next)! + 1);
      return next;
    });
  };
}

/** Beds give up a bag in the order of the list, one after the other, and go on where the round before ended. */
function inTurn(patients: number): Share {
  let next = 0;
  return (wanted, missing) =>
    take(byPatient(wanted), missing, (able) => {
      const distance = (patient: number) => (patient - next + patients) % patients;
      const chosen = able.reduce((a, b) => (distance(b) < distance(a) ? b : a));
      next = (chosen + 1) % patients;
      return chosen;
    });
}

/** Each bed's bags in order of time, beds as listed. */
const byPatient = (wanted: readonly Wanted[]): Map<number, Wanted[]> =>
  grouped(
    [...wanted].sort((a, b) => a.patient - b.patient || a.minute - b.minute),
    ({ patient }) => patient,
  );

/** So many bags, one after the other from the bed that is chosen among those that still have one, its last one first. */
function take(
  own: Map<number, Wanted[]>,
  missing: number,
  choose: (able: readonly number[]) => number,
): Wanted[] {
  const able = [...own.keys()];
  return Array.from({ length: missing }, () => {
    const chosen = choose(able);
    const bags = own.get(chosen)!;
    const last = bags.pop()!;
    if (bags.length === 0) able.splice(able.indexOf(chosen), 1);
    return last;
  });
}

/** What one bed goes without, under one way of sharing. */
interface BedShort {
  readonly patient: number;
  readonly bags: number;
  /** Hours of therapy without dialysate, were all other bags hung as they are due. */
  readonly hours: number;
  /** Minutes: when the first of them would be hung, and when the last would end. Other bags hang in between. */
  readonly from: number;
  readonly to: number;
  /** By round, in order of time. */
  readonly rounds: readonly { readonly round: number; readonly bags: number; readonly hours: number }[];
}

/** The beds that go without, in the order of the list. */
export function bedsShort(missed: readonly MissedBag[]): BedShort[] {
  const sum = (list: readonly MissedBag[]) => list.reduce((total, { minutes }) => total + minutes, 0) / 60;
  return [...byPatient(missed)].map(([patient, own]) => ({
    patient,
    bags: own.length,
    hours: sum(own),
    from: Math.min(...own.map(({ minute }) => minute)),
    to: Math.max(...own.map(({ minute, minutes }) => minute + minutes)),
    rounds: [...grouped(own, ({ round }) => round)].map(([round, mine]) => ({
      round,
      bags: mine.length,
      hours: sum(mine),
    })),
  }));
}
