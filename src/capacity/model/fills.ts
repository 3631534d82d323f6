import type { Machine, Rules, WaterSource } from '../../scenario/problem/types.ts';
import type { Deadlines, MachineDuty } from './floor.ts';
import type { Open } from './staffing.ts';

/** What a machine gets done for each round. */
export interface Work {
  readonly fills: Uint16Array;
  readonly circuits: Uint16Array;
  /** New circuits that were used to the end of their life, and the fills made on them. */
  wornCircuits: number;
  wornFills: number;
}

export const emptyWork = (rounds: number): Work => ({
  fills: new Uint16Array(rounds),
  circuits: new Uint16Array(rounds),
  wornCircuits: 0,
  wornFills: 0,
});

export interface Pace {
  readonly rules: Rules;
  readonly source: WaterSource;
  /** Min by which the first circuit comes late because technicians set up other machines first. */
  readonly wait: number;
  /** The same when technicians come back after hours without any. */
  readonly later: number;
  readonly open: Open;
  readonly deadlines: Deadlines;
  /** What the machine must do besides, in order of time. */
  readonly duties: readonly MachineDuty[];
}

/** One machine that never rests, as far as it has come. */
class Restless {
  /** Min by which the next new circuit comes late. */
  waits: number;
  readonly #pace: Pace;
  readonly #into: Work;
  readonly #cycle: number;
  #at = 0;
  #round = 1;
  #circuitEnd: number;
  #tested: number;
  /** Fills on the present circuit; -1: it is the one in place at the start. */
  #onCircuit = -1;
  #nextDuty = 0;

  constructor({ shortest, loaded }: Machine, pace: Pace, into: Work) {
    this.waits = pace.wait;
    this.#pace = pace;
    this.#into = into;
    this.#cycle = shortest + pace.rules.swapMinutes;
    this.#circuitEnd = loaded ? loaded.since + pace.rules.circuitLife : Number.NEGATIVE_INFINITY;
    this.#tested = pace.source.lastTest ?? Number.NEGATIVE_INFINITY;
  }

  /** Works through minutes with a technician in one window. @returns false: the last deadline has passed */
  work(from: number, to: number): boolean {
    const { source } = this.#pace;
    this.#at = Math.max(this.#at, from);
    for (;;) {
      this.#doDuties();
      if (this.#at > this.#tested + source.testEvery) {
        this.#at += source.testMinutes;
        this.#tested = this.#at;
      }
      const worn = this.#at + this.#cycle > this.#circuitEnd;
      const ready = worn
        ? this.#at + this.waits + this.#pace.rules.circuitMinutes + this.#cycle
        : this.#at + this.#cycle;
      if (ready > to) return true;
      if (worn) this.#renew();
      this.#at = ready;
      // While water runs on, somebody tests it in time beside the machines.
      if (source.testMinutes < source.testEvery) this.#tested = Math.max(this.#tested, this.#at);
      if (!this.#count(worn)) return false;
    }
  }

  /** Duties that are due, or that the next fill would hold up for too long, come first. */
  #doDuties(): void {
    const { duties, rules } = this.#pace;
    for (; this.#nextDuty < duties.length; this.#nextDuty++) {
      const duty = duties[this.#nextDuty]!;
      const worn = this.#at + this.#cycle > this.#circuitEnd;
      const next = this.#at + this.#cycle + (worn ? this.waits + rules.circuitMinutes : 0);
      if (this.#at < duty.at && next <= duty.latest) return;
      // One whose time has passed was done while the machine stood still.
      const start = Math.min(Math.max(this.#at, duty.at), duty.latest);
      this.#at = Math.max(this.#at, start + duty.minutes);
      if (duty.endsCircuit) this.#circuitEnd = Number.NEGATIVE_INFINITY;
      if (duty.voidsTests) this.#tested = Number.NEGATIVE_INFINITY;
    }
  }

  #renew(): void {
    if (this.#onCircuit > 0) {
      this.#into.wornCircuits += 1;
      this.#into.wornFills += this.#onCircuit;
    }
    this.#onCircuit = 0;
    this.#circuitEnd = this.#at + this.waits + this.#pace.rules.circuitLife;
    this.waits = 0;
  }

  /** Counts the fill that is ready now, and the circuit that came with it, for the next round it can serve. */
  #count(fresh: boolean): boolean {
    const { deadlines } = this.#pace;
    while (this.#round < deadlines.length && this.#at > deadlines[this.#round]!) this.#round += 1;
    if (this.#round >= deadlines.length) return false;
    if (this.#onCircuit >= 0) this.#onCircuit += 1;
    this.#into.fills[this.#round]! += 1;
    if (fresh) this.#into.circuits[this.#round]! += 1;
    return true;
  }
}

/**
 * Fills that one machine has ready for each round if it never rests: circuits of full life, the shortest fill and its
 * swap one after the other, nothing outside its windows or without a technician, a water test when the last is too old.
 * @param into fills and new circuits by round; the opening round gets none
 */
export function countFills(machine: Machine, windows: Machine['windows'], pace: Pace, into: Work): void {
  const { rules, open } = pace;
  into.fills.fill(0);
  into.circuits.fill(0);
  into.wornCircuits = 0;
  into.wornFills = 0;
  if (machine.longest < machine.shortest || machine.usable <= 0) return;
  if (rules.circuitMinutes + machine.shortest + rules.swapMinutes > rules.circuitLife) return;
  const restless = new Restless(machine, pace, into);
  let window = 0;
  for (let n = 0; n < open.length; n += 2) {
    const start = open[n]!;
    const stop = open[n + 1]!;
    if (n > 0) restless.waits = pace.later;
    while (window < windows.length && windows[window]!.to <= start) window += 1;
    for (; window < windows.length && windows[window]!.from < stop; window++) {
      const { from, to } = windows[window]!;
      if (!restless.work(Math.max(start, from), Math.min(stop, to))) return;
      if (to >= stop) break;
    }
  }
}
