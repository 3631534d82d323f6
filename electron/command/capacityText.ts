import { agreementOf, agreementRows, type Compared } from '../../src/capacity/answers/agreement.ts';
import type { Study } from '../../src/capacity/answers/study.ts';
import {
  answerText,
  chanceText,
  chanceWithError,
  copyText,
  enoughOf,
  exceededText,
  givenText,
  lackText,
} from '../../src/reports/capacityWords.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { CAUTION, FORECAST_CAUTION } from '../../src/words/cautions.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { type Paint, table } from './tables.ts';

const WIDTH = 60;

/** A small picture: each day's census, '-' from 5 to 95 of 100 draws, '=' from 25 to 75, '|' the middle. */
function censusPicture({ days }: Study): string {
  const top = Math.max(1, ...days.map(({ census }) => census.p95));
  const at = (value: number) => Math.round((value / top) * (WIDTH - 1));
  const every = Math.max(1, Math.ceil(days.length / 15));
  const lines = days
    .filter(({ day }) => day % every === 0 || day === days.length - 1)
    .map(({ day, census }) => {
      const row = Array.from({ length: WIDTH }, (_, x) => {
        if (x === at(census.p50)) return '|';
        if (x >= at(census.p25) && x <= at(census.p75)) return '=';
        return x >= at(census.p5) && x <= at(census.p95) ? '-' : ' ';
      }).join('');
      return `day ${String(day + 1).padStart(3)} ${row} ${numberText(census.p50, 0)}`;
    });
  return [...lines, `${' '.repeat(8)}0${' '.repeat(WIDTH - 2)}${numberText(top, 0)} patients`].join('\n');
}

function machineTable({ rows: all, own, smallest }: Study, paint: Paint): string {
  // Long rows of certain shortage tell nothing: the last of them stands for all.
  const from = Math.max(0, all.findIndex(({ shortageChance }) => shortageChance < 1) - 1);
  const rows = all.slice(from);
  const before =
    from > 0 ? `With fewer than ${rows[0]!.machines} machines a bag is missing in every draw.\n` : '';
  const made = table(
    [
      'Machines',
      'a bag is missing in',
      'mean short, bags',
      '95 of 100 under, bags',
      'first missing bag lacks',
    ],
    rows.map((row) => {
      const marks = [row.machines === own ? 'listed' : '', row.machines === smallest ? 'enough' : ''].filter(
        Boolean,
      );
      const name = `${row.machines}${marks.length > 0 ? ` (${marks.join(', ')})` : ''}`;
      return [
        row.machines === smallest ? paint(['green', 'bold'], name) : name,
        chanceWithError(row),
        numberText(row.bagsShort),
        numberText(row.p95BagsShort),
        row.shortageChance > 0 ? lackText(row) : '-',
      ];
    }),
    1,
  );
  return before + made;
}

function dayTable({ days, scenario }: Study): string {
  const range = ({ p5, p50, p95 }: { p5: number; p50: number; p95: number }) =>
    `${numberText(p50, 0)} (${numberText(p5, 0)}-${numberText(p95, 0)})`;
  const litres = scenario.rules?.fillLitres ?? 6.5;
  return table(
    ['Day', 'patients at its end', ...scenario.baths.map(({ id }) => `${id}, bags`), 'mean in all, L'],
    days.map(({ day, census, bags }) => [
      String(day + 1),
      range(census),
      ...bags.map(range),
      numberText(bags.reduce((sum, band) => sum + band.mean, 0) * litres, 0),
    ]),
    1,
  );
}

function supplyTable({ supplies, confidence }: Study): string {
  const day = (value: number | null) => (value === null ? 'lasts' : `day ${numberText(value + 1, 0)}`);
  return table(
    [
      'Supply',
      'on hand',
      `wanted for ${chanceText(confidence)}`,
      'runs out in',
      '5 of 100 by',
      '50 of 100 by',
      '95 of 100 by',
    ],
    supplies.map((row) => [
      row.item,
      numberText(row.onHand),
      numberText(row.wanted),
      `${chanceText(row.runsOut)} of draws`,
      day(row.p5),
      day(row.p50),
      day(row.p95),
    ]),
    1,
  );
}

function limitTable({ limits, peak }: Study): string {
  return table(
    [
      'Limit',
      'in the draws',
      'enough for patients',
      'bags a day',
      `peak ${numberText(peak.p95, 0)} patients`,
    ],
    limits.map((limit) => [
      limit.what,
      givenText(limit),
      enoughOf(limit.census),
      enoughOf(limit.bagsPerDay),
      limit.beyond ? 'forecast is over it' : 'within it',
    ]),
    1,
  );
}

function agreementTable(compared: readonly Compared[]): string {
  const { agree, draws, meanBagsDifference } = agreementOf(compared);
  if (draws === 0) return 'Not compared.';
  const rows = agreementRows(compared).map((row) => [
    String(row.machines),
    String(row.bothShort),
    String(row.bothCover),
    String(row.fastOnly),
    String(row.plannedOnly),
    numberText(row.meanBagsDifference),
  ]);
  return [
    table(
      [
        'Machines',
        'both short, draws',
        'neither short, draws',
        'only fast short, draws',
        'only planned short, draws',
        'fast less planned, bags',
      ],
      rows,
      1,
    ),
    `${agree} of ${draws} draws agree on short or not; mean difference ${numberText(meanBagsDifference)} bags.`,
  ].join('\n');
}

/** What a person reads. */
export function capacityText(
  study: Study,
  compared: readonly Compared[],
  { seconds, planSeconds, threads }: { seconds: number; planSeconds: number; threads: number },
  paint: Paint,
): string {
  const { clock } = compile(study.scenario);
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const { first, draws, seed, supplied } = study;
  return [
    paint('bold', study.scenario.title),
    `${numberText(draws)} draws of ${study.days.length} days, seed ${seed}`,
    paint(study.smallest === null ? ['red', 'bold'] : ['green', 'bold'], answerText(study)),
    ...(first.minute === null ? [] : [exceededText(study, clock)]),
    title('Patients at the end of each day'),
    censusPicture(study),
    title('By number of machines'),
    ...(study.copied ? [`Beyond the ${study.own} listed each is ${copyText(study.copied)}.`] : []),
    machineTable(study, paint),
    ...(supplied
      ? [
          title(`The same with supplies without end (${numberText(supplied.draws)} draws)`),
          machineTable({ ...study, rows: supplied.rows, smallest: supplied.smallest }, paint),
        ]
      : []),
    title('By day: middle of the draws (5 to 95 of 100)'),
    dayTable(study),
    ...(study.supplies.length > 0
      ? [title('Supplies, were machines to make every bag'), supplyTable(study)]
      : []),
    ...(study.limits.length > 0 ? [title('What gives first'), limitTable(study)] : []),
    title('Fast model against full plans'),
    agreementTable(compared),
    ...(study.remarks.length > 0 ? [title('Remarks'), ...study.remarks.map((remark) => `- ${remark}`)] : []),
    title('Cautions'),
    `- ${FORECAST_CAUTION}`,
    `- ${CAUTION.long}`,
    `\nDrawn in ${numberText(seconds, 1)} s on ${countText(threads, 'thread')}.${planSeconds > 0 ? ` One full plan takes as long as ${numberText((planSeconds * draws) / (seconds * threads), 0)} draws.` : ''}`,
    '',
  ].join('\n');
}
