import type { Problem } from '../../scenario/problem/types.ts';
import type { Duties } from './duties.ts';

/** Total chlorine tests: when they ended, and which minutes of flow they serve. */
export class Tests {
  /** Ends of tests, in order, by source; the last one before the plan is the first. */
  readonly ends: readonly number[][];
  private readonly problem: Problem;
  private readonly duties: Duties;

  constructor(problem: Problem, duties: Duties) {
    this.problem = problem;
    this.duties = duties;
    this.ends = problem.water.map((w) => (w.lastTest === null ? [] : [w.lastTest]));
  }

  add(w: number, end: number): void {
    const ends = this.ends[w]!;
    let i = ends.length;
    while (i > 0 && ends[i - 1]! > end) i--;
    ends.splice(i, 0, end);
  }

  drop(w: number, end: number): void {
    const ends = this.ends[w]!;
    ends.splice(ends.lastIndexOf(end), 1);
  }

  change(w: number, before: number, end: number): void {
    const ends = this.ends[w]!;
    ends[ends.lastIndexOf(before)] = end;
  }

  /** First minute that a test which ended then no longer serves. */
  servesTo(w: number, end: number): number {
    const old = end + this.problem.water[w]!.testEvery + 1;
    return this.duties.atSource[w]!.length === 0 ? old : Math.min(old, this.duties.voidFrom(w, end));
  }

  /** First minute from `t` on at which none of a source's booked tests holds. */
  untested(w: number, t: number): number {
    const ends = this.ends[w]!;
    let minute = t;
    for (;;) {
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! > minute) i--;
      const served = i < 0 ? minute : this.servesTo(w, ends[i]!);
      if (served <= minute) return minute;
      minute = served;
    }
  }

  /** End of the first test of a source that starts at or after a minute; infinity: none. */
  releaseOf(w: number, minute: number): number {
    const soonest = minute + this.problem.water[w]!.testMinutes;
    const ends = this.ends[w]!;
    let i = ends.length;
    while (i > 0 && ends[i - 1]! >= soonest) i--;
    return ends[i] ?? Number.POSITIVE_INFINITY;
  }
}
