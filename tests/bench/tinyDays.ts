/**
 * How many tiny worlds of two days the app's pairs of searches plan at their proven optimum:
 * `node --import tsx tests/bench/tinyDays.ts [first seed] [last seed]`. Prints each miss, and CPU s of the slower of each
 * two searches, which the app runs side by side. MEASURED.md tells what was seen.
 */
import { fileURLToPath } from 'node:url';
import { demandOf } from '../../src/demand/demand.ts';
import { compareScores, type Score } from '../../src/plan/plan.ts';
import { contest, plan } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { stepwiseOptimum } from '../planner/search/stepwise.ts';
import { tinyDays } from '../planner/worlds.ts';

/** What the pairs made of a world. `better`: its optimum where they missed it; `seconds` of CPU. */
export interface Tiny {
  readonly score: Score;
  readonly better: ReturnType<typeof stepwiseOptimum>;
  readonly pairs: number;
  readonly seconds: number;
}

const cpu = () => process.cpuUsage().user / 1e6;

/** Plans a world as the app does, but its pairs one after the other, and none after the optimum. */
export async function tinyByPairs(world: number, seed = 1): Promise<Tiny> {
  const problem = compile(tinyDays(world));
  const demand = demandOf(problem);
  let pairs = 0;
  let seconds = 0;
  let best: Score | null = null;
  const { score } = await contest(
    seed,
    async ([own, other]) => {
      pairs += 1;
      const began = cpu();
      const first = await plan(problem, own);
      const between = cpu();
      const second = await plan(problem, other);
      seconds += Math.max(between - began, cpu() - between);
      for (const found of [first.score, second.score])
        if (!best || compareScores(found, best) < 0) best = found;
      return [first, second];
    },
    {
      best: () => stepwiseOptimum(problem, demand, best!) === null,
    },
  );
  return { score, better: stepwiseOptimum(problem, demand, score), pairs, seconds };
}

const told = ({ unmetLitres, unmetLitreHours, handsOnMinutes }: Omit<Score, 'expiredBags'>) =>
  `${unmetLitres}/${Math.round(unmetLitreHours)}/${handsOnMinutes}`;

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [from = 1, to = 110] = process.argv.slice(2).map(Number);
  const all: Tiny[] = [];
  for (let world = from; world <= to; world++) {
    const made = await tinyByPairs(world);
    all.push(made);
    const { score, better, pairs, seconds } = made;
    const cost = `${pairs} pairs, ${seconds.toFixed(1)} s`;
    if (better) console.log(`world ${world}: ${told(score)}, optimum ${told(better)}; ${cost}`);
  }
  const missed = all.filter(({ better }) => better).length;
  const slowest = Math.max(...all.map(({ seconds }) => seconds)).toFixed(1);
  console.log(
    `${all.length - missed} of ${all.length} at their optimum; at most ${slowest} s of CPU for each core`,
  );
}
