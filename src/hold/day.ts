import type { Activity } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { Floor } from './floor.ts';
import { beginnings, type Chance, type Variation } from './variation.ts';

/** What came of a plan on one day like no other. */
export interface Played {
  /** What was done, at the minutes at which it was done; of fills those whose bags may serve. */
  readonly done: readonly Activity[];
  /** Of each activity of the plan how late it began, min; null: it was not done. */
  readonly late: readonly (number | null)[];
}

/** Of one activity, told by its number in the plan: so much later than it could have been, min. */
export type Delay = (index: number) => number;

export interface PlayOptions {
  /** Further minutes of single activities, to ask what they would cost. */
  readonly delay?: Delay;
  /** min; what begins from then on is not played. */
  readonly until?: number;
  /** Hears what happens, as somebody would note it. */
  readonly tell?: (event: DayEvent) => void;
}

/** What somebody would note of a day, at minute `at`. */
export type DayEvent = { readonly at: number } & (
  | { readonly is: 'fill' | 'stop'; readonly machine: string }
  | { readonly is: 'off'; readonly machine: string; readonly good: boolean }
  | { readonly is: 'test'; readonly water: string; readonly passed: boolean }
  /** Begins, to be in place at `until`. */
  | { readonly is: 'set-up'; readonly one: SetUp; readonly until: number }
  /** A set-up is cut off: what is on the machine may not be used. */
  | { readonly is: 'cut'; readonly machine: string }
  | { readonly is: 'down'; readonly machine: string; readonly until: number }
  | { readonly is: 'duty'; readonly duty: string; readonly place: string | null }
);
interface DayMeans extends Required<PlayOptions> {
  readonly problem: Problem;
  readonly activities: readonly Activity[];
  readonly variation: Variation;
  readonly chance: Chance;
}

type Fill = Activity & { readonly kind: 'fill' };
type SetUp = Activity & { readonly kind: 'circuit' | 'bath' };
interface Running {
  readonly index: number;
  readonly one: Activity;
  readonly start: number;
  /** min at which it ends; a fill's is when its swap begins, not known before */
  end: number;
  /** Of a fill: its bags are full, and overfull after. */
  readonly full: number;
  readonly overfull: number;
  swapDue: number;
  /** How late somebody comes for its bags, min. */
  readonly comesLate: number;
  lost: boolean;
}

/** So many numbers drawn at once, told one by one; more are drawn when they are asked for. */
function drawn(chance: Chance, count: number): Chance {
  const numbers = Array.from({ length: Math.ceil(count) }, chance);
  let next = 0;
  return () => numbers[next++] ?? chance();
}

/** One day, minute by minute. */
export class Day {
  private readonly floor: Floor;
  private late: (number | null)[];
  private readonly done: Activity[] = [];
  /** Fills whose bags came off. */
  private readonly finished: Running[] = [];
  /** By machine, then by source, then the duties of no place: numbers of activities in their order. */
  private lines: number[][];
  private readonly running: (Running | null)[];
  private readonly circuitEnd: number[];
  private readonly lastPass: (number | null)[];
  /** Fills since the last test that passed, by source. */
  private readonly untested: Running[][];
  private readonly again: boolean[];
  private readonly downFrom: number[][];
  private readonly downUntil: number[];

  private readonly problem: Problem;
  private activities: readonly Activity[];
  private readonly variation: Variation;
  /** What befalls the fills of each machine, and each test of a source, in their order: the same ones in any plan of that day. */
  private readonly fillLuck: Chance[];
  private readonly testLuck: Chance[];
  private readonly delay: Delay;
  private readonly until: number;
  private readonly tell: (event: DayEvent) => void;
  /** When a technician is called away, min. */
  readonly awayFrom: readonly number[];

