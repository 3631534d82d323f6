import { stripVTControlCharacters } from 'node:util';
import { beforeAll, describe, expect, test } from 'vitest';
import { capacityText } from '../../electron/command/capacityText.ts';
import type { Compared } from '../../src/capacity/answers/agreement.ts';
import { type Runner, runDraws } from '../../src/capacity/answers/job.ts';
import { offersOf } from '../../src/capacity/answers/offers.ts';
import { orderLists } from '../../src/capacity/answers/orders.ts';
import { type Study, study } from '../../src/capacity/answers/study.ts';
import { type CapacityFile, capacityFile } from '../../src/reports/capacityFile.ts';
import { capacityTables } from '../../src/reports/capacityTables.ts';
import { chanceText, itemText, withError } from '../../src/reports/capacityWords.ts';
import { fromXlsx, toXlsx } from '../../src/reports/workbook.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { numberText } from '../../src/words/numbers.ts';
import { dateText, whenText } from '../../src/words/times.ts';
import { frozen, wardSite } from '../capacity/worlds.ts';

/** Where each value of a file stands, lists by their first rows. */
function* leavesOf(
  value: unknown,
  path: readonly (string | number)[] = [],
): Generator<readonly (string | number)[]> {
  if (value !== null && typeof value === 'object')
    for (const [key, inner] of Object.entries(value))
      yield* leavesOf(inner, [...path, Array.isArray(value) ? Number(key) : key]);
  else yield path;
}
/** The same file with another value at a path. */
function altered(file: CapacityFile, path: readonly (string | number)[]): CapacityFile {
  const copy = structuredClone(file);
  let at = copy as unknown as Record<string | number, unknown>;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  const key = path.at(-1)!;
  const value = at[key];
  const isTime = typeof value === 'string' && /^\d{4}-\d\d-\d\d/.test(value);
  at[key] =
    typeof value === 'number'
      ? value > 0 && value <= 1
        ? value * 0.61
        : 2 * value + 37
      : typeof value === 'boolean'
        ? !value
        : isTime
          ? value.replace(/^\d{4}-\d\d/, '2031-05')
          : value === null
            ? key === 'smallestMachines'
              ? 77
              : '2031-05-06T07:00'
            : `${value} x`;
  return copy;
}
/** Values that the text tells otherwise, each with the reason. */
const TOLD_OTHERWISE: readonly (readonly [path: RegExp, why: string])[] = [
  [/^(format|version)$/, 'what the file is'],
  [/^days\.([2-9]|\d\d)\./, 'as the first two days'],
  [/^unlimitedSupplies$/, 'null: a part that is not there'],
  [/^timeZone$/, 'times are local to it'],
  [/^start$/, 'times are told by their dates'],
  [/^days\.\d+\.day$/, 'told by its date'],
  [
    /^days\.\d+\.(census|bags\..*)\.(mean|p25|p75)$/,
    'the table gives the middle and 5 to 95; the picture 25 to 75',
  ],
  [/^days\.\d+\.litres\..*\.(?!mean)\w+$/, 'bags times their volume; the mean of all baths is told'],
  [/^machines\.\d+\./, 'rows of certain shortage are told together; see the rows below it'],
  [/^(unlimitedSupplies\.)?machines\.\d+\.lacksFirst\.([1-9]|\d\d)/, 'the table gives the first'],
  [/^unlimitedSupplies\.machines\.\d+\./, 'as above'],
  [/^lacksFirst\./, 'stands in the row of the machines listed'],
  [/^firstShort$/, 'told as firstShortText'],
  [/^limits\.\d+\.patients$/, 'null: any number'],
  [/^certainty(\.|$)/, 'told as certaintyText'],
  [/^copied\.(available|cannot)/, 'rounded to whole percents'],
  [/^orders\.\d+\.items\.\d+\.(kind|expires|weekdays.*)$/, 'says which words the line has'],
  [/^agreementRows\.\d+\.machines$/, 'its row'],
];

const run: Runner = async (jobs) => jobs.map((job) => runDraws(job));
const compared: Compared[] = [{ draw: 0, machines: 4, fast: 3, planned: 0 }];

/** Supplies that some runs use up, and more baths than fit side by side. */
const poor = {
  ...wardSite(),
  baths: ['2K', '3K', '4K', '2K high calcium', '3K high calcium', '4K high calcium'].map((id) => ({ id })),
  supplies: [
    { item: 'bag set', onHand: 190, perFill: 1, deliveries: [{ at: '2031-02-07T09:00', quantity: 20 }] },
    { item: 'acid concentrate for every bath made here (L)', onHand: 9000, perLitre: 0.02222 },
  ],
};

