import type { Activity } from '../../plan/plan.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { activitiesOf, assume } from './listing.ts';
import { Occupancy } from './occupancy.ts';
import { placeDuties } from './placeDuties.ts';
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
    // What has begun need not keep to the minutes that a duty may still be at.
    if (now > 0) this.held.flows.keepAll();
  }

  /** Books the duties that are not booked yet, at wanted minutes where that may be; what finds no place is left out. */
  placeDuties(wanted?: (duty: string, due: number) => number | undefined): void {
    const { held, problem } = this;
    const { all } = held.duties;
    placeDuties(held, (one) => wanted?.(problem.duties[all[one]!.duty]!.id, all[one]!.due));
  }

  /** Books activities as history: unasked. */
  assumeAll(activities: readonly Activity[]): void {
    assume(this.held, activities);
  }

  /**
   * When the bags of a fill that ended then are let go by a test; one is entered, as late as may be, where none ends by a minute.
   * @returns infinity where none can; minus infinity where bags wait for none
   */
  releasedBy(machine: number, filled: number, by: number): number {
    if (!this.problem.rules.releaseAfterTest) return Number.NEGATIVE_INFINITY;
    const { held } = this;
    const { water } = this.problem.machines[machine]!;
    const { testMinutes } = this.problem.water[water]!;
    const known = held.tests.releaseOf(water, filled);
    if (known <= by) return known;
    const start = held.testBefore(water, Math.min(by, this.problem.horizon) - testMinutes);
    if (start < Math.max(held.now, filled)) return known;
    held.commitTest(water, start);
    return start + testMinutes;
  }

  /** When the bags of a fill that ended then are let go by a test that is entered. */
  releaseOf(machine: number, filled: number): number {
    return this.problem.rules.releaseAfterTest
      ? this.held.tests.releaseOf(this.problem.machines[machine]!.water, filled)
      : Number.NEGATIVE_INFINITY;
  }

  get activities(): Activity[] {
    return activitiesOf(this.held);
  }

  /** When a circuit in place since a minute must not be used any more; not a number where none is. */
  lifeEnd(machine: number, since: number): number {
    const { circuitLife } = this.problem.rules;
    return Math.min(since + circuitLife, orNever(this.held.duties.circuitEnds(machine, since)));
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
      const untested = this.booked(machine, run);
      if (untested < 0) return run;
      this.backTo(mark);
      start = Math.max(start + 1, orNever(this.held.nextTestEnd(m.water, untested)));
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
    const { shortest, longest } = this.problem.machines[machine]!;
    const { kind, start, minutes } = run;
    const end = start + minutes;
    if (kind === 'fill') {
      if (minutes < shortest || minutes > longest || this.mannedFrom(machine, start) !== start) return false;
      if (held.windows.from(machine, end, swapMinutes) !== end) return false;
      if (held.hands.from(SWAP, machine, end, swapMinutes) !== end) return false;
    } else if (minutes !== this.setUpMinutes(kind)) return false;
    if (this.roomFrom(machine, run) !== start) return false;
    if (this.suppliedFrom(machine, run) !== start) return false;
    const mark = this.mark();
    if (this.booked(machine, run) < 0) return true;
    this.backTo(mark);
    return false;
  }

  /** Books a run with the tests it needs. Returns -1; or a minute that no test can serve, or at which its hands are taken. */
  private booked(machine: number, run: Run): number {
    const { held } = this;
    const { start, minutes, kind } = run;
    if (held.hands.plain && held.hands.fillStart === 0) {
      this.assume(machine, run);
      return held.ensureTests(this.problem.machines[machine]!.water, start, start + minutes);
    }
    // The set-up's or the swap's own hands first: what walks, or a fill's begin, may take those of the other.
    const end = start + minutes;
    if (kind === 'fill') {
      const { swapMinutes } = this.problem.rules;
      if (held.hands.from(SWAP, machine, end, swapMinutes) !== end) return start;
      this.swap.place = machine;
      held.commit(this.swap, end, end + swapMinutes);
      if (this.mannedFrom(machine, start) !== start) return start;
    }
    this.commitRun(machine, run);
    return held.ensureTests(this.problem.machines[machine]!.water, start, end);
  }

  private commitRun(machine: number, { kind, bath, start, minutes }: Run): void {
    const { work } = this;
    work.kind = KIND[kind];
    work.place = machine;
    work.bath = bath;
    this.held.commit(work, start, start + minutes);
  }

  private mannedFrom(machine: number, start: number): number {
    const { hands } = this.held;
    return hands.fillStart > 0
      ? hands.from(FILL, machine, start, hands.fillStart)
      : (hands.nextStaffed[start] ?? LATE);
  }

  /** Enters a run as history: unasked, without tests. */
  assume(machine: number, run: Run): void {
    const { held, swap } = this;
    const end = run.start + run.minutes;
    this.commitRun(machine, run);
    if (run.kind !== 'fill') return;
    swap.place = machine;
    held.commit(swap, end, end + this.problem.rules.swapMinutes);
  }

  /** Enters a test of a plan that was made before; false when there are no hands for it. `asked` false: as history. */
  takeTest(source: number, start: number, asked = true): boolean {
    if (asked && (start < 0 || this.held.testFrom(source, start) !== start)) return false;
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
    const staffed = this.mannedFrom(machine, start);
    if (staffed > start) return -orNever(staffed);
    let end = start + shortest;
    for (;;) {
      if (end + swapMinutes > horizon) return -NEVER;
      const next = Math.max(
        windows.from(machine, end, swapMinutes),
        hands.from(SWAP, machine, end, swapMinutes),
      );
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
    return kind === 'fill' ? start : orNever(hands.from(KIND[kind], machine, start, minutes));
  }

  private suppliedFrom(machine: number, { kind, bath, start, minutes }: Run): number {
    const { work } = this;
    work.kind = KIND[kind];
    work.place = machine;
    work.bath = bath;
    return orNever(this.held.stores.spared(work, minutes, start));
  }
}
