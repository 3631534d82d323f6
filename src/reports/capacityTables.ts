import type { CapacityFile } from './capacityFile.ts';
import { causeText, itemText } from './capacityWords.ts';
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

/**
 * The capacity answer as sheets of a workbook: numbers as numbers, shares 0 to 1, times as local times in ISO form.
 * @param isStale the scenario has changed since
 */
export const capacityTables = (file: CapacityFile, isStale: boolean): NamedTable[] => [
  verdictTable(file, isStale),
  orderTable(file),
  machineTable(file),
  supplyTable(file),
  limitTable(file),
  dayTable(file),
];