describe.each([
  ['a ward with supplies that run out', poor],
  ['the crisis', frozen('crisis')],
  ['a week of short supplies', frozen('shortage-week')],
])('%s: the file and the text tell the same', (_, scenario) => {
  let made: Study;
  let file: CapacityFile;
  let text: string;
  let flat: string;
  beforeAll(async () => {
    made = await study(scenario, run, { draws: 40, seed: 1 });
    const ordered = await orderLists(scenario, offersOf(scenario), run, { draws: 40, seed: 1 });
    file = capacityFile({ study: made, compared, ordered, seconds: 1.5 });
    text = capacityText({ file, planSeconds: 2, threads: 2 }, (_style, said) => said);
    // Cells and sentences that go on in the next line read as one.
    flat = text.replace(/[\s│]+/g, ' ');
  }, 120_000);
  const { clock } = compile(scenario);

  test('no line of the text is longer than 100 characters', () => {
    expect(text.split('\n').filter((line) => stripVTControlCharacters(line).length > 100)).toEqual([]);
  });

  test('the file has every field, with the days dated', () => {
    expect(file).toMatchObject({ format: 'bathtide-capacity', version: 1, draws: 40, seed: 1, seconds: 1.5 });
    expect(file.days.map(({ day }) => day)).toEqual(file.days.map((_, index) => index));
    expect(file.days[0]!.date).toBe(scenario.start.slice(0, 10));
    expect(JSON.parse(JSON.stringify(file))).toEqual(file);
    expect(file.firstShort).toBe(made.first.minute === null ? null : clock.localOf(made.first.minute));
    expect(file.machines.map(({ error }) => error)).toEqual(made.rows.map(({ chanceError }) => chanceError));
    expect(file.lacksFirst.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(made.first.chance, 9);
    expect(file.supplies.map(({ needed }) => needed)).toEqual(made.supplies.map(({ wanted }) => wanted));
  });

  test('the workbook holds the answer: sentences, lists, machines, supplies, limits and days', async () => {
    const also = {
      savings: [
        {
          id: 'dose-20',
          label: 'Dose at most 20 mL/kg/h',
          bagsPerDay: 12.5,
          machines: 2,
          chanceBefore: 0.9,
          chanceAfter: 0.25,
          chanceError: 0.01,
          enough: 3,
          bagsShort: 41.5,
        },
      ],
      heat: { machines: [1, 2], more: [0], rows: [made.rows.slice(0, 2)], draws: 40 },
      needs: { kinds: [{ like: 'M1', more: 3 }], beside: null, technicians: [], water: [] },
    };
    const sheets = await fromXlsx(await toXlsx(capacityTables(file, true, also)));
    const cells = (name: string) => sheets.find((sheet) => sheet.name === name)!.table.flat();
    for (const line of file.answer) expect(cells('Capacity')).toContain(line);
    expect(cells('Capacity')).toContain('OLD ANSWER');
    expect(cells('Capacity')).toContain(file.caution);
    for (const { items } of file.orders)
      for (const item of items) expect(cells('What to get')).toContain(itemText(item));
    for (const line of file.certaintyText) expect(cells('Capacity')).toContain(line);
    expect(cells('What-if changes')).toEqual(expect.arrayContaining(['Dose at most 20 mL/kg/h', 41.5, 0.25]));
    expect(cells('Machines and technicians')).toContain(made.rows[1]!.shortageChance);
    expect(cells('Just enough')).toContain('3 machines more like M1 are just enough alone.');
    for (const row of file.machines) expect(cells('Machines needed')).toContain(row.shortageChance);
    for (const row of file.supplies) expect(cells('Supplies needed')).toContain(row.needed);
    for (const row of file.limits) expect(cells('Bottlenecks')).toContain(row.bagsPerDay);
    for (const { date } of file.days) expect(cells('Forecast by day')).toContain(date);
  });

  test('field by field: whatever changes in the file changes the text', () => {
    const make = (one: CapacityFile) =>
      capacityText({ file: one, planSeconds: 2, threads: 2 }, (_style, said) => said);
    const silent = [...leavesOf(file)].filter((path) => {
      if (TOLD_OTHERWISE.some(([where]) => where.test(path.join('.')))) return false;
      return make(altered(file, path)) === text;
    });
    expect(silent.map((path) => path.join('.'))).toEqual([]);
    // And the rows that are not told together one by one.
    const from = Math.max(0, file.machines.findIndex(({ shortageChance }) => shortageChance < 1) - 1);
    for (let row = from; row < file.machines.length; row++)
      for (const key of ['machines', 'shortageChance', 'error', 'bagsShort', 'p95BagsShort'])
        expect(make(altered(file, ['machines', row, key])), `${row} ${key}`).not.toBe(text);
  });

  test('each value of the file stands in the text', () => {
    const says = (what: string) => expect(flat).toContain(what.replace(/\s+/g, ' '));
    const saysWords = (what: string) => {
      for (const word of what.split(' ')) says(word);
    };
    for (const line of file.answer) says(line);
    if (file.firstShort) says(whenText(clock, clock.minuteOf(file.firstShort)));
    for (const row of file.machines.filter(({ shortageChance }) => shortageChance < 1)) {
      says(withError(row.shortageChance, row.error));
      says(numberText(row.bagsShort));
      says(numberText(row.p95BagsShort));
      if (row.lacksFirst[0]) says(chanceText(row.lacksFirst[0].share));
    }
    for (const { date, census, bags } of file.days) {
      says(dateText(date));
      says(`${numberText(census.p50, 0)} (${numberText(census.p5, 0)}-${numberText(census.p95, 0)})`);
      for (const { p50, p5, p95 } of Object.values(bags))
        says(`${numberText(p50, 0)} (${numberText(p5, 0)}-${numberText(p95, 0)})`);
    }
    for (const row of file.supplies) {
      says(numberText(row.needed));
      for (const local of [row.p5, row.p50, row.p95])
        if (local) saysWords(whenText(clock, clock.minuteOf(local)));
      saysWords(withError(row.runsOutChance, row.error));
    }
    for (const { limit, patients, bagsPerDay } of file.limits) {
      // A long name goes on in the next line.
      saysWords(limit);
      if (patients !== null) says(numberText(Math.floor(patients), 0));
      says(numberText(Math.floor(bagsPerDay), 0));
    }
    for (const { items, cost, shortageChance, error } of file.orders) {
      says(numberText(cost));
      says(withError(shortageChance, error));
      for (const item of items) saysWords(itemText(item));
    }
    for (const remark of file.remarks) says(remark);
    says('Dialysate only. Not sterile.');
  });
});
