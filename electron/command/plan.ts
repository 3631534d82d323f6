import { Command, CommanderError, InvalidArgumentError } from 'commander';
import { auditPlan } from '../../src/audit/audit.ts';
import type { Activity, Plan } from '../../src/plan/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import { compile, type Problem } from '../../src/scenario/problem.ts';
import { countText, numberText, whenText } from '../../src/sheets/words.ts';
import { openBounds } from './boundsInThread.ts';
import { InputError, loadScenario } from './input.ts';
import { planWithRival } from './rivalInThread.ts';
import { bagsTable, CAUTIONS, needsTable, painter, runSheets, scoreTable } from './tables.ts';

interface Options {
  readonly json?: boolean;
  readonly seconds: number;
  readonly seed: number;
}

const between = (what: string, min: number, max: number, whole: boolean) => (text: string) => {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (!(value >= min && value <= max) || (whole && !Number.isInteger(value)))
    throw new InvalidArgumentError(`Right: ${what} from ${min} to ${max}.`);
  return value;
};

const say = (text: string) => process.stderr.write(`${text}\n`);

const written = (activity: Activity) =>
  activity.kind === 'test'
    ? { kind: activity.kind, water: activity.water, start: activity.start, end: activity.end }
    : {
        kind: activity.kind,
        machine: activity.machine,
        ...('bath' in activity && { bath: activity.bath }),
        start: activity.start,
        end: activity.end,
      };

/** The one object of `--json` (planning rules, section 5): minutes from the scenario's start. */
const planFile = (problem: Problem, { activities, needs, score, bound, seconds }: Plan) => ({
  format: 'bathtide-plan',
  version: 1,
  scenario: problem.title,
  activities: activities.map(written),
  needs: needs.map(({ bath, round, at, bags, litres, unmetLitres }) => ({
    bath,
    round,
    at,
    bags,
    litres,
    unmetLitres,
  })),
  score: {
    unmetLitres: score.unmetLitres,
    reserveShort: score.reserveShort,
    handsOnMinutes: score.handsOnMinutes,
    expiredBags: score.expiredBags,
  },
  bound: { unmetLitres: bound.unmetLitres, handsOnMinutes: bound.handsOnMinutes },
  seconds,
});

function planText(problem: Problem, plan: Plan, colour: boolean): string {
  const paint = painter(colour);
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const unmet = plan.score.unmetLitres;
  const { clock, horizon, patients, machines } = problem;
  return [
    paint('bold', problem.title),
    `${whenText(clock, 0, true)} to ${whenText(clock, horizon, true)}, ${clock.timeZone}; ${countText(patients.length, 'patient')}, ${countText(machines.length, 'machine')}`,
    unmet > 1e-9
      ? paint(['red', 'bold'], `${numberText(unmet)} L of the need stay unmet: see the rounds marked short.`)
      : paint('green', 'Every need is met.'),
    title('Needs and what stays unmet'),
    needsTable(problem, plan, paint),
    title('Bags hung a day'),
    bagsTable(problem),
    title('Machine by machine'),
    runSheets(problem, plan, paint),
    title('How good the plan is'),
    scoreTable(plan, paint),
    ...(plan.remarks.length > 0 ? [title('Remarks'), ...plan.remarks.map((remark) => `- ${remark}`)] : []),
    title('Cautions'),
    ...CAUTIONS.map((caution) => `- ${caution}`),
    `\nPlanned in ${numberText(plan.seconds, 2)} s.`,
    '',
  ].join('\n');
}

function progressLine({ done, score }: Progress): void {
  const line = `${Math.round(100 * done)} %: ${numberText(score.unmetLitres)} L unmet, ${numberText(score.handsOnMinutes)} technician min`;
  process.stderr.write(`\r\u001B[2K${line}`);
}

/** Share of the time limit that the bounds have ... */
const BOUNDS_SHARE = 0.25;
/** ... unless that is less than they take to begin, s: then all is for the search but what it takes to end. */
const LEAST_FOR_BOUNDS = 1;
const TO_END = 0.15;
/** With less time than this, s, both cores are for the search first, and the bounds' thread starts after it. */
const SHORT = 10;

/** What of the time limit the search may use, s. */
const searchSeconds = (seconds: number): number =>
  seconds * BOUNDS_SHARE < LEAST_FOR_BOUNDS
    ? Math.max(seconds / 2, seconds - TO_END)
    : seconds * (1 - BOUNDS_SHARE);

async function run(file: string, { json, seconds, seed }: Options): Promise<void> {
  const { scenario, warnings } = loadScenario(file);
  if (!json) for (const line of warnings) say(line);
  const problem = compile(scenario);
  const showsProgress = process.stderr.isTTY;
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const early = seconds > SHORT ? openBounds() : null;
  const made = await planWithRival(
    problem,
    { scenario, seed, seconds: searchSeconds(seconds) },
    showsProgress ? progressLine : undefined,
  );
  const { remarks, ...bound } = await (early ?? openBounds()).prove(
    scenario,
    made.score,
    seconds - elapsed(),
  );
  const plan = { ...made, bound, remarks: [...made.remarks, ...remarks], seconds: elapsed() };
  if (showsProgress) process.stderr.write('\r\u001B[2K');
  if (json) for (const remark of plan.remarks) say(remark);
  const { ok, violations } = auditPlan(problem, plan);
  const colour = process.stdout.isTTY === true && !process.env.NO_COLOR;
  process.stdout.write(
    json ? `${JSON.stringify(planFile(problem, plan))}\n` : planText(problem, plan, colour),
  );
  if (ok) return;
  process.exitCode = 1;
  for (const { rule, message } of violations)
    say(`THE PLAN BREAKS A RULE, do not use it: ${rule}: ${message}`);
}

// A reader such as `head` that has seen enough is no error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  process.exit(error.code === 'EPIPE' ? 0 : 1);
});
const command = new Command('plan')
  .description('Plans the fills of a scenario: what each machine does when, and what runs short.')
  .usage('FILE.json [--seconds S] [--seed N] [--json]')
  .argument('<file>', 'scenario file')
  .option(
    '--seconds <S>',
    'time for search and bounds together, s',
    between('seconds', 0.1, 86_400, false),
    100,
  )
  .option(
    '--seed <N>',
    'another one may find another plan as good',
    between('a whole number', 0, 2 ** 31 - 1, true),
    1,
  )
  .option('--json', 'print the plan as one JSON object and nothing else')
  .exitOverride()
  .action(run);
try {
  await command.parseAsync(process.argv);
} catch (error) {
  if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
  else if (error instanceof InputError) {
    for (const line of error.lines) say(line);
    process.exitCode = 2;
  } else {
    say(`Planning failed, which is a fault of the program: ${error instanceof Error ? error.stack : error}`);
    process.exitCode = 1;
  }
}
