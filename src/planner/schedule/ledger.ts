import type { Activity } from '../../plan/plan.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';

/** A set-up needs hands all the time; a fill none. */
export type Run = { kind: 'circuit' | 'bath' | 'fill'; bath: number; start: number; minutes: number };

/** No time will do. */
export const NEVER = Number.POSITIVE_INFINITY;

/**
 * What is still free of technicians, water, tests and supplies, minute by minute, while a plan is being written down
 * (planning rules, section 3). Every entry can be taken back, down to a mark. Times in minutes from the start.
 */
export class Ledger {
  readonly activities: Activity[] = [];
  private readonly problem: Problem;
  /** No test that is put in begins before this minute. */
  private readonly floor: number;
  /** Technicians not yet busy, by minute. */
  private readonly free: Int16Array;
  /** The first staffed minute from each minute on. */
  private readonly staffed: Int32Array;
  /** mL/min that run, [source][minute]. */
  private readonly flow: Float64Array[];
  /** How many tests serve each minute, [source][minute]. */
  private readonly tested: Int16Array[];
  /** What will be left of each supply when its next delivery comes, or at the end, by [supply][deliveries before]. */
  private readonly spare: { readonly from: readonly number[]; readonly left: Float64Array }[];
  private readonly undo: (() => void)[] = [];

  constructor(problem: Problem, floor = 0) {
    const { horizon, staff } = problem;
    this.problem = problem;
    this.floor = floor;
    this.free = Int16Array.from(staff);
    this.staffed = new Int32Array(horizon + 1).fill(horizon);
    for (let t = horizon - 1; t >= 0; t--) this.staffed[t] = staff[t]! > 0 ? t : this.staffed[t + 1]!;
    this.flow = problem.water.map(() => new Float64Array(horizon));
    this.tested = problem.water.map(() => new Int16Array(horizon));
    this.spare = problem.supplies.map(({ onHand, deliveries }) => {
      const later = new Set(deliveries.flatMap(({ at }) => (at > 0 && at < horizon ? [at] : [])));
      const from = [0, ...[...later].sort((a, b) => a - b)];
      const there = (by: number) =>
        deliveries.reduce((sum, { at, quantity }) => (at <= by ? sum + quantity : sum), onHand);
      return { from, left: Float64Array.from(from, there) };
    });
    problem.water.forEach(({ lastTest }, source) => {
      if (lastTest !== null) this.serve(source, lastTest, 1);
    });
  }

  mark(): number {
    return this.undo.length;
  }

  backTo(mark: number): void {
    while (this.undo.length > mark) this.undo.pop()!();
  }

  /**
   * Enters a run at the first start in from..latest at which it and the tests it needs are possible.
   * @param swapBy for a fill: its swap, entered with it, ends by this minute
   * @returns the run, or null when there is none
   */
  enter(
    machine: number,
    kind: Run['kind'],
    bath: number,
    from: number,
    latest: number,
    swapBy = NEVER,
  ): Run | null {
    const { rules } = this.problem;
    const m = this.problem.machines[machine]!;
    let start = from;
    while (start <= latest) {
      const minutes =
        kind === 'circuit'
          ? rules.circuitMinutes
          : kind === 'bath'
            ? rules.bathMinutes
            : this.fillMinutes(m, start);
      if (minutes < 0) {
        start = -minutes;
        continue;
      }
      if (kind === 'fill' && start + minutes + rules.swapMinutes > swapBy) return null;
      const run = { kind, bath, start, minutes };
      const next = Math.max(this.roomFrom(m, run), this.suppliedFrom(machine, run));
      if (next > start) {
        start = next;
        continue;
      }
      const mark = this.mark();
      this.book(machine, run);
      const untested = this.test(m.water, start, start + minutes);
      if (untested === null) return run;
      this.backTo(mark);
      start = this.nextTestEnd(m.water, untested);
    }
    return null;
  }

