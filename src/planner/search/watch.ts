import type { PlanOptions } from '../options.ts';

/** Looks after a search on behalf of its caller: the clock, the wish to stop, and what is told meanwhile. */
export class Watch {
  /** What the reader should know of how the plan came about. */
  readonly remarks: string[] = [];
  stopped = false;
  private readonly options: PlanOptions;
  private readonly began: number;

  constructor(options: PlanOptions) {
    this.options = options;
    this.began = options.clock?.() ?? 0;
  }

  /** s since the search began. */
  elapsed(): number {
    return ((this.options.clock?.() ?? 0) - this.began) / 1000;
  }

  mustStop(): boolean {
    const { stop, seconds = Number.POSITIVE_INFINITY } = this.options;
    if (this.stopped) return true;
    const asked = stop?.() === true;
    this.stopped = asked || this.elapsed() > seconds;
    if (asked) this.remarks.push('The search was stopped; the plan is the best found by then.');
    else if (this.stopped)
      this.remarks.push(
        `The clock ended the search after ${Number(seconds.toPrecision(2))} s; the plan is the best found by then.`,
      );
    return this.stopped;
  }

  async pause(): Promise<void> {
    await this.options.pause?.();
  }

  /**
   * Works steps, which yield the share done, to their end, unless the caller or the clock stops them.
   * @param tell told the share done now and then
   */
  async work(steps: Generator<number>, tell: (done: number) => void): Promise<void> {
    let last = 0;
    for (const done of steps) {
      if (this.mustStop()) return;
      if (done - last <= 0.02) continue;
      last = done;
      await this.pause();
      tell(done);
    }
  }
}
