import type { Demand } from '../../demand/demand.ts';
import { MINUTES_A_DAY, type Problem, type Span } from '../../scenario/problem/types.ts';
import { linesOf } from '../schedule/lines.ts';
import type { Lines } from '../schedule/segment.ts';
import { plainTemper } from '../schedule/temper.ts';
import { Search } from './search.ts';

/** Begins of the hours of work that are tried, each so many minutes after the one before. */
const STEP = 120;
/** How soon the rule of thumb changes baths, min. */
const PATIENCE = [120, 480];

/**
 * Where circuits last less than a day: lines of the rule of thumb for machines that work for the life of one circuit a
 * day, all at the same hours, at any hour of the day; all of them, or all but one. Machines that rest together need no
 * tests and leave no circuit half used; in steps of one rest each a search seldom comes there.
 */
export function* dailyStarts(problem: Problem, demand: Demand): Generator<Lines> {
  const { circuitLife } = problem.rules;
  if (circuitLife >= MINUTES_A_DAY) return;
  const { length } = problem.machines;
  const out = length > 1 ? [-1, ...problem.machines.keys()] : [-1];
  for (let from = 0; from < MINUTES_A_DAY; from += STEP)
    for (const m of out) {
      const open = openDaily(problem, from, m);
      const search = new Search(open, demand);
      for (const patience of PATIENCE) {
        search.best = null;
        search.construct(plainTemper(open, patience));
        if (search.best) yield linesOf(problem, search.activities(), 0);
      }
    }
}

/** The problem with machines open from a minute of each day on for as long as a circuit lasts, one of them never. */
function openDaily(problem: Problem, from: number, never: number): Problem {
  const { circuitLife } = problem.rules;
  const cut = (windows: readonly Span[]) => {
    const days = Array.from({ length: Math.ceil(problem.horizon / MINUTES_A_DAY) + 1 }, (_, day) => {
      const begin = from + (day - 1) * MINUTES_A_DAY;
      return windows.map((one) => ({
        from: Math.max(one.from, begin),
        to: Math.min(one.to, begin + circuitLife + problem.rules.swapMinutes),
      }));
    });
    return days.flat().filter((one) => one.from < one.to);
  };
  const machines = problem.machines.map((machine, m) => ({
    ...machine,
    windows: m === never ? [] : cut(machine.windows),
  }));
  return { ...problem, machines };
}