  constructor({ problem, activities, variation, chance, delay, until, tell }: DayMeans) {
    this.problem = problem;
    this.activities = activities;
    this.variation = variation;
    this.delay = delay;
    this.until = until;
    this.tell = tell;
    const { machines, water, horizon, now } = problem;
    this.late = activities.map(() => null);
    this.floor = new Floor(problem);
    this.awayFrom = beginnings(variation.away, horizon, chance);
    for (const from of this.awayFrom) this.floor.away(from, variation.away.minutes);
    this.lines = this.queued(Number.NEGATIVE_INFINITY);
    this.running = this.lines.map(() => null);
    this.circuitEnd = machines.map(({ loaded }) => (loaded ? loaded.since + problem.rules.circuitLife : 0));
    this.lastPass = water.map(({ lastTest }) => lastTest);
    this.untested = water.map(() => []);
    this.again = water.map(() => false);
    // What went down before now is known, and back or not as the problem says.
    this.downFrom = machines.map(() =>
      beginnings(variation.down, horizon, chance).filter((from) => from >= now),
    );
    this.downUntil = machines.map(() => -1);
    const days = until / 1440;
    this.fillLuck = machines.map(({ shortest }) => drawn(chance, (2 * until) / Math.max(1, shortest)));
    this.testLuck = water.map(({ testEvery }) => drawn(chance, 20 * days + (2 * until) / testEvery));
  }

  /** The activities of each line from a minute on, by number, in their order. */
  private queued(from: number): number[][] {
    const { machines, water, now } = this.problem;
    const { activities } = this;
    const places = [...machines.map(({ id }) => `m ${id}`), ...water.map(({ id }) => `w ${id}`), ''];
    const lineOf = new Map(places.map((place, line) => [place, line]));
    const lines: number[][] = places.map(() => []);
    const order: number[] = [];
    activities.forEach(({ start }, index) => {
      if (start >= from && start < this.until) order.push(index);
    });
    order.sort((a, b) => activities[a]!.start - activities[b]!.start);
    for (const index of order) {
      const one = activities[index]!;
      // A swap comes with its fill; one under way is over with its own end.
      if (one.kind === 'swap' && (one.start >= now || one.end <= now)) continue;
      const at =
        'machine' in one && one.machine != null ? `m ${one.machine}` : 'water' in one ? `w ${one.water}` : '';
      lines[lineOf.get(at) ?? places.length - 1]!.push(index);
    }
    return lines;
  }

  /** From a minute on the day follows another plan; what is under way goes on, a fill to the end that this one has for it. */
  follow(activities: readonly Activity[], t: number): void {
    this.activities = activities;
    this.late = activities.map(() => null);
    this.lines = this.queued(t);
    this.again.fill(false);
    for (const running of this.running) {
      if (running?.one.kind !== 'fill') continue;
      const { one, start, full, comesLate } = running;
      const same = activities.find(
        (other) => other.kind === 'fill' && other.start === start && other.machine === (one as Fill).machine,
      );
      if (same) running.swapDue = Math.max(full, same.end) + comesLate;
    }
  }

  /** Set-ups, tests and duties under way, with their real begins. */
  get underWay(): Activity[] {
    return this.running.flatMap((running) => {
      if (!running || running.one.kind === 'fill' || running.one.kind === 'swap') return [];
      return [{ ...running.one, start: running.start, end: running.end } as Activity];
    });
  }

  /** Whether something should have begun so many minutes ago, and could not. */
  isBehind(t: number, minutes: number): boolean {
    return this.lines.some((line) => line[0] !== undefined && this.activities[line[0]]!.start + minutes <= t);
  }

  play(): Played {
    for (let t = this.problem.now; t < this.until; t++) this.minute(t);
    return this.played();
  }

  minute(t: number): void {
    this.breaks(t);
    this.ends(t);
    this.overdue(t);
    this.begins(t);
  }

  /** What has come of it by now. */
  played(): Played {
    const fills = this.finished.flatMap((one) =>
      one.lost ? [] : [{ ...one.one, start: one.start, end: one.end } as Activity],
    );
    return { done: [...this.done, ...fills], late: this.late };
  }

  private get machines(): number {
    return this.problem.machines.length;
  }

