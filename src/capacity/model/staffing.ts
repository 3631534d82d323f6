import type { Problem } from '../../scenario/problem/types.ts';
import { type Deadlines, handsWanted } from './floor.ts';

/** Stretches of minutes with enough technicians on shift for a swap, [from, to, from, to ...], in order. */
export type Open = readonly number[];

interface Segment {
  readonly from: number;
  readonly to: number;
  /** Round whose deadline the swaps of these minutes meet. */
  readonly round: number;
  readonly staff: number;
  readonly bands: readonly number[];
}

/** Stretches of minutes of one staffing and one round. */
function segmentsOf({ shifts, horizon }: Problem, deadlines: Deadlines): Segment[] {
  const cuts = new Set([0, horizon]);
  for (const { from, to } of shifts) for (const at of [from, to]) if (at > 0 && at < horizon) cuts.add(at);
  for (const at of deadlines) if (at > 0 && at < horizon) cuts.add(at);
  const sorted = [...cuts].sort((a, b) => a - b);
  return sorted.slice(0, -1).map((from, index) => {
    const bands = shifts.flatMap((band, n) => (band.from <= from && band.to > from ? [n] : []));
    const round = deadlines.findIndex((deadline, n) => n > 0 && deadline > from);
    const staff = bands.reduce((sum, band) => sum + shifts[band]!.technicians, 0);
    return { from, to: sorted[index + 1]!, round, staff, bands };
  });
}

function openOf(segments: readonly Segment[], staff: ArrayLike<number>, wanted: number): number[] {
  const open: number[] = [];
  segments.forEach(({ from, to }, n) => {
    if (staff[n]! < wanted) return;
    if (open.at(-1) === from) open[open.length - 1] = to;
    else open.push(from, to);
  });
  return open;
}

/** Who is there for each round, less the absent of the run at hand. */
export class Staffing {
  /** Technicians at the start, at least one: so many machines are set up at a time. */
  readonly first: number;
  /** Technician minutes of each round, and minutes in which anybody is there. */
  readonly total: Float64Array;
  readonly minutes: Float64Array;
  open: Open;
  /** Whether absences leave fewer hours with somebody there. */
  openChanged = false;
  readonly #segments: readonly Segment[];
  readonly #now: Int32Array;
  readonly #usual: Open;
  readonly #wanted: number;

  constructor(problem: Problem, deadlines: Deadlines) {
    this.#segments = segmentsOf(problem, deadlines);
    const staff = this.#segments.map((segment) => segment.staff);
    this.#wanted = handsWanted(problem.rules);
    this.#usual = openOf(this.#segments, staff, this.#wanted);
    this.open = this.#usual;
    const { circuit } = problem.rules.hands;
    this.first = Math.max(1, Math.floor((staff[0] ?? 1) / Math.max(1, circuit)));
    this.#now = new Int32Array(this.#segments.length);
    this.total = new Float64Array(problem.rounds.length);
    this.minutes = new Float64Array(problem.rounds.length);
  }

  /** @param absent technicians missing from each band of the problem's shifts */
  begin(absent: ArrayLike<number>): void {
    this.total.fill(0);
    this.minutes.fill(0);
    this.openChanged = false;
    for (let n = 0; n < this.#segments.length; n++) {
      const { from, to, round, staff, bands } = this.#segments[n]!;
      let here = staff;
      for (let b = 0; b < bands.length; b++) here -= absent[bands[b]!] ?? 0;
      if (here < this.#wanted && staff >= this.#wanted) this.openChanged = true;
      this.#now[n] = here;
      if (round <= 0 || here < this.#wanted) continue;
      this.total[round]! += here * (to - from);
      this.minutes[round]! += to - from;
    }
    this.open = this.openChanged ? openOf(this.#segments, this.#now, this.#wanted) : this.#usual;
  }
}
