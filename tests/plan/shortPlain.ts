import { type Demand, roundFinder } from '../../src/demand/demand.ts';
import type { Cover } from '../../src/plan/cover.ts';
import { type MissedBag, priorityClasses, type Sharing } from '../../src/plan/short.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';

type Wanted = MissedBag;
type Share = (wanted: readonly Wanted[], missing: number) => readonly Wanted[];

/** Who goes without, each bag looked for among all: plain and slow, beside `missedBy` for drawn units. */
export function missedBags(
  problem: Problem,
  demand: Demand,
  unmet: Cover['unmet'],
  sharing: Sharing,
): MissedBag[] {
  const share = shareOf(sharing, problem);
  const wanted = wantedBags(problem, demand);
  const missed = problem.rounds.flatMap(({ index: round }) =>
    problem.baths.flatMap((_, bath) => {
      const missing = Math.ceil(unmet[bath]![round]! / problem.bagParts - 1e-9);
      const own = wanted.filter((one) => one.round === round && one.bath === bath);
      return missing > 0 ? share(own, Math.min(missing, own.length)) : [];
    }),
  );
  return [...missed].sort((a, b) => a.minute - b.minute || a.patient - b.patient);
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

function shareOf(sharing: Sharing, { patients }: Problem): Share {
  switch (sharing) {
    case 'need':
      return (wanted, missing) => wanted.slice(wanted.length - missing);
    case 'equal':
      return equalShare();
    case 'rotation':
      return inTurn(patients.length);
    case 'priority': {
      const classes = priorityClasses(patients.map(({ priority }) => priority));
      const equal = new Map(classes.map(({ name }) => [name, equalShare()]));
      return (wanted, missing) => {
        let left = missing;
        // The last class gives up first.
        return classes.toReversed().flatMap(({ name, patients: members }) => {
          const own = wanted.filter(({ patient }) => members.includes(patient));
          const given = Math.min(left, own.length);
          left -= given;
          return equal.get(name)!(own, given);
        });
      };
    }
  }
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
      const least = Math.min(...able.map((patient) => ahead.get(patient)!));
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
function byPatient(wanted: readonly Wanted[]): Map<number, Wanted[]> {
  const own = new Map<number, Wanted[]>();
  for (const one of [...wanted].sort((a, b) => a.patient - b.patient || a.minute - b.minute))
    own.set(one.patient, [...(own.get(one.patient) ?? []), one]);
  return own;
}

/** So many bags, one after the other from the bed that is chosen among those that still have one, its last one first. */
function take(
  own: Map<number, Wanted[]>,
  missing: number,
  choose: (able: readonly number[]) => number,
): Wanted[] {
  return Array.from({ length: missing }, () => {
    const able = [...own].flatMap(([patient, bags]) => (bags.length > 0 ? [patient] : []));
    return own.get(choose(able))!.pop()!;
  });
}
