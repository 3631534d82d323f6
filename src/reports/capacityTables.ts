import type { LeverSaving } from '../capacity/answers/levers.ts';
import type { Requirements } from '../capacity/answers/requirements.ts';
import type { HeatMap } from '../capacity/answers/sweeps.ts';
import { countText } from '../words/numbers.ts';
import type { CapacityFile } from './capacityFile.ts';
import { causeText, itemText, requirementLines } from './capacityWords.ts';
import type { NamedTable } from './workbook.ts';

function verdictTable(file: CapacityFile, isStale: boolean): NamedTable {
  return {
    name: 'Capacity',
    table: [
      ['Capacity', ''],
      ...(isStale ? [['OLD ANSWER', 'The scenario has changed since. Simulate again.']] : []),
      ...file.answer.map((line, n) => [n === 0 ? 'Answer' : '', line]),
      ['Counted', 'The listed patients and the patients of the forecast'],
      ['Simulated runs', file.draws],
      ['Seed', file.seed],
      ['Service level, share of runs without shortage', file.confidence],
      ['Capacity first exceeded at the bag round of', file.firstShort ?? 'none'],
      ...file.lacksFirst.map(({ limit, share }) => [`Runs short first of ${causeText(limit)}, share`, share]),
      ...file.certaintyText.map((line, n) => [n === 0 ? 'How sure' : '', line]),
      ...file.remarks.map((remark) => ['Remark', remark]),
      ['Caution', file.caution],
    ],
  };
}

const orderTable = ({ orders, pricing }: CapacityFile): NamedTable => ({
  name: 'What to get',
  table: [
    [
      'Way',
      'Get',
      'Offer',
      'Order by',
      'There by',
      'Cost',
      'Share of runs short with the list',
      'with this line alone',
      'without this line',
    ],
    ...orders.flatMap(({ way, shortageChance, items }) =>
      items.map((item) => [
        way,
        itemText(item),
        item.offer,
        item.orderBy,
        item.by,
        item.cost,
        shortageChance,
        item.chanceAlone,
        item.chanceWithout,
      ]),
    ),
    ['Cost', pricing],
  ],
});

const machineTable = ({ machines }: CapacityFile): NamedTable => ({
  name: 'Machines needed',
  table: [
    ['Machines', 'Share of runs short', 'Error', 'Mean short, bags', 'In 95 % of runs under, bags'],
    ...machines.map((row) => [row.machines, row.shortageChance, row.error, row.bagsShort, row.p95BagsShort]),
  ],
});

const supplyTable = ({ supplies }: CapacityFile): NamedTable => ({
  name: 'Supplies needed',
  table: [
    [
      'Supply',
      'On hand',
      'Needed',
      'Share of runs it runs out in',
      'Error',
      '5 of 100 by',
      '50 of 100 by',
      '95 of 100 by',
    ],
    ...supplies.map(({ item, onHand, needed, runsOutChance, error, p5, p50, p95 }) => [
      item,
      onHand,
      needed,
      runsOutChance,
      error,
      p5,
      p50,
      p95,
    ]),
  ],
});

const limitTable = ({ limits }: CapacityFile): NamedTable => ({
  name: 'Bottlenecks',
  table: [
    ['Limit', 'Enough for, patients', 'Bags per day', 'Share of runs short', 'Forecast, patients'],
    ...limits.map((row) => [row.limit, row.patients, row.bagsPerDay, row.share, row.asked]),
  ],
});

function dayTable({ days }: CapacityFile): NamedTable {
  const baths = Object.keys(days[0]?.bags ?? {});
  return {
    name: 'Forecast by day',
    table: [
      ['24 h from', 'Patients, middle', '5 of 100', '95 of 100', ...baths.map((id) => `${id}, bags, middle`)],
      ...days.map(({ date, census, bags }) => [
        date,
        census.p50,
        census.p5,
        census.p95,
        ...baths.map((id) => bags[id]!.p50),
      ]),
    ],
  };
}

/** What else a person may have asked; null: not asked. */
interface AlsoAsked {
  readonly savings: readonly LeverSaving[] | null;
  readonly heat: HeatMap | null;
  readonly needs: Requirements | null;
}

const leverTable = (savings: readonly LeverSaving[]): NamedTable => ({
  name: 'What-if changes',
  table: [
    [
      'Change',
      'Mean bags short fewer',
      'Bags per day fewer',
      'Machines needed fewer',
      'Share of runs short now',
      'with the change',
      'Error',
    ],
    ...savings.map((row) => [
      row.label,
      row.bagsShort,
      row.bagsPerDay,
      row.machines,
      row.chanceBefore,
      row.chanceAfter,
      row.chanceError,
    ]),
  ],
});

/** Shares of runs short: a row for each number of technicians more, a column for each number of machines. */
const heatTable = ({ machines, more, rows }: HeatMap): NamedTable => ({
  name: 'Machines and technicians',
  table: [
    [
      'Technicians more in every shift',
      ...machines.map((count) => `${countText(count, 'machine')}, share short`),
    ],
    ...more.map((count, n) => [count, ...rows[n]!.map(({ shortageChance }) => shortageChance)]),
  ],
});

const needTable = (needs: Requirements): NamedTable => ({
  name: 'Just enough',
  table: [['Just enough for the service level'], ...requirementLines(needs).map((line) => [line])],
});

/**
 * The capacity answer as sheets of a workbook: numbers as numbers, shares 0 to 1, times as local times in ISO form.
 * @param isStale the scenario has changed since
 */
export const capacityTables = (file: CapacityFile, isStale: boolean, also?: AlsoAsked): NamedTable[] => [
  verdictTable(file, isStale),
  orderTable(file),
  machineTable(file),
  ...(also?.savings ? [leverTable(also.savings)] : []),
  ...(also?.heat ? [heatTable(also.heat)] : []),
  ...(also?.needs ? [needTable(also.needs)] : []),
  supplyTable(file),
  limitTable(file),
  dayTable(file),
];
