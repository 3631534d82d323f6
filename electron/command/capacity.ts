import { availableParallelism } from 'node:os';
import { Command } from 'commander';
import type { Compared } from '../../src/capacity/answers/agreement.ts';
import { decidingJobs, PLANNED_SECONDS, plannedWithin } from '../../src/capacity/answers/certainty.ts';
import { offersOf } from '../../src/capacity/answers/offers.ts';
import { orderLists } from '../../src/capacity/answers/orders.ts';
import { type Study, study } from '../../src/capacity/answers/study.ts';
import { specOf } from '../../src/capacity/forecast/forecast.ts';
import { capacityFile } from '../../src/reports/capacityFile.ts';
import { openPool, type Pool } from '../threads/pool.ts';
import { capacityText } from './capacityText.ts';
import { loadScenario } from './input.ts';
import { cancelled, carryOut, progressLine, progressLines, say, whole } from './options.ts';
import { painter } from './tables.ts';

interface Options {
  readonly json?: boolean;
  readonly draws?: number;
  readonly seed?: number;
  readonly threads: number;
  readonly compare?: number;
  readonly orders?: boolean;
}

interface Full {
  readonly compared: readonly Compared[];
  /** Mean time of one full plan. */
  readonly seconds: number;
}

async function compare(
  made: Study,
  pool: Pool,
  count: number | undefined,
  tell: (text: string) => void,
): Promise<Full> {
  const { scenario, seed } = made;
  const jobs = decidingJobs(made);
  const compared = await plannedWithin(
    count === undefined ? jobs : jobs.slice(0, count),
    (job) => pool.compare({ scenario, seed, ...job }),
    {
      threads: pool.threads,
      now: () => performance.now() / 1000,
      seconds: count === undefined ? PLANNED_SECONDS : Number.POSITIVE_INFINITY,
      atLeast: 2,
      onProgress: (done) => tell(`Full plans beside the fast model: ${Math.round(100 * done)} %`),
    },
  );
  const seconds = compared.reduce((sum, one) => sum + one.seconds, 0) / Math.max(1, compared.length);
  return { compared, seconds };
}

async function run(file: string, options: Options): Promise<void> {
  const signal = cancelled();
  const { scenario, warnings } = loadScenario(file);
  for (const line of warnings) say(line);
  const spec = specOf(scenario);
  const progress = options.json ? progressLine() : progressLines();
  const pool = openPool({ threads: options.threads, signal });
  try {
    const began = performance.now();
    const made = await study(scenario, pool.run, {
      draws: options.draws ?? spec.draws,
      seed: options.seed ?? spec.seed,
      onProgress: (done) => progress(`Simulated runs: ${Math.round(100 * done)} %`),
    });
    const seconds = (performance.now() - began) / 1000;
    const { compared, seconds: planSeconds } = await compare(made, pool, options.compare, progress);
    progress('');
    const colour = process.stdout.isTTY === true && !process.env.NO_COLOR;
    const ordered =
      options.orders === false
        ? null
        : await orderLists(scenario, offersOf(scenario), pool.run, {
            draws: made.draws,
            seed: made.seed,
            onProgress: (done) => progress(`What to get: ${Math.round(100 * done)} %`),
          });
    const told = capacityFile({ study: made, compared, ordered, seconds });
    process.stdout.write(
      options.json
        ? `${JSON.stringify(told)}\n`
        : capacityText({ file: told, planSeconds, threads: options.threads }, painter(colour)),
    );
  } catch (error) {
    progress('');
    signal.throwIfAborted();
    throw error;
  } finally {
    await pool.close();
  }
}

const command = new Command('capacity')
  .description(
    'Simulates the patients who are not here yet: how many bags, how many machines, which bottlenecks.',
  )
  .usage('FILE.json [--draws N] [--seed S] [--threads N] [--compare N] [--no-orders] [--json]')
  .argument('<file>', 'scenario file, with or without a forecast')
  .option('--draws <N>', 'simulated runs; default: the forecast says', whole('a whole number', 1, 10_000_000))
  .option(
    '--seed <S>',
    'same seed, same runs; default: the forecast says',
    whole('a whole number', 0, Number.MAX_SAFE_INTEGER),
  )
  .option(
    '--threads <N>',
    'threads; default: one a core. The answer is the same',
    whole('a whole number', 1, 256),
    availableParallelism(),
  )
  .option(
    '--compare <N>',
    'full plans to the minute beside the fast model; default: as many as 20 s allow',
    whole('a whole number', 0, 10_000),
  )
  .option('--no-orders', 'do not look for what to get')
  .option('--json', 'print the answer as one JSON object and nothing else')
  .exitOverride()
  .action(run);
await carryOut(() => command.parseAsync(process.argv), 'The forecast');
