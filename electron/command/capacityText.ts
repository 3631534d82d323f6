import { type Clock, makeClock } from '../../src/calendar/clock.ts';
import type { Order } from '../../src/capacity/answers/orders.ts';
import type { CapacityFile, MachineLine } from '../../src/reports/capacityFile.ts';
import {
  agreementLines,
  causeText,
  chanceText,
  copyText,
  enoughOf,
  levelText,
  ORDER_HEADS,
  orderCells,
  orderNote,
  orderText,
  withError,
} from '../../src/reports/capacityWords.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { dateText, whenText } from '../../src/words/times.ts';
import { fittedTable, wrapped } from './capacityLayout.ts';
import type { Paint } from './tables.ts';

const PICTURE = 60;

/** A small picture: each day's census, '-' from 5 to 95 of 100 runs, '=' from 25 to 75, '|' the middle. */
function censusPicture({ days }: CapacityFile): string {
  const top = Math.max(1, ...days.map(({ census }) => census.p95));
  const at = (value: number) => Math.round((value / top) * (PICTURE - 1));
  const every = Math.max(1, Math.ceil(days.length / 15));
  const names = days.map(({ date }) => dateText(date));
  const room = Math.max(...names.map((name) => name.length)) + 1;
  const lines = days.flatMap(({ day, census }, index) => {
    if (day % every !== 0 && day !== days.length - 1) return [];
    const row = Array.from({ length: PICTURE }, (_, x) => {
      if (x === at(census.p50)) return '|';
      if (x >= at(census.p25) && x <= at(census.p75)) return '=';
      return x >= at(census.p5) && x <= at(census.p95) ? '-' : ' ';
    }).join('');
    return [`${names[index]!.padEnd(room)}${row} ${numberText(census.p50, 0)}`];
  });
  const axis = `${' '.repeat(room)}0${' '.repeat(PICTURE - 2)}${numberText(top, 0)} patients`;
  return [...lines, axis].join('\n');
}

interface Machines {
  readonly rows: readonly MachineLine[];
  readonly smallest: number | null;
  readonly listed: number;
}

function machineTable({ rows: all, smallest, listed }: Machines, paint: Paint): string {
  // Long rows of certain shortage tell nothing: the last of them stands for all.
  const from = Math.max(0, all.findIndex(({ shortageChance }) => shortageChance < 1) - 1);
  const rows = all.slice(from);
  const before = from > 0 ? `With fewer than ${rows[0]!.machines} machines, every run is short.\n` : '';
  const made = fittedTable(
    ['Machines', 'runs short (± error)', 'mean short, bags', 'in 95 % of runs under, bags', 'lacks first'],
    rows.map((row) => {
      const marks = [
        row.machines === listed ? 'listed' : '',
        row.machines === smallest ? 'enough' : '',
      ].filter(Boolean);
      const name = `${row.machines}${marks.length > 0 ? ` (${marks.join(', ')})` : ''}`;
      const lack = row.lacksFirst[0];
      return [
        row.machines === smallest ? paint(['green', 'bold'], name) : name,
        withError(row.shortageChance, row.error),
        numberText(row.bagsShort),
        numberText(row.p95BagsShort),
        lack ? `${causeText(lack.limit)} in ${chanceText(lack.share)}` : '-',
      ];
    }),
    1,
  );
  const enough =
    smallest === null
      ? 'Enough for the service level: no number of such machines.'
      : `Enough for the service level: ${countText(smallest, 'machine')}.`;
  return `${before}${made}\n${enough}`;
}

/** Baths in one table: more than these do not fit side by side. */
const BATHS = 3;

function dayTables({ days }: CapacityFile): string {
  const range = ({ p5, p50, p95 }: { p5: number; p50: number; p95: number }) =>
    `${numberText(p50, 0)} (${numberText(p5, 0)}-${numberText(p95, 0)})`;
  const baths = Object.keys(days[0]?.bags ?? {});
  const parts = Array.from({ length: Math.max(1, Math.ceil(baths.length / BATHS)) }, (_, n) =>
    baths.slice(n * BATHS, (n + 1) * BATHS),
  );
  return parts
    .map((part, n) =>
      fittedTable(
        ['24 h from', ...(n === 0 ? ['patients'] : []), ...part.map((id) => `${id}, bags`), 'all, mean L'],
        days.map(({ date, census, bags, litres }) => [
          dateText(date),
          ...(n === 0 ? [range(census)] : []),
          ...part.map((id) => range(bags[id]!)),
          numberText(
            Object.values(litres).reduce((sum, { mean }) => sum + mean, 0),
            0,
          ),
        ]),
        1,
      ),
    )
    .join('\n');
}

function supplyTable({ supplies, confidence }: CapacityFile, clock: Clock): string {
  const when = (local: string | null) => (local === null ? 'lasts' : whenText(clock, clock.minuteOf(local)));
  return fittedTable(
    [
      'Supply',
      'on hand',
      `needed for ${chanceText(confidence)}`,
      'runs out in, of runs (± error)',
      '5 of 100 by',
      '50 of 100 by',
      '95 of 100 by',
    ],
    supplies.map((row) => [
      row.item,
      numberText(row.onHand),
      numberText(row.needed),
      withError(row.runsOutChance, row.error),
      when(row.p5),
      when(row.p50),
      when(row.p95),
    ]),
    1,
  );
}

