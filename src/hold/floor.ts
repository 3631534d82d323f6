import type { Problem } from '../scenario/problem/types.ts';

/** What is taken of people and water while a day is played. Minutes from the start, mL/min. */
export class Floor {
  private readonly problem: Problem;
  private readonly busy: Int16Array;
  private readonly drawn: number[];

  constructor(problem: Problem) {
    this.problem = problem;
    this.busy = new Int16Array(problem.horizon + 1);
    this.drawn = problem.water.map(() => 0);
  }

  /** A technician of those on shift is called away. */
  away(from: number, minutes: number): void {
    const { staff, horizon } = this.problem;
    for (let t = from; t < Math.min(horizon, from + minutes); t++) if (staff[t]! > 0) this.busy[t]! += 1;
  }

  free(t: number, minutes: number, hands: number): boolean {
    if (hands === 0 || minutes === 0) return true;
    const { staff, horizon } = this.problem;
    for (let i = t; i < t + minutes; i++) if (i >= horizon || staff[i]! - this.busy[i]! < hands) return false;
    return true;
  }
  take(t: number, minutes: number, hands: number): void {
    for (let i = t; i < Math.min(this.problem.horizon, t + minutes); i++) this.busy[i]! += hands;
  }

  /** Whether a source gives so much more at a minute. */
  gives(water: number, t: number, flow: number): boolean {
    const given = this.problem.water[water]!.capacities.findLast(({ from }) => from <= t)!.capacity;
    return this.drawn[water]! + flow <= given + 1e-9;
  }
  /** @param flow below 0: it ends */
  draw(water: number, flow: number): void {
    this.drawn[water]! += flow;
  }
}
