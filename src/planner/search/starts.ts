import type { Problem } from '../../scenario/problem/types.ts';
import type { Temper } from '../schedule/temper.ts';
import { chanceOf } from './chance.ts';
import type { Search } from './search.ts';
import { machinesNear, temperBeside, tempersNear } from './tempers.ts';
import type { Watch } from './watch.ts';

/** Times that the best temper is varied at most. */
const REFINED = 3;
/** Then tempers are changed by chance so often, and a dearer one is taken up to about so many minutes more at first. */
const WANDERED = 300;
const WANDER_HOT = 60;
const WANDER_COLD = 1;

/** Looks for a good start: the rule of thumb under many tempers. The search remembers the best schedule met. */
export class Starts {
  private readonly problem: Problem;
  private readonly search: Search;
  private readonly watch: Watch;
  private readonly seen = new Set<string>();
  private temper: Temper | null = null;
  private least = Number.POSITIVE_INFINITY;

  constructor(problem: Problem, search: Search, watch: Watch) {
    this.problem = problem;
    this.search = search;
    this.watch = watch;
  }

  /** Whether one of these is better than any before. */
  tryOut(tempers: readonly Temper[]): boolean {
    const before = this.least;
    for (const one of tempers) {
      const key = JSON.stringify(one);
      if (this.seen.has(key) || (this.temper && this.watch.mustStop())) continue;
      this.seen.add(key);
      const price = this.search.construct(one, this.least);
      if (price >= this.least) continue;
      this.least = price;
      this.temper = one;
    }
    return this.least < before;
  }

  /** Varies the best temper, on other machines and in its other sides, as long as that is better. */
  async refine(): Promise<void> {
    for (let round = 0, better = true; better && round < REFINED; round++) {
      await this.watch.pause();
      better = this.tryOut(machinesNear(this.problem, this.temper!));
      better = this.tryOut(tempersNear(this.problem, this.temper!)) || better;
    }
  }

  /** From temper to temper by chance. */
  async wander(seed: number): Promise<void> {
    const chance = chanceOf(seed);
    let at = this.temper!;
    let { least } = this;
    for (let n = 0; n < WANDERED && !this.watch.mustStop(); n++) {
      if (n % 8 === 0) await this.watch.pause();
      const beside = temperBeside(this.problem, at, chance);
      const heat = WANDER_HOT * (WANDER_COLD / WANDER_HOT) ** (n / WANDERED);
      const most = least + heat * -Math.log(chance.unit() + 1e-300);
      const own = this.search.construct(beside, most);
      if (own > most) continue;
      at = beside;
      least = own;
    }
  }
}