  /** Machines that go down lose what they do. */
  private breaks(t: number): void {
    this.downFrom.forEach((minutes, m) => {
      if (minutes[0] === undefined || minutes[0] > t) return;
      minutes.shift();
      this.downUntil[m] = Math.max(this.downUntil[m]!, t + this.variation.down.minutes);
      const one = this.running[m];
      const machine = this.problem.machines[m]!.id;
      if (one?.one.kind === 'fill') this.tell({ is: 'stop', machine, at: t });
      this.tell({ is: 'down', machine, at: t, until: this.downUntil[m]! });
      // Its water is off while bags come off: they are full, and the circuit stays.
      if (!one || one.one.kind === 'duty' || one.one.kind === 'swap') return;
      this.floor.draw(this.problem.machines[m]!.water, -this.problem.machines[m]!.flow);
      this.running[m] = null;
      // A set-up that was cut off leaves no circuit that may be used.
      if (one.one.kind === 'fill') return;
      this.circuitEnd[m] = 0;
      this.tell({ is: 'cut', machine, at: t });
    });
  }

  private ends(t: number): void {
    // The swap whose bags are overfull first goes first.
    const full: { readonly one: Running; readonly line: number }[] = [];
    this.running.forEach((one, line) => {
      if (one?.one.kind === 'fill' && one.swapDue <= t) full.push({ one, line });
    });
    full.sort((a, b) => a.one.overfull - b.one.overfull);
    for (const { one, line } of full) this.swap(one, line, t);
    this.running.forEach((one, line) => {
      if (!one || one.end > t) return;
      this.running[line] = null;
      if (one.one.kind === 'test') this.tested(one, line - this.machines, t);
      else if (one.one.kind === 'circuit' || one.one.kind === 'bath') {
        const { water, flow } = this.problem.machines[line]!;
        this.floor.draw(water, -flow);
      } else if (one.one.kind === 'duty')
        this.tell({
          is: 'duty',
          duty: one.one.duty,
          place: one.one.machine ?? one.one.water ?? null,
          at: t,
        });
    });
  }

  private swap(one: Running, m: number, t: number): void {
    const { rules, machines } = this.problem;
    if (!this.floor.free(t, rules.swapMinutes, rules.hands.swap)) return;
    this.floor.take(t, rules.swapMinutes, rules.hands.swap);
    const { water, flow } = machines[m]!;
    this.floor.draw(water, -flow);
    const fill = one.one as Fill;
    const swap = { kind: 'swap', machine: fill.machine, start: t, end: t + rules.swapMinutes } as const;
    // The machine is free when the bags are off.
    this.running[m] = { ...one, one: swap, end: swap.end };
    if (t > one.overfull) one.lost = true;
    one.end = t;
    this.tell({ is: 'off', machine: fill.machine, good: !one.lost, at: t });
    this.finished.push(one);
  }

  private tested(one: Running, w: number, t: number): void {
    this.done.push({ ...one.one, start: one.start, end: t } as Activity);
    this.again[w] = this.testLuck[w]!() < this.variation.testFails;
    this.tell({ is: 'test', water: this.problem.water[w]!.id, passed: !this.again[w], at: t });
    if (!this.again[w]) {
      this.lastPass[w] = t;
      this.untested[w] = this.untested[w]!.filter((fill) => this.running.includes(fill));
      return;
    }
    this.lastPass[w] = null;
    for (const fill of this.untested[w]!) fill.lost = true;
    this.running.forEach((running, m) => {
      if (running?.one.kind !== 'fill' || this.problem.machines[m]!.water !== w) return;
      // Stopped: its bags are taken off and held back.
      this.floor.draw(w, -this.problem.machines[m]!.flow);
      this.running[m] = null;
      this.tell({ is: 'stop', machine: this.problem.machines[m]!.id, at: t });
    });
    this.untested[w] = [];
  }

