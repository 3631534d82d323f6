import { readdirSync } from 'node:fs';
import { Session } from 'node:inspector/promises';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { Command, InvalidArgumentError } from 'commander';
import { audit } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { movedBetween, movedCount } from '../../src/plan/moved.ts';
import { compareScores, NOTHING_PROVEN, type Score } from '../../src/plan/plan.ts';
import { plan, planByHand, replan } from '../../src/planner/plan.ts';
import { boundsOf } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { generate, type Size } from '../../tests/bench/generate.ts';
import { REAL_UNITS, realUnit } from '../../tests/bench/realUnits.ts';
import { planWithRival } from '../threads/rivalInThread.ts';
import {
  costTable,
  type Edited,
  editsTable,
  type Measured,
  type Moment,
  resultTable,
  summary,
  targetSeconds,
} from './benchText.ts';
import { InputError, loadScenario } from './input.ts';
import { carryOut, whole } from './options.ts';

interface Options {
  readonly quick?: boolean;
  readonly cases?: RegExp;
  readonly curve?: boolean;
  readonly floors?: boolean;
  readonly edits?: number;
  readonly best?: number;
  readonly profile?: boolean;
  readonly tries?: number;
  readonly seconds: number;
  readonly seed: number;
}

const SCENARIOS = fileURLToPath(new URL('../../scenarios', import.meta.url));

interface Case {
  readonly name: string;
  readonly scenario: () => Scenario;
}

const shipped = (): Case[] =>
  readdirSync(SCENARIOS)
    .filter((file) => file.endsWith('.json'))
    .sort()
    .map((file) => ({
      name: path.basename(file, '.json'),
      scenario: () => loadScenario(path.join(SCENARIOS, file)).scenario,
    }));

const generated = (name: string, size: Size): Case => ({ name, scenario: () => generate(size) });

function cases(quick: boolean): Case[] {
  const loads = quick ? [0.8] : [0.6, 0.8, 1, 1.2];
  const seeds = quick ? [1] : [1, 2];
  const drawn = (kind: 'tiny' | 'week' | 'crisis', of: readonly number[]) =>
    loads.flatMap((load) =>
      of.map((seed) => generated(`${kind} ${seed}, load ${load}`, { kind, seed, load })),
    );
  return [
    ...shipped(),
    ...drawn('tiny', seeds),
    ...drawn('week', seeds),
    ...(quick ? REAL_UNITS.slice(0, 1) : REAL_UNITS).map(
      (seed): Case => ({ name: `real unit ${seed}`, scenario: () => realUnit(seed) }),
    ),
    ...(quick ? [] : drawn('crisis', [1])),
  ];
}

/** Patients with machines, water and technicians in proportion: how the cost grows with the size. */
const CURVE = [25, 50, 100, 200, 400];
const onCurve = (patients: number): Case => {
  const machines = Math.ceil(patients / 8);
  return generated(`${patients} patients, ${machines} machines`, {
    kind: 'week',
    seed: 1,
    patients,
    machines,
    water: Math.ceil(machines / 6),
    dayTechnicians: Math.ceil(machines / 3),
    nightTechnicians: Math.ceil(machines / 5),
    variety: 0,
  });
};

/** Three days with the optional fields of the floor, one for each seed. */
const FLOORS = 20;
const floorOf = (seed: number): Size => ({ kind: 'week', seed, days: 3, load: 0.7, floor: true });
/** Schedules tried to compare times: the same with and without the fields. */
const PAIRED_TRIES = 2000;

/** How many times as long the search of a floor takes as that of the same file without the fields, in processor time. */
async function timesLonger(size: Size): Promise<number> {
  const taken = async (scenario: Scenario) => {
    const before = process.cpuUsage();
    await plan(compile(scenario), { tries: PAIRED_TRIES });
    const { user, system } = process.cpuUsage(before);
    return user + system;
  };
  const bare = { ...size, floor: false };
  // Once to warm up, then each the quicker of two.
  await taken(generate(bare));
  const [a, b] = [await taken(generate(size)), await taken(generate(bare))];
  return Math.min(a, await taken(generate(size))) / Math.min(b, await taken(generate(bare)));
}

