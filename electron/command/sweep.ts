import { availableParallelism } from 'node:os';
import path from 'node:path';
import { Command } from 'commander';
import { makeClock } from '../../src/calendar/clock.ts';
import type { Runner } from '../../src/capacity/answers/job.ts';
import { leversNamed, leversOf } from '../../src/capacity/answers/leverForms.ts';
import { type Lever, together } from '../../src/capacity/answers/levers.ts';
import { type Study, study } from '../../src/capacity/answers/study.ts';
import { specOf } from '../../src/capacity/forecast/forecast.ts';
import type { Route } from '../../src/capacity/region/flow.ts';
import { type RegionAnswer, regionAnswer } from '../../src/capacity/region/region.ts';
import { withError } from '../../src/reports/capacityWords.ts';
import {
  REGION_CAUTION,
  regionText,
  SAVING_HEADS,
  savingCells,
  TRANSFER_HEADS,
  transferCells,
} from '../../src/reports/regionWords.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { CAUTION, FORECAST_CAUTION } from '../../src/words/cautions.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { whenText } from '../../src/words/times.ts';
import { openBroker } from '../threads/broker.ts';
import { openPool } from '../threads/pool.ts';
import { fittedTable, wrapped } from './capacityLayout.ts';
import { InputError, loadScenarios } from './input.ts';
import { cancelled, carryOut, progressLine, say, whole } from './options.ts';
import { loadRegion } from './regionInput.ts';

interface Options {
  readonly json?: boolean;
  readonly variants?: string;
  readonly draws?: number;
  readonly seed?: number;
  readonly broker?: string;
  readonly region?: string;
  readonly threads: number;
}
interface Cell {
  readonly file: string;
  readonly variant: string;
  readonly label: string;
  readonly made: Study;
}

const AS_IS = together([]);
/** Sites x variants under way at once: enough to keep every worker busy, few enough to hold in memory. */
const AT_ONCE = 4;

/** @throws InputError when a name is no lever of the site */
function variantsOf(file: string, scenario: Scenario, wanted: string | undefined): Lever[] {
  const levers = leversOf(scenario);
  if (wanted === undefined) return [AS_IS, ...levers];
  return wanted.split(',').flatMap((part) => {
    const name = part.trim();
    const found = name === AS_IS.id ? [AS_IS] : leversNamed(scenario, name);
    if (!found)
      throw new InputError([
        `${file}: the change "${name}" is not known. Expected: ${[AS_IS, ...levers].map(({ id }) => id).join(', ')}; another number, or a range such as machines-M1-1..4`,
      ]);
    return found;
  });
}

async function sweep(files: readonly string[], options: Options): Promise<void> {
  const signal = cancelled();
  const names = files.map((file) => path.basename(file));
  const sites = loadScenarios(files).map(({ scenario, warnings }, i) => {
    for (const line of warnings) say(line);
    // Two folders may hold a file of one name.
    const name = names.indexOf(names[i]!) === names.lastIndexOf(names[i]!) ? names[i]! : files[i]!;
    return { name, scenario, variants: variantsOf(name, scenario, options.variants) };
  });
  const routes =
    options.region === undefined
      ? null
      : loadRegion(
          options.region,
          sites.map(({ name }) => name),
        );
  const progress = progressLine();
  const pool = options.broker ? null : openPool({ threads: options.threads, signal });
  const broker = options.broker ? await openBroker(options.broker, { signal }) : null;
  const run: Runner = broker?.run ?? pool!.run;
  try {
    const asked = sites.flatMap(({ name, scenario, variants }) =>
      (routes ? [AS_IS] : variants).map((lever) => ({ name, lever, scenario: lever.apply(scenario) })),
    );
    const cells: Cell[] = new Array(asked.length);
    let next = 0;
    let done = 0;
    const work = async () => {
      while (next < asked.length) {
        const mine = next++;
        const { name, lever, scenario } = asked[mine]!;
        const spec = specOf(scenario);
        const made = await study(scenario, run, {
          draws: options.draws ?? spec.draws,
          seed: options.seed ?? spec.seed,
        });
        cells[mine] = { file: name, variant: lever.id, label: lever.label, made };
        done += 1;
        progress(`${done} of ${asked.length} answered`);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, work));
    const region = routes && (await lend(cells, routes, run, progress));
    progress('');
    if (region)
      process.stdout.write(options.json ? `${JSON.stringify(region)}\n` : `${regionPage(region, cells)}\n`);
    else
      process.stdout.write(options.json ? `${JSON.stringify(sweepFile(cells))}\n` : `${sweepText(cells)}\n`);
  } catch (error) {
    progress('');
    signal.throwIfAborted();
    throw error;
  } finally {
    await Promise.allSettled([pool?.close(), broker?.close()]);
  }
}

/** Runs on which lending is worked out. */
const LENT = 500;