  /** Water that runs on a test that no longer holds makes bags that nobody lets go. */
  private overdue(t: number): void {
    this.running.forEach((one, m) => {
      if (one?.one.kind !== 'fill') return;
      const w = this.problem.machines[m]!.water;
      const pass = this.lastPass[w] ?? null;
      if (pass === null || t > pass + this.problem.water[w]!.testEvery) one.lost = true;
    });
  }

  private begins(t: number): void {
    const { water, rules } = this.problem;
    for (let w = 0; w < water.length; w++) {
      const line = this.machines + w;
      if (
        this.again[w] &&
        !this.running[line] &&
        this.floor.free(t, water[w]!.testMinutes, rules.hands.test)
      ) {
        this.floor.take(t, water[w]!.testMinutes, rules.hands.test);
        const test = { kind: 'test', water: water[w]!.id, start: t, end: t + water[w]!.testMinutes } as const;
        this.running[line] = this.run(-1, test, t, test.end);
      }
      this.next(line, t);
    }
    for (let m = 0; m < this.machines; m++) this.next(m, t);
    this.next(this.lines.length - 1, t);
  }

  /** The next of a line begins if it may. */
  private next(line: number, t: number): void {
    const queue = this.lines[line]!;
    while (queue.length > 0 && !this.running[line]) {
      const index = queue[0]!;
      const one = this.activities[index]!;
      if (one.start < this.problem.now) {
        queue.shift();
        this.goesOn(index, one, line);
        continue;
      }
      if (one.start + this.delay(index) > t) return;
      const may = this.may(one, line, t);
      if (may === 'wait') return;
      queue.shift();
      if (may === 'no') continue;
      this.late[index] = t - one.start;
      this.begin(index, one, line, t);
    }
  }

  /** What began before now is under way: it ends as it would have. */
  private goesOn(index: number, one: Activity, line: number): void {
    const { now, machines, rules } = this.problem;
    this.late[index] = 0;
    if (one.end <= now) return;
    if (one.kind !== 'fill' && one.kind !== 'duty')
      this.floor.take(now, one.end - now, rules.hands[one.kind]);
    this.running[line] = this.run(index, one, one.start, one.end);
    if (one.kind === 'test' || one.kind === 'duty' || one.kind === 'swap') return;
    const { water, flow, shortest, longest } = machines[line]!;
    this.floor.draw(water, flow);
    if (one.kind === 'circuit') this.circuitEnd[line] = one.start + rules.circuitLife;
    if (one.kind !== 'fill') return;
    const fill = {
      ...this.running[line],
      end: Number.POSITIVE_INFINITY,
      full: one.start + shortest,
      overfull: one.start + longest,
      swapDue: Math.max(one.end, one.start + shortest),
    };
    this.running[line] = fill;
    this.untested[water]!.push(fill);
  }

  private run(index: number, one: Activity, t: number, end: number): Running {
    const never = Number.POSITIVE_INFINITY;
    return {
      index,
      one,
      start: t,
      end,
      full: never,
      overfull: never,
      swapDue: never,
      comesLate: 0,
      lost: false,
    };
  }

  private begin(index: number, one: Activity, line: number, t: number): void {
    const { rules, machines } = this.problem;
    const length = one.end - one.start;
    if (one.kind === 'test') {
      this.floor.take(t, length, rules.hands.test);
      this.running[line] = this.run(index, one, t, t + length);
    } else if (one.kind === 'duty') {
      const duty = this.problem.duties.find(({ id }) => id === one.duty)!;
      this.floor.take(t, length, duty.technicians);
      this.running[line] = this.run(index, one, t, t + length);
      if (duty.endsCircuit && line < this.machines) this.circuitEnd[line] = 0;
      if (duty.voidsTests && line >= this.machines && line < this.lines.length - 1)
        this.lastPass[line - this.machines] = null;
      this.done.push({ ...one, start: t, end: t + length });
    } else if (one.kind === 'fill') this.fill(index, one as Fill, line, t);
    else {
      const { water, flow } = machines[line]!;
      this.floor.take(t, length, one.kind === 'circuit' ? rules.hands.circuit : rules.hands.bath);
      this.floor.draw(water, flow);
      this.running[line] = this.run(index, one, t, t + length);
      if (one.kind === 'circuit') this.circuitEnd[line] = t + rules.circuitLife;
      this.done.push({ ...one, start: t, end: t + length });
      this.tell({ is: 'set-up', one: one as SetUp, until: t + length, at: t });
    }
  }