const limitTable = ({ limits }: CapacityFile): string =>
  fittedTable(
    ['Limit', 'short in, of runs', 'enough for, patients', 'bags per day', 'forecast, patients', ''],
    limits.map((row) => [
      row.limit,
      chanceText(row.share),
      row.patients === null ? 'any number' : enoughOf(row.patients),
      enoughOf(row.bagsPerDay),
      numberText(row.asked, 0),
      row.isTooSmall ? 'too small' : 'enough',
    ]),
    1,
  );

/** One list: what to get, by when, and what each line does. */
function orderPart(order: Order, clock: Clock): string {
  const head = wrapped(orderText(order));
  if (order.items.length === 0) return `${head}\nNothing has to be bought.`;
  const table = fittedTable(
    ORDER_HEADS,
    order.items.map((item) => orderCells(item, clock)),
    3,
  );
  return `${head}\n${table}`;
}

const orderNotes = ({ draws, pricing }: CapacityFile): string =>
  [pricing, orderNote(draws)].map((text) => wrapped(text)).join('\n');

function agreementTable({ agreement, agreementRows }: CapacityFile): string {
  if (agreement.draws === 0) return 'Not compared.';
  const rows = agreementRows.map((row) => [
    String(row.machines),
    String(row.bothShort),
    String(row.bothCover),
    String(row.fastOnly),
    String(row.plannedOnly),
    numberText(row.meanBagsDifference),
  ]);
  return [
    fittedTable(
      [
        'Machines',
        'both short, runs',
        'neither short, runs',
        'only model short, runs',
        'only plan short, runs',
        'model less plan, bags',
      ],
      rows,
      1,
    ),
    wrapped(agreementLines(agreement, agreementRows).join(' ')),
  ].join('\n');
}

const timesText = (threads: number, { draws, seconds }: CapacityFile, planSeconds: number): string =>
  `${numberText(draws)} runs took ${numberText(seconds, 1)} s on ${countText(threads, 'thread')}.${
    planSeconds > 0
      ? ` One full plan takes as long as ${numberText((planSeconds * draws) / (seconds * threads), 0)} runs.`
      : ''
  }`;

export interface Told {
  readonly file: CapacityFile;
  /** Mean time of one full plan, s; 0: none was made. */
  readonly planSeconds: number;
  readonly threads: number;
}

/** What a person reads, made of the file alone: it cannot tell anything else. */
export function capacityText({ file, planSeconds, threads }: Told, paint: Paint): string {
  const clock = makeClock(file.timeZone, file.start);
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const list = (texts: readonly string[]) => texts.map((text) => wrapped(`- ${text}`, '  '));
  const { unlimitedSupplies: unlimited, machinesListed: listed } = file;
  const [head = '', ...rest] = file.answer;
  return [
    paint('bold', wrapped(file.scenario)),
    wrapped(
      `${numberText(file.draws)} simulated runs of ${countText(file.days.length, 'day')}, seed ${file.seed}. Service level: ${levelText(file.confidence)}.`,
    ),
    paint(file.smallestMachines === null ? ['red', 'bold'] : ['green', 'bold'], wrapped(head)),
    ...rest.map((line) => wrapped(line)),
    ...(file.firstShort === null ? [] : [wrapped(file.firstShortText)]),
    title('Patients at the end of each day'),
    censusPicture(file),
    title('By number of machines'),
    ...(file.copied ? [wrapped(`Beyond the ${listed} listed, each is ${copyText(file.copied)}.`)] : []),
    machineTable({ rows: file.machines, smallest: file.smallestMachines, listed }, paint),
    ...(unlimited
      ? [
          title(`With unlimited supplies (the first ${numberText(unlimited.draws)} of the same runs)`),
          machineTable({ rows: unlimited.machines, smallest: unlimited.smallestMachines, listed }, paint),
        ]
      : []),
    title('By day: middle of the runs (5 to 95 of 100)'),
    dayTables(file),
    ...(file.supplies.length > 0
      ? [title('Supplies, if machines make every bag'), supplyTable(file, clock)]
      : []),
    ...(file.limits.length > 0
      ? [
          title('Bottlenecks'),
          limitTable(file),
          wrapped('A supply is held against the mean day of the forecast, all else against its peak.'),
        ]
      : []),
    ...(file.orders.length > 0
      ? [title('What to get'), ...file.orders.map((order) => orderPart(order, clock)), orderNotes(file)]
      : []),
    title('How sure this is'),
    ...list(file.certaintyText),
    title('Fast model against full plans'),
    agreementTable(file),
    ...(file.remarks.length > 0 ? [title('Remarks'), ...list(file.remarks)] : []),
    title('Cautions'),
    ...list([file.caution]),
    `\n${timesText(threads, file, planSeconds)}`,
    '',
  ].join('\n');
}