type Region = RegionAnswer & {
  readonly format: 'bathtide-region-answer';
  readonly version: 1;
  readonly caution: string;
  readonly draws: number;
  readonly seed: number;
};

/** What the sites could lend each other. @throws InputError for a site without machines */
async function lend(
  cells: readonly Cell[],
  routes: readonly Route[],
  run: Runner,
  progress: (text: string) => void,
): Promise<Region> {
  const bare = cells.filter(({ made }) => made.own === 0);
  if (bare.length > 0)
    throw new InputError(
      bare.map(({ file }) => `${file}: machines: none is listed. Expected: one or more machines`),
    );
  progress('Transfers');
  const draws = Math.min(LENT, ...cells.map(({ made }) => made.draws));
  const { seed } = cells[0]!.made;
  const sites = cells.map(({ file, made }) => ({ name: file, made }));
  return {
    format: 'bathtide-region-answer',
    version: 1,
    caution: `${REGION_CAUTION} ${CAUTION.long} ${FORECAST_CAUTION}`,
    draws,
    seed,
    ...(await regionAnswer(sites, routes, run, { draws, seed })),
  };
}

function regionPage(region: Region, cells: readonly Cell[]): string {
  const { timeZone, start } = cells[0]!.made.scenario;
  const clock = makeClock(timeZone, start);
  const when = (local: string) => whenText(clock, clock.minuteOf(local));
  return [
    wrapped(regionText(region)),
    ...(region.transfers.length > 0
      ? [
          fittedTable(
            TRANSFER_HEADS,
            region.transfers.map((one) => transferCells(one, when)),
            TRANSFER_HEADS.length,
          ),
        ]
      : []),
    fittedTable(SAVING_HEADS, region.savings.map(savingCells), 1),
    ...region.remarks.map((remark) => wrapped(`- ${remark}`, '  ')),
    wrapped(
      `${numberText(region.draws)} simulated runs of each site, seed ${region.seed}, the same before and after.`,
    ),
    wrapped(region.caution),
  ].join('\n');
}

const sweepFile = (cells: readonly Cell[]) => ({
  format: 'bathtide-sweep',
  version: 1,
  caution: `${CAUTION.long} ${FORECAST_CAUTION}`,
  results: cells.map(({ file, variant, made: { draws, seed, rows, smallest, supplied, peak } }) => ({
    file,
    variant,
    draws,
    seed,
    peakCensus: peak,
    machines: rows.map(({ machines, shortageChance, bagsShort, p95BagsShort }) => ({
      machines,
      shortageChance,
      bagsShort,
      p95BagsShort,
    })),
    smallestMachines: smallest,
    smallestMachinesWithSupplies: supplied ? supplied.smallest : smallest,
  })),
});

function sweepText(cells: readonly Cell[]): string {
  const rows = cells.map(
    ({ file, label, made: { draws, own, rows: machines, smallest, supplied, peak } }) => [
      file,
      label,
      numberText(draws),
      numberText(peak.p95, 0),
      `${own}: ${withError(machines[own - 1]?.shortageChance ?? 0, machines[own - 1]?.chanceError ?? 0)}`,
      smallest === null ? 'none' : String(smallest),
      supplied ? (supplied.smallest === null ? 'none' : String(supplied.smallest)) : 'the same',
    ],
  );
  return [
    fittedTable(
      [
        'Site',
        'Change',
        'runs',
        'peak patients',
        'listed: runs short (± error)',
        'machines enough',
        'with unlimited supplies',
      ],
      rows,
      2,
    ),
    wrapped(`${CAUTION.long} ${FORECAST_CAUTION}`),
    wrapped(`${countText(cells.length, 'answer')}. Peak patients: 95 of 100 runs are under it.`),
  ].join('\n');
}

const command = new Command('sweep')
  .description('The capacity question for many sites and variants, on all cores or on several computers.')
  .usage(
    'FILE.json ... [--variants none,dose-20] [--draws N] [--seed S] [--broker redis://HOST:PORT] [--region FILE] [--json]',
  )
  .argument('<files...>', 'scenario files')
  .option(
    '--variants <names>',
    'what-if changes by name, between commas; default: none and each one of the site',
  )
  .option(
    '--draws <N>',
    'simulated runs; default: each forecast says',
    whole('a whole number', 1, 10_000_000),
  )
  .option('--seed <S>', 'default: each forecast says', whole('a whole number', 0, Number.MAX_SAFE_INTEGER))
  .option(
    '--threads <N>',
    'threads, without a broker',
    whole('a whole number', 1, 256),
    availableParallelism(),
  )
  .option('--broker <url>', 'Redis server whose workers draw (npm run worker on each computer)')
  .option('--region <FILE>', 'hours between the sites: what they could lend each other')
  .option('--json', 'print one JSON object and nothing else')
  .exitOverride()
  .action(sweep);
await carryOut(() => command.parseAsync(process.argv), 'The sweep');
