import type { Demand } from '../../demand/demand.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import type { Floor } from './floor.ts';
import { type Decider, FULL, type Line, type Segment } from './segment.ts';
import { circuitsThere, plainTemper, type Temper } from './temper.ts';

/**
 * A rule of thumb with an eye on what is coming: stay with a bath until its needs are met or another one can wait no
 * longer; take a new bath when the circuit is new. Writes down what it decided as lines.
 */
export class RuleOfThumb implements Decider {
  bath = 0;
  fresh = false;
  stay = false;
  notBefore = 0;
  readonly hold = 0;
  segment = 0;
  temper: Temper;
  readonly lines: { -readonly [K in keyof Segment]: Segment[K] }[][];
  private readonly problem: Problem;
  private readonly floor: Floor;
  /** Parts wanted from fills, by bath and round: what stock and deliveries leave. The last entry is the reserve. */
  private readonly wanted: number[][];
  private readonly dueAt: number[];
  /** What is made for a round, or for the reserve, must be good until then. */
  private readonly goodTo: number[];
  private readonly made: Float64Array;
  private readonly dead: Uint8Array;
  private readonly waited: Float64Array;
  private readonly circuit: number[];
  private readonly rounds: number;
  private readonly circuits: number;
  private renewals = 0;
  /** Of the bath asked for last: bags begun sooner would expire before the first need that wants them ends. */
  private opens = 0;

  constructor(problem: Problem, demand: Demand, floor: Floor, leftByStock: readonly (readonly number[])[]) {
    this.problem = problem;
    this.floor = floor;
    this.temper = plainTemper(problem, 120);
    this.rounds = problem.rounds.length;
    this.wanted = demand.bags.map((_, b) => [
      ...leftByStock[b]!,
      Math.ceil(problem.reserve[b]! * problem.bagParts),
    ]);
    this.dueAt = [...problem.rounds.map((round) => round.at), problem.horizon];
    this.goodTo = [...problem.rounds.map((round) => round.to), problem.horizon + MINUTES_A_DAY];
    this.circuits = circuitsThere(problem);
    this.made = new Float64Array(problem.baths.length);
    const machines = problem.machines.length;
    this.lines = problem.machines.map(() => []);
    this.dead = new Uint8Array(machines * problem.baths.length);
    this.waited = new Float64Array(machines);
    this.circuit = problem.machines.map(() => -1);
  }

  reset(): void {
    this.made.fill(0);
    this.dead.fill(0);
    this.waited.fill(-1);
    this.renewals = 0;
    for (const line of this.lines) line.length = 0;
    this.circuit.forEach((_, m) => {
      this.circuit[m] = this.floor.circuitSince(m);
    });
  }

  /**
   * Minutes that a bath can wait before some round or the reserve would miss it, given the machines that run it
   * already. Parts made count at once; what was due before and missed is lost. Also sets `opens`.
   */
  private slack(b: number, machine: number, at: number): number {
    const { rules, machines, bagParts } = this.problem;
    const { shortest, usable } = machines[machine]!;
    const cycle = shortest + rules.swapMinutes;
    const soonest = at + cycle + rules.releaseMinutes;
    let pool = this.made[b]!;
    let helpers = 0;
    for (let i = 0; i < machines.length; i++)
      if (i !== machine && this.floor.runs(i) === b && this.lines[i]!.length > 0) helpers += 1;
    let slack = Number.POSITIVE_INFINITY;
    this.opens = -1;
    const wanted = this.wanted[b]!;
    for (let r = 0; r <= this.rounds; r++) {
      pool -= wanted[r]!;
      if (pool >= 0) continue;
      const due = this.dueAt[r]!;
      if (due < soonest) {
        pool = 0;
        continue;
      }
      if (this.opens < 0) this.opens = Math.max(0, this.goodTo[r]! - rules.shelf - shortest);
      const fills = Math.ceil(-pool / (usable * bagParts));
      const latest = due - rules.releaseMinutes - (fills * cycle) / Math.max(1, helpers);
      if (latest - at < slack) slack = latest - at;
    }
    return slack;
  }

  next(machine: number, at: number): boolean {
    const { patience, loyal, rest, early, bias, uses } = this.temper;
    if (!uses[machine]) return false;
    const { machines, rules, staff, horizon } = this.problem;
    const { shortest, baths } = machines[machine]!;
    const runs = this.floor.runs(machine);
    const life = this.floor.lifeLeft(machine, at);
    const ends = Math.min(horizon - 1, at + life);
    const renew = runs >= 0 && life < early[machine]! && staff[at]! > staff[ends]!;
    const current = !renew && life >= shortest + rules.swapMinutes ? runs : -1;
    let best = -1;
    let least = Number.POSITIVE_INFINITY;
    let own = Number.POSITIVE_INFINITY;
    let bestOpens = 0;
    let ownOpens = 0;
    for (const b of baths) {
      if (this.dead[machine * this.made.length + b]) continue;
      const slack = this.slack(b, machine, at) + bias[b]!;
      if (b === current) {
        own = slack;
        ownOpens = this.opens;
        continue;
      }
      if (slack < least) {
        least = slack;
        best = b;
        bestOpens = this.opens;
      }
    }
    this.bath = current;
    if (best < 0 && own === Number.POSITIVE_INFINITY) return false;
    if (
      current < 0 ||
      own === Number.POSITIVE_INFINITY ||
      (least < patience && least < own - loyal[machine]!)
    )
      this.bath = best;
    if (this.bath < 0) return false;
    this.fresh = renew;
    this.notBefore = 0;
    const until = Math.max(
      this.bath === current ? ownOpens : bestOpens,
      current < 0 ? this.supplyLasts() : 0,
    );
    const wait = Math.min(least, own) - rest[machine]!;
    if (until > at) this.notBefore = until;
    else if (current < 0 && wait > 0 && this.waited[machine]! < at) this.notBefore = Math.ceil(at + wait);
    if (this.notBefore > 0) this.waited[machine] = this.notBefore;
    return this.notBefore < horizon;
  }

  /** First minute at which the pace allows another new circuit. */
  private supplyLasts(): number {
    const early = this.renewals + 1 - this.temper.pace;
    return early > 0 && Number.isFinite(this.circuits)
      ? Math.ceil((early * this.problem.horizon) / Math.max(1, this.circuits))
      : 0;
  }

  placed(machine: number, done: boolean): void {
    if (!done) {
      this.dead[machine * this.made.length + this.bath] = 1;
      return;
    }
    this.made[this.bath]! += this.problem.machines[machine]!.usable * this.problem.bagParts;
    const line = this.lines[machine]!;
    const last = line.at(-1);
    const renewed = this.floor.circuitSince(machine) !== this.circuit[machine];
    this.circuit[machine] = this.floor.circuitSince(machine);
    if (renewed) this.renewals += 1;
    const rested = this.waited[machine]! >= 0;
    if (last && renewed && !this.fresh) {
      last.toEnd = true;
      last.fills = FULL;
    }
    if (last && last.bath === this.bath && !rested && !renewed) last.fills += 1;
    else
      line.push({
        bath: this.bath,
        fills: 1,
        toEnd: false,
        fresh: this.fresh,
        notBefore: rested ? Math.max(0, this.waited[machine]!) : 0,
      });
    this.waited[machine] = -1;
  }

  /** A copy of what was decided. */
  taken(): Line[] {
    return this.lines.map((line) => line.map((segment) => ({ ...segment })));
  }
}
