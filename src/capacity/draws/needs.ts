import type { Scenario } from '../../scenario/schema.ts';
import { type Draw, drawFloor, drawNeed, type Ground, groundBeside, groundOf, needKey } from './draw.ts';

type Need = Omit<Draw, 'absent' | 'down'>;

/** Whole numbers kept in all, of 4 bytes each: 48 MB a thread. */
const MOST_KEPT = 12_000_000;

/**
 * Draws of one scenario and of all that differ from it in machines, hands, water or goods alone: their patients and
 * needs are drawn once and then looked up, for drawing them takes most of a run's time.
 */
export class SharedNeeds {
  readonly #key: string;
  readonly #seed: number;
  readonly #ground: Ground;
  readonly #needs = new Map<number, Need>();
  #kept = 0;

  constructor(scenario: Scenario, seed: number) {
    this.#key = needKey(scenario);
    this.#seed = seed;
    this.#ground = groundOf(scenario);
  }

  isFor(scenario: Scenario, seed: number): boolean {
    return seed === this.#seed && needKey(scenario) === this.#key;
  }

  /** The ground of a scenario that this is for. */
  groundFor(scenario: Scenario): Ground {
    return scenario === this.#ground.scenario ? this.#ground : groundBeside(scenario, this.#ground);
  }

  /** As `drawInto`. */
  drawInto(ground: Ground, index: number, into: Draw): void {
    const known = this.#needs.get(index);
    if (known) {
      into.census.set(known.census);
      into.bagsByDay.set(known.bagsByDay);
      into.need.set(known.need);
    } else {
      drawNeed(ground, this.#seed, index, into);
      this.#kept += into.census.length + into.bagsByDay.length + into.need.length;
      if (this.#kept <= MOST_KEPT)
        this.#needs.set(index, {
          census: into.census.slice(),
          bagsByDay: into.bagsByDay.slice(),
          need: into.need.slice(),
        });
    }
    drawFloor(ground, this.#seed, index, into);
  }
}