  private fill(index: number, one: Fill, m: number, t: number): void {
    const { machines, rules } = this.problem;
    const { shortest, longest, water, flow } = machines[m]!;
    const luck = this.fillLuck[m]!;
    const slow = 1 + luck() * this.variation.slower;
    const full = t + Math.ceil(shortest * slow - 1e-9);
    const late = Math.floor(luck() * (this.variation.swapLate + 1));
    const swapDue = Math.max(full, one.end) + late;
    const running: Running = {
      index,
      one,
      start: t,
      end: Number.POSITIVE_INFINITY,
      full,
      overfull: t + Math.floor(longest * slow + 1e-9),
      swapDue,
      comesLate: late,
      lost: false,
    };
    this.tell({ is: 'fill', machine: one.machine, at: t });
    if (rules.fillStartMinutes > 0) this.floor.take(t, rules.fillStartMinutes, 1);
    this.floor.draw(water, flow);
    this.running[m] = running;
    this.untested[water]!.push(running);
  }

  private may(one: Activity, line: number, t: number): 'yes' | 'wait' | 'no' {
    const { rules } = this.problem;
    const length = one.end - one.start;
    if (one.kind === 'test') return this.floor.free(t, length, rules.hands.test) ? 'yes' : 'wait';
    if (one.kind === 'duty') {
      const duty = this.problem.duties.find(({ id }) => id === one.duty);
      if (!duty || t > one.at + duty.slack) return 'no';
      if (line >= this.machines && this.sourceRuns(line - this.machines)) return 'wait';
      return this.floor.free(t, length, duty.technicians) ? 'yes' : 'wait';
    }
    return one.kind === 'swap' ? 'no' : this.mayRun(one, line, t);
  }

  /** Whether water of a source runs through a machine. */
  private sourceRuns(source: number): boolean {
    const flows = (one: Running | null) => one !== null && one.one.kind !== 'swap' && one.one.kind !== 'duty';
    return this.problem.machines.some(({ water }, m) => water === source && flows(this.running[m] ?? null));
  }

  /** Whether water may run through a machine now, for a fill or a set-up. */
  private mayRun(one: Activity & { readonly bath: string }, m: number, t: number): 'yes' | 'wait' | 'no' {
    const { rules, machines, water, horizon } = this.problem;
    const { windows, shortest, water: w, flow } = machines[m]!;
    const length = one.kind === 'fill' ? shortest + rules.swapMinutes : one.end - one.start;
    if (t + length > horizon) return 'no';
    const least = one.kind === 'fill' ? shortest : length;
    // A later circuit of the line brings its own life: this fill is left out for it.
    if (one.kind !== 'circuit' && t + least > this.circuitEnd[m]!) return 'no';
    if (!windows.some(({ from, to }) => from <= t && t + least <= to))
      return windows.some(({ from, to }) => from > t && to - from >= least) ? 'wait' : 'no';
    if (this.downUntil[m]! > t || this.running[this.machines + w]?.one.kind === 'duty') return 'wait';
    const pass = this.lastPass[w] ?? null;
    if (pass === null || t > pass + water[w]!.testEvery) return 'wait';
    if (!this.floor.gives(w, t, flow)) return 'wait';
    const hands =
      one.kind === 'fill'
        ? rules.fillStartMinutes > 0
          ? 1
          : 0
        : rules.hands[one.kind as 'circuit' | 'bath'];
    const minutes = one.kind === 'fill' ? rules.fillStartMinutes : length;
    return this.floor.free(t, minutes, hands) ? 'yes' : 'wait';
  }
}
