import type { Activity } from '../../plan/plan.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { Occupancy } from './occupancy.ts';
import { BATH, CIRCUIT, FILL, NEVER as LATE, SWAP, type Work } from './work.ts';

/** A set-up needs hands all the time; a fill none. */
export type Run = { kind: 'circuit' | 'bath' | 'fill'; bath: number; start: number; minutes: number };

/** No time will do. */
export const NEVER = Number.POSITIVE_INFINITY;

/** When a run may begin and must be done. */
export interface Span {
  readonly from: number;
  /** Last start. */
  readonly latest: number;
  /** Of a fill: its swap, entered with it, ends by then. Default: any time. */
  readonly swapBy?: number;
}

const KIND = { circuit: CIRCUIT, bath: BATH, fill: FILL } as const;
/** Times as people who write plans down compare them: no time is later than any. */
const orNever = (minute: number): number => (minute >= LATE ? NEVER : minute);

/**
 * Writes a plan down run after run, in any order, each with its swap and the tests it needs, where there is room (V1 to
 * V10). Every entry can be taken back, down to a mark. Times in minutes from the start.
 */
export class Clerk {
  readonly problem: Problem;
  private readonly held: Occupancy;
  private readonly work: Work = { kind: CIRCUIT, place: 0, bath: -1, segment: -1 };
  private readonly swap: Work = { kind: SWAP, place: 0, bath: -1, segment: -1 };

  /** @param now no test that is put in begins before this minute */
  constructor(problem: Problem, now = 0) {
    this.problem = problem;
    this.held = new Occupancy(problem);
    this.held.now = now;
  }

  get activities(): Activity[] {
    return this.held.activities();
  }

  /** Technician minutes of all that is entered. */
  get handsOn(): number {
    return this.held.handsOn;
  }

  mark(): number {
    return this.held.count;
  }

  backTo(mark: number): void {
    this.held.undoTo(mark);
  }

  /**
   * Enters a run at the first start of its span at which it and the tests it needs are possible.
   * @returns the run, or null when there is none
   */
  enter(
    machine: number,
    kind: Run['kind'],
    bath: number,
    { from, latest, swapBy = NEVER }: Span,
  ): Run | null {
    const { rules } = this.problem;
    const m = this.problem.machines[machine]!;
    let start = from;
    while (start <= latest) {
      const minutes = kind === 'fill' ? this.fillMinutes(machine, start) : this.setUpMinutes(kind);
      if (minutes < 0) {
        start = -minutes;
        continue;
      }
      if (kind === 'fill' && start + minutes + rules.swapMinutes > swapBy) return null;
      const run = { kind, bath, start, minutes };
      const next = Math.max(this.roomFrom(machine, run), this.suppliedFrom(machine, run));
      if (next > start) {
        start = next;
        continue;
      }
      const mark = this.mark();
      this.assume(machine, run);
      const untested = this.held.ensureTests(m.water, start, start + minutes);
      if (untested < 0) return run;
      this.backTo(mark);
      start = orNever(this.held.nextTestEnd(m.water, untested));
    }
    return null;
  }

  private setUpMinutes(kind: 'circuit' | 'bath'): number {
    const { circuitMinutes, bathMinutes } = this.problem.rules;
    return kind === 'circuit' ? circuitMinutes : bathMinutes;
  }

  /**
   * Enters a run of a plan that was made before, with its swap and the tests it still needs, at its own minutes.
   * @returns false, with nothing entered, when it no longer fits there
   */
  take(machine: number, run: Run): boolean {
    const { held } = this;
    const { swapMinutes } = this.problem.rules;
    const { shortest, longest, water } = this.problem.machines[machine]!;
    const { kind, start, minutes } = run;
    const end = start + minutes;
    if (kind === 'fill') {
      if (minutes < shortest || minutes > longest || held.hands.nextStaffed[start] !== start) return false;
      if (held.windows.from(machine, end, swapMinutes) !== end) return false;
      if (held.hands.from(end, swapMinutes) !== end) return false;
    } else if (minutes !== this.setUpMinutes(kind)) return false;
    if (this.roomFrom(machine, run) !== start) return false;
    if (this.suppliedFrom(machine, run) !== start) return false;
    const mark = this.mark();
    this.assume(machine, run);
    if (held.ensureTests(water, start, end) < 0) return true;
    this.backTo(mark);
    return false;
  }

  /** Enters a run as history: unasked, without tests. */
  assume(machine: number, { kind, bath, start, minutes }: Run): void {
    const { held, work, swap } = this;
    const end = start + minutes;
    work.kind = KIND[kind];
    work.place = machine;
    work.bath = bath;
    held.commit(work, start, end);
    if (kind !== 'fill') return;
    swap.place = machine;
    held.commit(swap, end, end + this.problem.rules.swapMinutes);
  }

  /** Enters a test of a plan that was made before; false when there are no hands for it. `asked` false: as history. */
  takeTest(source: number, start: number, asked = true): boolean {
    const { testMinutes } = this.problem.water[source]!;
    if (asked && (start < 0 || this.held.hands.from(start, testMinutes) !== start)) return false;
    this.held.commitTest(source, start);
    return true;
  }

  /** The first end of a swap's wait: length of a fill from `start` whose swap finds hands, or minus the next start to try. */
  private fillMinutes(machine: number, start: number): number {
    const { hands, windows } = this.held;
    const { shortest, longest }: Machine = this.problem.machines[machine]!;
    const { swapMinutes } = this.problem.rules;
    const { horizon } = this.problem;
    if (start >= horizon) return -NEVER;
    const staffed = hands.nextStaffed[start]!;
    if (staffed > start) return -orNever(staffed);
    let end = start + shortest;
    for (;;) {
      if (end + swapMinutes > horizon) return -NEVER;
      const next = Math.max(windows.from(machine, end, swapMinutes), hands.from(end, swapMinutes));
      if (next <= end) break;
      end = next;
    }
    return end - start <= longest ? end - start : -(end - longest);
  }

  /** The first start from the run's own on at which window, water and, for a set-up, hands may do; NEVER if none. */
  private roomFrom(machine: number, { kind, start, minutes }: Run): number {
    const { hands, windows, flows } = this.held;
    const window = windows.from(machine, start, minutes);
    if (window > start) return orNever(window);
    const flow = flows.from(machine, start, start + minutes);
    if (flow > start) return orNever(flow);
    return kind === 'fill' ? start : orNever(hands.from(start, minutes));
  }

  private suppliedFrom(machine: number, { kind, bath, start, minutes }: Run): number {
    const { work } = this;
    work.kind = KIND[kind];
    work.place = machine;
    work.bath = bath;
    return orNever(this.held.stores.spared(work, minutes, start));
  }
}