/** What `timesLonger` says of all floors, in words. */
async function pairedText(): Promise<string> {
  const ratios: number[] = [];
  for (let seed = 0; seed < FLOORS; seed++) ratios.push(await timesLonger(floorOf(seed)));
  ratios.sort((a, b) => a - b);
  const told = (at: number) => ratios[at]!.toFixed(2);
  return `Search time against the same files without the fields of the floor: median ${told(FLOORS >> 1)}, least ${told(0)}, most ${told(FLOORS - 1)} times.`;
}

const seconds = (since: number) => (performance.now() - since) / 1000;

const questionOf = (scenario: Scenario, { seed, seconds: guard, tries }: Options) => ({
  scenario,
  seed,
  seconds: guard,
  ...(tries !== undefined && { tries }),
});

/** The best of searches with one seed after another, until they have taken so many minutes of processor time. */
async function bestOf(minutes: number, scenario: Scenario, options: Options, first: Score): Promise<Score> {
  const problem = compile(scenario);
  const before = process.cpuUsage();
  const taken = () => {
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 60e6;
  };
  let best = first;
  for (let seed = options.seed + 1; taken() < minutes; seed++) {
    const { score } = await planWithRival(problem, questionOf(scenario, { ...options, seed }));
    if (compareScores(score, best) < 0) best = score;
  }
  return best;
}

async function measure({ name, scenario: make }: Case, options: Options): Promise<Measured> {
  const scenario = make();
  const problem = compile(scenario);
  const demand = demandOf(problem);
  const worth = (activities: Parameters<typeof asPlan>[1]): Score =>
    asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 }).score;
  let began = performance.now();
  const byHand = planByHand(problem);
  const byHandSeconds = seconds(began);
  began = performance.now();
  const trace: Moment[] = [];
  const made = await planWithRival(problem, questionOf(scenario, options), ({ score }) => {
    trace.push({ seconds: seconds(began), score });
  });
  const total = seconds(began);
  trace.push({ seconds: total, score: made.score });
  began = performance.now();
  const bound = await boundsOf(problem, demand, { allowed: made.score });
  const boundSeconds = seconds(began);
  const needLitres = demand.bags.flat().reduce((sum, bags) => sum + bags, 0) * problem.rules.fillLitres;
  return {
    name,
    needLitres,
    best: options.best ? await bestOf(options.best, scenario, options, made.score) : null,
    byHand: worth(byHand),
    ours: made.score,
    bound,
    firstSeconds: trace[0]!.seconds,
    targetSeconds: targetSeconds(trace, { ours: made.score, bound, needLitres }, scenario.patients.length),
    seconds: total,
    byHandSeconds,
    boundSeconds,
    violations: audit(problem, made.activities).violations.length + audit(problem, byHand).violations.length,
    remarks: [...made.remarks, ...bound.remarks],
  };
}

/** Whom an edit makes heavier, by how much, kg: every seventh patient in turn, as somebody types down the sheet. */
const EVERY = 7;
const HEAVIER = 8;

/** Plans, then makes one patient heavier after another and plans again each time, from the plan before. */
async function measureEdits(
  { name, scenario: make }: Case,
  edits: number,
  options: Options,
): Promise<Edited> {
  let scenario = make();
  const anew = (of: Scenario) => planWithRival(compile(of), questionOf(of, options));
  let { activities, score } = await anew(scenario);
  const told: Edited['told'][number][] = [];
  for (let edit = 0; edit < edits; edit++) {
    const row = (edit * EVERY) % Math.max(1, scenario.patients.length);
    const patients = scenario.patients.map((patient, n) =>
      n === row ? { ...patient, weight: patient.weight + HEAVIER } : patient,
    );
    scenario = { ...scenario, patients };
    const problem = compile(scenario);
    const began = performance.now();
    const made = await replan(problem, { previous: activities, seed: options.seed });
    told.push({
      seconds: seconds(began),
      moved: movedCount(movedBetween(activities, made.activities)),
      violations: audit(problem, made.activities).violations.length,
    });
    ({ activities, score } = made);
  }
  return { name, told, activities: activities.length, edited: score, anew: (await anew(scenario)).score };
}

