import type { Problem } from '../../scenario/problem/types.ts';
import type { Line, Lines, Segment } from '../schedule/segment.ts';
import type { Chance } from './chance.ts';

/** Segments in one window of a machine, fills in a segment, and pieces of work in a wait: fewer than these. */
const SEGMENTS = 4;
const FILLS = 4;
const PIECES = 3;

/**
 * Lines by chance alone, for plans of a few fills on machines that take turns: what the rule of thumb begins with leads an
 * annealing to the same few plans again and again, however often it is begun.
 */
export function wildLines(problem: Problem, chance: Chance): Lines {
  const { machines, rules, water } = problem;
  const lengths = [
    ...machines.map(({ shortest }) => shortest),
    rules.swapMinutes,
    rules.circuitMinutes,
    rules.bathMinutes,
    ...water.map(({ testMinutes }) => testMinutes),
  ];
  const wait = (): number => {
    let sum = 0;
    for (let n = chance.below(PIECES); n > 0; n--) sum += lengths[chance.below(lengths.length)]!;
    return sum;
  };
  return machines.map(({ windows, baths }): Line => {
    if (baths.length === 0) return [];
    return windows.flatMap(({ from }) =>
      Array.from({ length: chance.below(SEGMENTS) }, (_, k): Segment => {
        const later = k === 0 || chance.below(2) === 0;
        return {
          bath: baths[chance.below(baths.length)]!,
          fills: 1 + chance.below(FILLS - 1),
          toEnd: false,
          fresh: chance.below(4) === 0,
          notBefore: later ? from + wait() : 0,
          hold: chance.below(2) === 0 ? 0 : wait(),
        };
      }),
    );
  });
}
