import { mersenne } from 'pure-rand/generator/mersenne';

/** A seeded source of chance for the search; same seed, same draws. */
export interface Chance {
  /** A number in [0, 1). */
  unit(): number;
  /** A whole number in 0..below-1. */
  below(limit: number): number;
}

export function chanceOf(seed: number): Chance {
  const generator = mersenne(seed);
  const unit = () => (generator.next() >>> 0) / 4294967296;
  return { unit, below: (limit) => Math.floor(unit() * limit) };
}