/** Runs with the processor's time taken down; tells the functions in which most of it went. */
async function profiled<T>(run: () => Promise<T>): Promise<T> {
  const session = new Session();
  session.connect();
  await session.post('Profiler.enable');
  await session.post('Profiler.start');
  const result = await run();
  const { profile } = await session.post('Profiler.stop');
  session.disconnect();
  const microseconds = new Map<number, number>();
  profile.samples?.forEach((id, index) => {
    microseconds.set(id, (microseconds.get(id) ?? 0) + (profile.timeDeltas?.[index] ?? 0));
  });
  const own = new Map<string, number>();
  for (const { id, callFrame } of profile.nodes) {
    const place = `${callFrame.functionName || '(no name)'}  ${path.basename(callFrame.url)}:${callFrame.lineNumber + 1}`;
    own.set(place, (own.get(place) ?? 0) + (microseconds.get(id) ?? 0));
  }
  process.stdout.write(`\n${costTable(own)}\n`);
  return result;
}

async function run(options: Options): Promise<void> {
  const floors = Array.from({ length: FLOORS }, (_, seed) => generated(`floor ${seed}`, floorOf(seed)));
  const usual = () =>
    options.curve
      ? CURVE.slice(0, options.quick ? 3 : undefined).map(onCurve)
      : cases(options.quick === true);
  const chosen = (options.floors ? floors : usual()).filter(({ name }) => options.cases?.test(name) ?? true);
  if (chosen.length === 0)
    throw new InputError([
      `bench: no case matches ${options.cases}. Expected: part of a name, e.g. --cases week`,
    ]);
  const { edits } = options;
  const each = async <T>(of: (one: Case) => Promise<T>): Promise<T[]> => {
    const work = async () => {
      const done: T[] = [];
      for (const one of chosen) {
        process.stderr.write(`${one.name} ...\n`);
        done.push(await of(one));
      }
      return done;
    };
    return options.profile ? profiled(work) : work();
  };
  let broken: boolean;
  if (edits) {
    const done = await each((one) => measureEdits(one, edits, options));
    process.stdout.write(`${editsTable(done)}\n`);
    broken = done.some(({ told }) => told.some(({ violations }) => violations > 0));
  } else {
    const done = await each((one) => measure(one, options));
    process.stdout.write(`${resultTable(done)}\n${summary(done, options.curve ? CURVE : null)}\n`);
    if (options.floors) process.stdout.write(`${await pairedText()}\n`);
    broken = done.some(({ violations }) => violations > 0);
  }
  if (broken) process.exitCode = 1;
}

const count = whole('a whole number', 0, 999_999_999);
const command = new Command('bench')
  .description(
    'Plans the shipped and some generated scenarios and compares with a plan by hand and the proven bound.',
  )
  .option('--quick', 'few and small cases')
  .option('--cases <pattern>', 'only cases whose name matches, e.g. "week|crisis"', (text) => {
    try {
      return new RegExp(text, 'i');
    } catch {
      throw new InvalidArgumentError('Expected: part of a name or a regular expression.');
    }
  })
  .option('--curve', 'how the cost grows: 25 to 400 patients with machines in proportion')
  .option('--floors', 'twenty drawn floors with walks, breaks, duties and stock at every round')
  .option(
    '--edits <N>',
    'plan again after each of N edited cells: time, activities moved, what it costs',
    count,
  )
  .option('--best <M>', 'also the best of all seeds in M minutes of processor time a case', count)
  .option('--profile', 'also tell in which functions the time goes')
  .option('--tries <N>', 'work allowed for each plan, schedules tried', count)
  .option('--seconds <S>', 'last guard for each plan, s', count, 120)
  .option('--seed <N>', 'seed of the search', count, 1)
  .exitOverride()
  .action(run);
await carryOut(() => command.parseAsync(process.argv), 'The bench');
