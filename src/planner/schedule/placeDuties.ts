import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { assume } from './listing.ts';
import { Occupancy, STRIDE } from './occupancy.ts';
import { DUTY, FILL, NEVER, type Occurrence, TEST, type Work } from './work.ts';

/** Places tried at most before the duties count as not to be placed. */
const MOST_TRIED = 200_000;

/** An occurrence of a duty for which there is no valid place, so that no plan can be made from the start. */
export class DutyFault extends Error {
  /** The duty's id, and when it is due, local. */
  readonly duty: string;
  readonly at: string;
  /** What stands in the way, in words. */
  readonly obstacle: string;

  constructor(duty: string, at: string, obstacle: string) {
    super(
      `Duty ${duty} on ${at.replace('T', ' at ')} has no valid place: ${obstacle}. Expected: more slack, another time, or more technicians.`,
    );
    this.name = 'DutyFault';
    this.duty = duty;
    this.at = at;
    this.obstacle = obstacle;
  }
}

/**
 * What keeps an occurrence from a start; null: nothing does.
 * @param alone nothing but duties is booked at its place by then, so that need not be looked for
 */
export function obstacleTo(held: Occupancy, occurrence: number, start: number, alone = false): string | null {
  const { duties, hands, flows } = held;
  const one = duties.all[occurrence]!;
  const { machine, water, minutes } = one;
  if (!hands.there(DUTY, occurrence, start, minutes)) return 'too few technicians are free';
  if (machine >= 0 && duties.machineFrom(machine, start, minutes) !== start)
    return 'another duty is at its machine';
  if (!alone && worksAt(held, one, start)) return 'its machine or source is in use';
  if (!flows.feedsDuty(occurrence, start, start + minutes)) return 'its water source gives too little';
  if (water >= 0 && drawsElsewhere(held, one, start)) return 'another duty draws water from its source';
  return null;
}

/** Whether something is booked at its machine, or runs on its source or tests it, while it would be done. */
const worksAt = (held: Occupancy, one: Occurrence, start: number): boolean =>
  worksWithin(held, one, start, start + one.minutes).length > 0;

/** What is booked at its machine, or runs on its source or tests it, between two minutes. */
function worksWithin(
  { ops, count, problem }: Occupancy,
  one: Occurrence,
  start: number,
  end: number,
): { readonly from: number; readonly to: number }[] {
  const found: { from: number; to: number }[] = [];
  if (one.machine < 0 && one.water < 0) return found;
  for (let i = 0; i < count; i++) {
    const at = i * STRIDE;
    const kind = ops[at]!;
    const place = ops[at + 1]!;
    const from = ops[at + 3]!;
    const to = ops[at + 4]!;
    if (kind > TEST || from >= end || to <= start) continue;
    if (
      (one.machine >= 0 ? kind !== TEST && place === one.machine : kind === TEST && place === one.water) ||
      (one.water >= 0 && kind <= FILL && problem.machines[place]!.water === one.water)
    )
      found.push({ from, to });
  }
  return found;
}

function drawsElsewhere({ duties }: Occupancy, { water, minutes }: Occurrence, start: number): boolean {
  for (const one of duties.drawing[water]!)
    if (duties.start[one]! < start + minutes && duties.end(one) > start) return true;
  return false;
}

/** An occurrence that found no place, and what stands in its way. */
interface LeftOut {
  readonly duty: string;
  /** Minute at which it is due. */
  readonly due: number;
  readonly obstacle: string;
}

/**
 * Books every occurrence of every duty that is not booked yet: those with the fewest places left first, each at its
 * wanted minute or the first one that will do; where one finds none, those before it are placed otherwise. What finds
 * none then is left out, and the others are placed without it.
 * @param wanted when an occurrence should begin, by its number; undefined: when it is due
 */
export function placeDuties(held: Occupancy, wanted?: (occurrence: number) => number | undefined): LeftOut[] {
  const { duties, problem } = held;
  const open = duties.all.flatMap((_, k) => (duties.start[k]! >= NEVER ? k : []));
  if (open.length === 0) return [];
  const free = (k: number) => startsOf(held, k, wanted?.(k) ?? duties.all[k]!.due);
  const places = new Map(open.map((k) => [k, free(k).length]));
  const order = open.sort(
    (a, b) => places.get(a)! - places.get(b)! || duties.all[a]!.due - duties.all[b]!.due,
  );
  const leftOut: LeftOut[] = [];
  for (;;) {
    const stuck = placedInOrder(held, order, free);
    if (!stuck) return leftOut;
    const { duty, due } = duties.all[stuck.occurrence]!;
    leftOut.push({ duty: problem.duties[duty]!.id, due, obstacle: stuck.obstacle });
    order.splice(order.indexOf(stuck.occurrence), 1);
  }
}

