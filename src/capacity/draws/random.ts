import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of chance: numbers in [0, 1). */
export type Chance = () => number;

/** What a stream is for. Streams of one draw are independent, so a change in one leaves the others as they were. */
export const STREAM = { listed: 1, newcomers: 1_000, breakdown: 10_000, absence: 100_000 } as const;

/** The finaliser of MurmurHash3 (Austin Appleby, public domain): every input bit moves every output bit. */
function mix(value: number): number {
  let x = value | 0;
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
  return x ^ (x >>> 16);
}

const DISCARDED = 8;

/**
 * The stream of one purpose in one draw; it depends on nothing but its three arguments, so it does not matter which
 * worker asks, or in which order. All three are mixed into the whole 128-bit state and the first outputs are thrown
 * away, since this generator's first output is close to 1 for every small start value.
 */
export function chanceOf(seed: number, draw: number, stream: number): Chance {
  const state: number[] = [];
  // A seed may have more than 32 bits; all of them count.
  let word = mix(mix(seed ^ 0x2545f491) + Math.floor(seed / 4_294_967_296));
  for (let index = 0; index < 4; index++) {
    word = mix(word + Math.imul(draw + 1, 0x9e3779b1) + index);
    word = mix(word + Math.imul(stream + 1, 0x7feb352d));
    state.push(word);
  }
  if (!state.some((part) => part !== 0)) state[0] = 1;
  const generator = xoroshiro128plusFromState(state);
  for (let index = 0; index < DISCARDED; index++) generator.next();
  return () => {
    const high = generator.next() >>> 5;
    return (high * 67_108_864 + (generator.next() >>> 6)) / 9_007_199_254_740_992;
  };
}

/** A standard normal number (Box and Muller 1958, Ann Math Stat 29:610-611; from memory). */
export function normal(chance: Chance): number {
  return Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance());
}

/** An exponential number with mean 1. */
export const exponential = (chance: Chance): number => -Math.log(1 - chance());

/**
 * A gamma number with scale 1 (Marsaglia and Tsang 2000, ACM Trans Math Softw 26:363-372).
 * @param shape above 0
 */
export function gamma(shape: number, chance: Chance): number {
  if (shape < 1) return gamma(shape + 1, chance) * (1 - chance()) ** (1 / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal(chance);
    const v = (1 + c * x) ** 3;
    if (v > 0 && Math.log(1 - chance()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

/**
 * A Poisson number: the exponential gaps that fit into `mean`; large means are cut into parts that add up.
 * @param mean 0 or more
 */
export function poisson(mean: number, chance: Chance): number {
  let count = 0;
  for (let rest = mean; rest > 0; rest -= 30) {
    const limit = Math.exp(-Math.min(rest, 30));
    for (let product = 1 - chance(); product > limit; product *= 1 - chance()) count += 1;
  }
  return count;
}
