import { availableParallelism } from 'node:os';
import { Command } from 'commander';
import {
  type Agreement,
  agreementOf,
  type Compared,
  comparisons,
} from '../../src/capacity/answers/agreement.ts';
import type { Band } from '../../src/capacity/answers/bands.ts';
import { type Study, study } from '../../src/capacity/answers/study.ts';
import { specOf } from '../../src/capacity/forecast/forecast.ts';
import { CAUTION, FORECAST_CAUTION } from '../../src/words/cautions.ts';
import { openPool, type Pool } from '../threads/pool.ts';
import { capacityText } from './capacityText.ts';
import { loadScenario } from './input.ts';
import { cancelled, carryOut, progressLine, say, whole } from './options.ts';
import { painter } from './tables.ts';

interface Options {
  readonly json?: boolean;
  readonly draws?: number;
  readonly seed?: number;
  readonly threads: number;
  readonly compare?: number;
}

const times = ({ mean, p5, p25, p50, p75, p95 }: Band, factor: number): Band => ({
  mean: mean * factor,
  p5: p5 * factor,
  p25: p25 * factor,
  p50: p50 * factor,
  p75: p75 * factor,
  p95: p95 * factor,
});

/** The one object of `--json` (planning rules, section 6). */
function capacityFile(made: Study, agreement: Agreement, seconds: number) {
  const { scenario, draws, seed, days, rows, smallest } = made;
  const litres = scenario.rules?.fillLitres ?? 6.5;
  const byBath = (bands: readonly Band[], factor: number) =>
    Object.fromEntries(scenario.baths.map(({ id }, bath) => [id, times(bands[bath]!, factor)]));
  return {
    format: 'bathtide-capacity',
    version: 1,
    caution: `${FORECAST_CAUTION} ${CAUTION.long}`,
    draws,
    seed,
    days: days.map(({ day, census, bags }) => ({
      day,
      census,
      bags: byBath(bags, 1),
      litres: byBath(bags, litres),
    })),
    machines: rows.map(({ machines, shortageChance, bagsShort, p95BagsShort }) => ({
      machines,
      shortageChance,
      bagsShort,
      p95BagsShort,
    })),
    smallestMachines: smallest,
    agreement,
    seconds,
  };
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
  const jobs = comparisons(made, count);
  let done = 0;
  const compared = await Promise.all(
    jobs.map(async (job) => {
      const one = await pool.compare({ scenario, seed, ...job });
      done += 1;
      tell(`planned ${done} of ${jobs.length} draws fully`);
      return one;
    }),
  );
  const seconds = compared.reduce((sum, one) => sum + one.seconds, 0) / Math.max(1, jobs.length);
  return { compared, seconds };
}

async function run(file: string, options: Options): Promise<void> {
  const signal = cancelled();
  const { scenario, warnings } = loadScenario(file);
  for (const line of warnings) say(line);
  const spec = specOf(scenario);
  const progress = progressLine();
  const pool = openPool({ threads: options.threads, signal });
  try {
    const began = performance.now();
    const made = await study(scenario, pool.run, {
      draws: options.draws ?? spec.draws,
      seed: options.seed ?? spec.seed,
      onProgress: (done) => progress(`${Math.round(100 * done)} % of the draws`),
    });
    const seconds = (performance.now() - began) / 1000;
    const { compared, seconds: planSeconds } = await compare(made, pool, options.compare, progress);
    progress('');
    const colour = process.stdout.isTTY === true && !process.env.NO_COLOR;
    process.stdout.write(
      options.json
        ? `${JSON.stringify(capacityFile(made, agreementOf(compared), seconds))}\n`
        : capacityText(made, compared, { seconds, planSeconds, threads: options.threads }, painter(colour)),
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
  .description('Draws the patients who are not here yet: how many bags, how many machines, what gives first.')
  .usage('FILE.json [--draws N] [--seed S] [--threads N] [--compare N] [--json]')
  .argument('<file>', 'scenario file, with or without a forecast')
  .option('--draws <N>', 'futures drawn; default: the forecast says', whole('a whole number', 1, 10_000_000))
  .option(
    '--seed <S>',
    'same seed, same draws; default: the forecast says',
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
    'draws that are also planned fully; default by size',
    whole('a whole number', 0, 10_000),
  )
  .option('--json', 'print the answer as one JSON object and nothing else')
  .exitOverride()
  .action(run);
await carryOut(() => command.parseAsync(process.argv), 'The forecast');