  /**
   * Enters a run of a plan that was made before, with its swap and the tests it still needs, at its own minutes.
   * @returns false, with nothing entered, when it no longer fits there
   */
  take(machine: number, run: Run): boolean {
    const { rules, machines } = this.problem;
    const { windows, shortest, longest, water } = machines[machine]!;
    const { kind, start, minutes } = run;
    const end = start + minutes;
    if (kind === 'fill') {
      if (minutes < shortest || minutes > longest || this.staffed[start] !== start) return false;
      if (inWindow(windows, end, rules.swapMinutes) !== end) return false;
      if (this.handsFrom(end, rules.swapMinutes) !== end) return false;
    } else if (minutes !== (kind === 'circuit' ? rules.circuitMinutes : rules.bathMinutes)) return false;
    if (this.roomFrom(machines[machine]!, run) !== start) return false;
    if (this.suppliedFrom(machine, run) !== start) return false;
    const mark = this.mark();
    this.book(machine, run);
    if (this.test(water, start, end) === null) return true;
    this.backTo(mark);
    return false;
  }

  /** Enters a run as history: unasked, without tests. */
  assume(machine: number, run: Run): void {
    this.book(machine, run);
  }

  /** Enters a test of a plan that was made before; false when there are no hands for it. `asked` false: as history. */
  takeTest(source: number, start: number, asked = true): boolean {
    const { id, testMinutes } = this.problem.water[source]!;
    const end = start + testMinutes;
    if (asked && (start < 0 || this.handsFrom(start, testMinutes) !== start)) return false;
    this.hands(start, end);
    this.serve(source, end, 1);
    this.undo.push(() => this.serve(source, end, -1));
    this.push({ kind: 'test', water: id, start, end });
    return true;
  }

  /** The first end of a swap's wait: length of a fill from `start` whose swap finds hands, or minus the next start to try. */
  private fillMinutes({ windows, shortest, longest }: Machine, start: number): number {
    const { swapMinutes } = this.problem.rules;
    const { horizon } = this.problem;
    if (start >= horizon) return -NEVER;
    if (this.staffed[start]! > start) return this.staffed[start]! >= horizon ? -NEVER : -this.staffed[start]!;
    let end = start + shortest;
    for (;;) {
      if (end + swapMinutes > horizon) return -NEVER;
      const next = Math.max(inWindow(windows, end, swapMinutes), this.handsFrom(end, swapMinutes));
      if (next <= end) break;
      end = next;
    }
    return end - start <= longest ? end - start : -(end - longest);
  }

  /** The first start from the run's own on at which window, water and, for a set-up, hands may do; NEVER if none. */
  private roomFrom(machine: Machine, { kind, start, minutes }: Run): number {
    const window = inWindow(machine.windows, start, minutes);
    if (window > start) return window;
    const flow = this.flow[machine.water]!;
    const most = this.problem.water[machine.water]!.capacity - machine.flow + 1e-9;
    for (let t = start + minutes - 1; t >= start; t--) if (flow[t]! > most) return t + 1;
    return kind === 'fill' ? start : this.handsFrom(start, minutes);
  }

  private handsFrom(start: number, minutes: number): number {
    const end = start + minutes;
    if (end > this.problem.horizon) return NEVER;
    for (let t = end - 1; t >= start; t--) if (this.free[t]! < 1) return t + 1;
    return start;
  }

  private suppliedFrom(machine: number, run: Run): number {
    let from = run.start;
    this.problem.supplies.forEach((supply, index) => {
      if (this.spareFrom(index, run.start) >= this.use(index, machine, run)) return;
      from = Math.max(from, supply.deliveries.find(({ at }) => at > run.start)?.at ?? NEVER);
    });
    return from;
  }

  private use(supply: number, machine: number, { kind, bath, minutes }: Run): number {
    const row = this.problem.supplies[supply]!;
    if (row.bath !== null && row.bath !== bath) return 0;
    const each = kind === 'circuit' ? row.perCircuit : kind === 'fill' ? row.perFill : 0;
    return each + row.perMinute[machine]! * minutes;
  }