/** Books occurrences in an order, or none of them. Returns the one that got furthest and found no place; null: all have one. */
function placedInOrder(
  held: Occupancy,
  order: readonly number[],
  free: (occurrence: number) => number[],
): { occurrence: number; obstacle: string } | null {
  const { duties } = held;
  const work: Work = { kind: DUTY, place: 0, bath: -1, segment: -1 };
  const saved = held.count;
  let tried = 0;
  let furthest = -1;
  let stuck = { occurrence: -1, obstacle: '' };
  /** Starts still to try, by place in the order. */
  const left: number[][] = [];
  for (let n = 0; n < order.length; ) {
    const k = order[n]!;
    left[n] ??= free(k);
    const start = left[n]!.shift();
    if (start !== undefined) {
      tried += 1;
      work.place = k;
      held.commit(work, start, start + duties.all[k]!.minutes);
      n += 1;
      continue;
    }
    if (n > furthest)
      stuck = {
        occurrence: k,
        obstacle: obstacleTo(held, k, duties.all[k]!.from) ?? 'other duties leave it no time',
      };
    furthest = Math.max(furthest, n);
    left.length = n;
    n = related(held, order, n);
    if (n < 0 || tried > MOST_TRIED) {
      held.undoTo(saved);
      return stuck;
    }
    held.undoTo(saved + n);
    left.length = n + 1;
  }
  return null;
}

/** The last one before it in the order that may stand in its way: near in time, or at the same place; -1: none. */
function related({ duties }: Occupancy, order: readonly number[], n: number): number {
  const one = duties.all[order[n]!]!;
  for (let i = n - 1; i >= 0; i--) {
    const other = duties.all[order[i]!]!;
    if (other.from < one.latest + one.minutes + WALKED && other.latest + other.minutes + WALKED > one.from)
      return i;
  }
  return -1;
}

/** Longer than anybody walks, min. */
const WALKED = 240;

/** Minutes at which an occurrence may begin as things are booked, the wanted one first. */
function startsOf(held: Occupancy, occurrence: number, wanted: number): number[] {
  const one = held.duties.all[occurrence]!;
  const { from, latest, minutes } = one;
  // Looked for once for all its starts: a crisis has thousands of things booked.
  const works = worksWithin(held, one, from, latest + minutes);
  const starts: number[] = [];
  for (let start = from; start <= latest; start++)
    if (
      !works.some((work) => work.from < start + minutes && work.to > start) &&
      obstacleTo(held, occurrence, start, true) === null
    )
      starts.push(start);
  const at = starts.indexOf(wanted);
  return at > 0 ? [starts[at]!, ...starts.slice(0, at), ...starts.slice(at + 1)] : starts;
}

/** Why no plan can be made of a problem: a duty that finds no place; null where all do. */
export function dutyFaultOf(problem: Problem): DutyFault | null {
  const [first] = placeDuties(new Occupancy(problem));
  return first ? new DutyFault(first.duty, problem.clock.localOf(first.due), first.obstacle) : null;
}

/** Before a plan from the start: every duty must have a place. @throws DutyFault */
export function askForDuties(problem: Problem): void {
  const fault = dutyFaultOf(problem);
  if (fault) throw fault;
}

/**
 * What a plan of a day under way leaves out: each duty to come that is not among its activities, with its date and what
 * stands in the way beside what has begun and the other duties. A sentence each.
 * @param history what has begun, or must stay
 */
export function leftOutRemarks(
  problem: Problem,
  activities: readonly Activity[],
  history: readonly Activity[],
): string[] {
  const duties = activities.filter(({ kind }) => kind === 'duty');
  const held = new Occupancy(problem);
  assume(held, [...history.filter(({ kind }) => kind !== 'duty'), ...duties]);
  return held.duties.all.flatMap(({ duty, due, from }, k) => {
    if (held.duties.start[k]! < NEVER) return [];
    const obstacle = obstacleTo(held, k, from) ?? 'other duties leave it no time';
    const when = problem.clock.localOf(due).replace('T', ' ');
    return `Decide how ${problem.duties[duty]!.id}, due ${when}, gets done: this plan leaves it out. What is in the way: ${obstacle}.`;
  });
}
