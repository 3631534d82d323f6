import type { Problem } from '../../scenario/problem/types.ts';
import { Occupancy, STRIDE } from './occupancy.ts';
import { DUTY, FILL, NEVER, type Occurrence, TEST, type Work } from './work.ts';

/** Places tried at most before the duties count as not to be placed. */
const MOST_TRIED = 200_000;

/** An occurrence of a duty for which there is no valid place, so that no plan can be made. */
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
  if (hands.from(DUTY, occurrence, start, minutes) !== start) return 'too few technicians are free';
  if (machine >= 0 && duties.machineFrom(machine, start, minutes) !== start)
    return 'another duty is at its machine';
  if (!alone && worksAt(held, one, start)) return 'its machine or source is in use';
  if (!flows.feedsDuty(occurrence, start, start + minutes)) return 'its water source gives too little';
  if (water >= 0 && drawsElsewhere(held, one, start)) return 'another duty draws water from its source';
  return null;
}

/** Whether something is booked at its machine, or runs on its source or tests it, while it would be done. */
function worksAt({ ops, count, problem }: Occupancy, one: Occurrence, start: number): boolean {
  const end = start + one.minutes;
  if (one.machine < 0 && one.water < 0) return false;
  for (let i = 0; i < count; i++) {
    const at = i * STRIDE;
    const kind = ops[at]!;
    const place = ops[at + 1]!;
    if (kind > TEST || ops[at + 3]! >= end || ops[at + 4]! <= start) continue;
    if (one.machine >= 0 ? kind !== TEST && place === one.machine : kind === TEST && place === one.water)
      return true;
    if (one.water >= 0 && kind <= FILL && problem.machines[place]!.water === one.water) return true;
  }
  return false;
}

function drawsElsewhere({ duties }: Occupancy, { water, minutes }: Occurrence, start: number): boolean {
  return duties.all.some(
    (other, k) =>
      other.machine >= 0 &&
      other.source === water &&
      other.flow > 0 &&
      duties.start[k]! < start + minutes &&
      duties.end(k) > start,
  );
}

/**
 * Books every occurrence of every duty that is not booked yet: those with the fewest places left first, each at its
 * wanted minute or the first one that will do; where one finds none, those before it are placed otherwise.
 * @param wanted when an occurrence should begin, by its number; undefined: as soon as may be
 * @throws DutyFault
 */
export function placeDuties(held: Occupancy, wanted?: (occurrence: number) => number | undefined): void {
  const { duties } = held;
  const open = duties.all.flatMap((_, k) => (duties.start[k]! >= NEVER ? k : []));
  if (open.length === 0) return;
  const free = (k: number) => startsOf(held, k, wanted?.(k));
  const places = new Map(open.map((k) => [k, free(k).length]));
  const order = open.sort(
    (a, b) => places.get(a)! - places.get(b)! || duties.all[a]!.due - duties.all[b]!.due,
  );
  const work: Work = { kind: DUTY, place: 0, bath: -1, segment: -1 };
  const saved = held.count;
  let tried = 0;
  let furthest = -1;
  let fault: DutyFault | null = null;
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
    if (n > furthest) fault = faultOf(held, k);
    furthest = Math.max(furthest, n);
    left.length = n;
    n = related(held, order, n);
    if (n < 0 || tried > MOST_TRIED) throw fault!;
    held.undoTo(saved + n);
    left.length = n + 1;
  }
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
function startsOf(held: Occupancy, occurrence: number, wanted: number | undefined): number[] {
  const { from, latest } = held.duties.all[occurrence]!;
  const starts: number[] = [];
  for (let start = from; start <= latest; start++)
    if (obstacleTo(held, occurrence, start) === null) starts.push(start);
  const at = wanted === undefined ? -1 : starts.indexOf(wanted);
  return at > 0 ? [starts[at]!, ...starts.slice(0, at), ...starts.slice(at + 1)] : starts;
}

function faultOf(held: Occupancy, occurrence: number): DutyFault {
  const { problem, duties } = held;
  const { duty, due, from } = duties.all[occurrence]!;
  const obstacle = obstacleTo(held, occurrence, from) ?? 'other duties leave it no time';
  return new DutyFault(problem.duties[duty]!.id, problem.clock.localOf(due), obstacle);
}

/** Why no plan can be made of a problem: a duty that finds no place; null where all do. */
export function dutyFaultOf(problem: Problem): DutyFault | null {
  try {
    placeDuties(new Occupancy(problem));
    return null;
  } catch (error) {
    if (error instanceof DutyFault) return error;
    throw error;
  }
}