  private book(machine: number, run: Run): void {
    const { problem } = this;
    const { start, minutes, kind } = run;
    const { id, water, flow } = problem.machines[machine]!;
    const end = start + minutes;
    this.run(water, start, end, flow);
    this.push({ kind, machine: id, bath: problem.baths[run.bath]!, start, end });
    if (kind === 'fill') {
      this.hands(end, end + problem.rules.swapMinutes);
      this.push({ kind: 'swap', machine: id, start: end, end: end + problem.rules.swapMinutes });
    } else this.hands(start, end);
    problem.supplies.forEach((_, index) => {
      const amount = this.use(index, machine, run);
      if (amount > 0) this.spend(index, start, amount);
    });
  }

  /** Tests as late as may be, so that start..end-1 are served. @returns null, or a minute that no test can serve */
  private test(source: number, start: number, end: number): number | null {
    const { testEvery, testMinutes } = this.problem.water[source]!;
    const tested = this.tested[source]!;
    for (let t = start; t < end; t++) {
      if (tested[t]! > 0) continue;
      const free = (by: number) => this.handsFrom(by - testMinutes, testMinutes) === by - testMinutes;
      let by = t;
      const soonest = Math.max(this.floor + testMinutes, t - testEvery);
      while (by >= soonest && !free(by)) by -= 1;
      if (by < soonest) return t;
      this.takeTest(source, by - testMinutes, false);
    }
    return null;
  }

  /** The first minute after this one at which a further test could end. */
  private nextTestEnd(source: number, minute: number): number {
    const { testMinutes } = this.problem.water[source]!;
    let begin = Math.max(this.floor, minute + 1 - testMinutes);
    for (;;) {
      const next = this.handsFrom(begin, testMinutes);
      if (next === begin) return begin + testMinutes;
      begin = next;
    }
  }

  private serve(source: number, end: number, by: 1 | -1): void {
    const last = Math.min(this.problem.horizon - 1, end + this.problem.water[source]!.testEvery);
    for (let t = Math.max(0, end); t <= last; t++) this.tested[source]![t]! += by;
  }

  private push(activity: Activity): void {
    this.activities.push(activity);
    this.undo.push(() => this.activities.pop());
  }

  private hands(start: number, end: number): void {
    for (let t = start; t < end; t++) this.free[t]! -= 1;
    this.undo.push(() => {
      for (let t = start; t < end; t++) this.free[t]! += 1;
    });
  }

  private run(source: number, start: number, end: number, flow: number): void {
    const line = this.flow[source]!;
    const before = line.slice(start, end);
    for (let t = start; t < end; t++) line[t]! += flow;
    this.undo.push(() => line.set(before, start));
  }

  /** The least that will be left of a supply from a minute on: what is spent later cannot be spent before. */
  private spareFrom(supply: number, start: number): number {
    const { from, left } = this.spare[supply]!;
    let least = Number.POSITIVE_INFINITY;
    for (let n = from.length - 1; n >= 0; n--) {
      least = Math.min(least, left[n]!);
      if (from[n]! <= start) break;
    }
    return least;
  }

  private spend(supply: number, start: number, amount: number): void {
    const { from, left } = this.spare[supply]!;
    const first = Math.max(
      0,
      from.findLastIndex((at) => at <= start),
    );
    const before = left.slice(first);
    for (let n = first; n < left.length; n++) left[n]! -= amount;
    this.undo.push(() => left.set(before, first));
  }
}

/** The first start from `start` on that keeps `minutes` inside one window; NEVER if none. */
function inWindow(windows: Machine['windows'], start: number, minutes: number): number {
  for (const { from, to } of windows) {
    const begin = Math.max(start, from);
    if (begin + minutes <= to) return begin;
  }
  return NEVER;
}
