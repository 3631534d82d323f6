import { describe, expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { fromClipboard, placed, toClipboard } from '../../src/grid/clipboard.ts';
import { columnProblem, customFields } from '../../src/grid/columns.ts';
import { asTexts, fromCsv, tableOf, toCsv } from '../../src/grid/csv.ts';
import { commit, NO_HISTORY, type Recipe } from '../../src/grid/history.ts';
import { guessMapping, previewImport } from '../../src/grid/import.ts';
import { type Lever, pulled, savingOf } from '../../src/grid/levers.ts';
import { SHEETS, sheetOf } from '../../src/grid/sheets.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { NOTHING_PROVEN, type Plan } from '../../src/plan/plan.ts';
import type { Audited, Standing } from '../../src/reports/audited.ts';
import { eventNames, toCalendar } from '../../src/reports/calendarFile.ts';
import { planTables } from '../../src/reports/planTables.ts';
import { dosedLitres, gapOf, needSummary } from '../../src/reports/summary.ts';
import { fromXlsx, toXlsx } from '../../src/reports/workbook.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, circuit, tinyWorld, test as waterTest } from '../world.ts';

const full = (): Scenario =>
  tinyWorld({
    patients: [
      {
        id: 'bed-1',
        weight: 80.5,
        dose: 25,
        bath: '2K',
        from: at(60),
        changes: [{ at: at(600), bath: '4K' }],
      },
      { id: '=1+1', weight: 60, dose: 20, bath: '4K', hoursPerDay: 22 },
    ],
    stock: [{ lot: 'A;"b", c', bath: '2K', bags: 3, litres: 5, expires: at(1440) }],
    supplies: [{ item: 'circuit', onHand: 9, perCircuit: 1, deliveries: [{ at: at(600), quantity: 2 }] }],
    rules: { shelfHours: 48, rounds: ['06:00'], reserve: { '2K': 4 } },
  });
const run = (scenario: Scenario, recipe: Recipe): Scenario =>
  commit({ scenario, history: NO_HISTORY }, 'test', recipe).scenario;
/** A scenario with the rows of every list taken away, but with its lists' owners. */
const bare = (scenario: Scenario): Scenario => ({
  ...scenario,
  patients: [],
  stock: undefined,
  supplies: [],
  machines: [],
  water: [],
  shifts: [],
});

describe.each(['csv', 'xlsx'] as const)('every sheet out as %s and in again', (kind) => {
  test('is the same scenario', async () => {
    const source = full();
    let scenario: Scenario = { ...bare(source), rules: {} };
    for (const sheet of SHEETS) {
      const table = tableOf(sheet, sheet.fields, source);
      const lines =
        kind === 'csv'
          ? fromCsv(toCsv(table))
          : asTexts((await fromXlsx(await toXlsx([{ name: sheet.title, table }])))[0]!.table);
      const mapping = guessMapping(sheet, lines[0]!);
      scenario = run(scenario, previewImport(sheet, scenario, lines.slice(1), mapping, 'replace').recipe);
    }
    expect({ ...scenario, deliveries: undefined }).toEqual({ ...source, deliveries: undefined });
  });
});

const VIOLATION = { rule: 'x', message: 'x', start: 0, end: 1, place: '', amount: 1, unit: 'min' };
const CLEAN: Audited = { ok: true, violations: [], history: [], checked: [] };
const STANDING: Standing = { madeAt: '2031-02-03 06:00', held: 0, lost: [], edited: false };

describe('CSV', () => {
  test('begins with a byte order mark, quotes what must be quoted (RFC 4180), and disarms formulas', () => {
    const text = toCsv([
      ['id', 'n'],
      ['=1+1', -5],
      ['a "b", c', null],
    ]);
    expect(text).toBe('\ufeffid,n\r\n\'=1+1,-5\r\n"a ""b"", c",\r\n');
    expect(fromCsv(text)).toEqual([
      ['id', 'n'],
      ['=1+1', '-5'],
      ['a "b", c', ''],
    ]);
  });
  test('reads semicolons and tabs, and says where a quote never ends', () => {
    expect(fromCsv('a;b\r\n1;2\r\n')).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ]);
    expect(fromCsv('a\tb\n1\t2')).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ]);
    expect(() => fromCsv('a,b\n"1,2\n')).toThrow(/not CSV/);
  });
});

describe('XLSX', () => {
  test('keeps numbers and times as typed cells', async () => {
    const time = new Date('2031-02-03T07:30Z');
    const table = [
      ['id', 'kg', 'from'],
      ['bed', 80.5, time],
      ['007', null, null],
    ];
    const [read] = await fromXlsx(await toXlsx([{ name: 'Patients', table }]));
    expect(read).toEqual({ name: 'Patients', table });
  });
  test('a workbook of the whole plan has every sheet, and names that a workbook allows', async () => {
    const scenario = full();
    const problem = compile(scenario);
    const plan = asPlan(problem, [circuit(60)], {
      bound: NOTHING_PROVEN,
      remarks: [],
      seconds: 0,
    });
    const tables = planTables(scenario, problem, demandOf(problem), plan, CLEAN, STANDING);
    const read = await fromXlsx(
      await toXlsx([...tables, { name: 'A/B: [c]', table: [['x']] }, { name: 'A?B* (c)', table: [['x']] }]),
    );
    expect(read.map(({ name }) => name).slice(0, 4)).toEqual(['Overview', 'Schedule', 'Needs', 'Patients']);
    expect(read).toHaveLength(tables.length + 2);
    const schedule = read.find(({ name }) => name === 'Schedule')!.table;
    expect(schedule[1]).toEqual([
      new Date('2031-02-03T01:00Z'),
      new Date('2031-02-03T01:30Z'),
      30,
      'M1',
      'New circuit',
      '2K',
      '1 technician throughout.',
      null,
    ]);
    // Each sheet may be printed alone.
    for (const { table } of tables) expect(JSON.stringify(table)).toContain('Not sterile. Never infuse.');
  });
  test('a workbook tells what the past broke, what is lost, what is broken now and an edit since', () => {
    const scenario = full();
    const problem = compile(scenario);
    const rest = { bound: NOTHING_PROVEN, remarks: [], seconds: 0 };
    const plan = asPlan(problem, [circuit(60)], rest);
    const broken = (message: string) => ({ ...VIOLATION, message });
    const rows = (verdict: Audited, standing: Standing) =>
      planTables(scenario, problem, demandOf(problem), plan, verdict, standing)[0]!.table;
    expect(rows(CLEAN, STANDING)[3]).toEqual(['Plan check', 'Plan check passed: 0 rules', null]);
    const told = rows(
      { ...CLEAN, history: [broken('was late')] },
      { ...STANDING, held: 60, lost: ['M1 is out'], edited: true },
    );
    expect(told[3]![1]).toMatch(/^Plan check passed from .* on$/);
    expect(told.filter(([what]) => what === 'Before now').map(([, text]) => text)).toEqual([
      'M1 is out',
      'was late',
    ]);
    expect(told.filter(([what]) => what === 'Warning')).toHaveLength(3);
    const failed = rows({ ...CLEAN, ok: false, violations: [broken('a'), broken('b')] }, STANDING);
    expect(failed[1]).toEqual([
      'DO NOT USE THIS PLAN',
      'DO NOT USE THIS PLAN: the plan check found 2 broken rules',
      null,
    ]);
    expect(failed.filter(([what]) => what === 'Broken rule').map(([, text]) => text)).toEqual(['a', 'b']);
  });
  test('bytes that are none are refused', async () => {
    await expect(fromXlsx(new TextEncoder().encode('hello'))).rejects.toThrow(/not an XLSX workbook/);
    await expect(fromXlsx(new Uint8Array())).rejects.toThrow(/not an XLSX workbook/);
  });
});

describe('import', () => {
  const patients = sheetOf('patients');
  test('guesses columns by their headers and converts their units', () => {
    const mapping = guessMapping(patients, ['BED', 'Weight (lb)', 'dose', 'Hair']);
    expect(mapping).toEqual([{ field: 'id' }, { field: 'weight', unit: 'lb' }, { field: 'dose' }, null]);
    const { recipe } = previewImport(patients, full(), [['bed-1', '180', '', 'x']], mapping, 'match');
    expect(run(full(), recipe).patients[0]!.weight).toBeCloseTo(81.6466266, 9);
  });
  test('a word in brackets that is no unit belongs to the name: a sheet of ours without units comes back', () => {
    const mapping = guessMapping(patients, ['Bed', 'Effluent dose (prescribed)']);
    expect(mapping).toEqual([{ field: 'id' }, { field: 'dose' }]);
  });
  test('shows what would change before it does', () => {
    const mapping = guessMapping(patients, ['Bed', 'Weight (kg)', 'Bath']);
    const table = [
      ['bed-1', '81', '2K'],
      ['=1+1', '60', '4K'],
      ['bed-9', 'heavy', '2K'],
    ];
    const { changes, same } = previewImport(patients, full(), table, mapping, 'match');
    expect(same).toBe(1);
    expect(changes).toEqual([
      { kind: 'changed', row: 'bed-1', field: 'Weight', before: '80.5', after: '81', problem: null },
      {
        kind: 'added',
        row: 'bed-9',
        field: '',
        before: '',
        after: 'bed-9 · heavy · 2K',
        problem: expect.stringMatching(/kg/),
      },
    ]);
  });
});

describe('clipboard', () => {
  test('cells with tabs, quotes and line ends come back as they were', () => {
    const cells = [
      ['a\tb', 'say "x"'],
      ['two\nlines', ''],
    ];
    expect(fromClipboard(toClipboard(cells))).toEqual(cells);
  });
  test('a last line end, which spreadsheets add, is no row; short lines are filled', () => {
    // An empty line within is one.
    expect(fromClipboard('1\r\n\r\n2\r\n')).toEqual([['1'], [''], ['2']]);
    expect(fromClipboard('1\r\n2')).toEqual([['1'], ['2']]);
    expect(fromClipboard('1\t2\r\n3\r\n')).toEqual([
      ['1', '2'],
      ['3', ''],
    ]);
  });
  test('one cell fills the selection, a block repeats when it fits, else lands once', () => {
    expect(placed([['x']], 2, 2)).toHaveLength(4);
    expect(placed([['a', 'b']], 3, 2)).toHaveLength(6);
    expect(placed([['a'], ['b']], 3, 1).map(({ text }) => text)).toEqual(['a', 'b']);
    const texts = (block: string[][], rows: number, columns: number) => {
      const cells = placed(block, rows, columns);
      return cells.map(({ row, column, text }) => `${row},${column} ${text}`).join(' ');
    };
    expect(texts([['a', 'b']], 2, 4)).toBe('0,0 a 0,1 b 0,2 a 0,3 b 1,0 a 1,1 b 1,2 a 1,3 b');
    // A selection of three columns is no multiple of two, one of one is smaller: once.
    expect(texts([['a', 'b']], 1, 3)).toBe('0,0 a 0,1 b');
    expect(texts([['a', 'b']], 1, 1)).toBe('0,0 a 0,1 b');
    expect(texts([['a'], ['b']], 1, 1)).toBe('0,0 a 1,0 b');
  });
});

describe('own columns', () => {
  test('compute from typed cells and defaults, with units, and are checked', () => {
    const sheet = sheetOf('patients');
    const scenario = {
      ...full(),
      columns: [
        { sheet: 'patients', name: 'Effluent', expression: 'dose * weight * hoursPerDay', unit: 'L' },
      ],
    };
    const [field] = customFields(sheet, scenario);
    // 25 mL/kg/h x 80.5 kg x 24 h = 48.3 L
    expect(field!.show!(sheet.rows(scenario)[0]!, scenario)).toBe('48.3');
    const broken = { ...scenario, columns: [{ ...scenario.columns[0]!, unit: 'kg' }] };
    expect(customFields(sheet, broken)[0]!.show!(sheet.rows(broken)[0]!, broken)).toBe('✕');
    expect(columnProblem(sheet, { name: 'x', expression: 'dose + weight' })).toMatch(/units/);
    expect(columnProblem(sheet, { name: 'x', expression: 'dose * weight', unit: 'kg' })).toMatch(
      /expected kg/,
    );
    expect(columnProblem(sheet, { name: 'Weight', expression: 'dose' })).toMatch(/already/);
  });
});

describe('levers', () => {
  const saving = (scenario: Scenario, lever: Lever) => {
    const problem = compile(scenario);
    return savingOf(scenario, problem, demandOf(problem), lever);
  };
  test('a dose cap saves in proportion to the dose', () => {
    const scenario = tinyWorld({ patients: [{ id: 'a', weight: 65, dose: 40, bath: '2K' }] });
    // 40 and 20 mL/kg/h x 65 kg: a 6.5 L bag lasts 2.5 and 5 h, so 10 and 5 bags hang in 24 h.
    expect(saving(scenario, { kind: 'dose', most: 20 })).toEqual({
      bagsADay: 5,
      litresADay: 32.5,
      patients: 1,
    });
    expect(saving(scenario, { kind: 'hours', most: 12 })).toMatchObject({ bagsADay: 5 });
    expect(saving(scenario, { kind: 'dose', most: 40 })).toMatchObject({ bagsADay: 0, patients: 0 });
  });
  test('one bath for all saves the bags that a change of bath loses, and pulling it does what was told', () => {
    const scenario = full();
    const lever = { kind: 'bath', bath: '2K' } as const;
    const told = saving(scenario, lever);
    const bags = (one: Scenario) =>
      demandOf(compile(one))
        .bags.flat()
        .reduce((sum, count) => sum + count, 0);
    expect(told.bagsADay).toBe(bags(scenario) - bags(run(scenario, pulled(lever))));
    expect(told.patients).toBe(2);
  });
});

test('need and gap as the strip shows them', () => {
  const problem = compile(tinyWorld({ patients: [{ id: 'a', weight: 65, dose: 40, bath: '4K' }] }));
  const need = needSummary(problem, demandOf(problem));
  expect(need).toMatchObject({ bagsADay: 10, litresADay: 65, patients: 1 });
  // 65 kg x 40 mL/kg/h x 24 h = 62.4 L: 2.6 L less than ten whole bags hold. In a session of 10 h: 26 L.
  expect(need.dosedLitresADay).toBeCloseTo(62.4, 9);
  const session = { id: 'a', weight: 65, dose: 40, bath: '4K', session: { start: '08:00', hours: 10 } };
  expect(dosedLitres(compile(tinyWorld({ patients: [session] })))).toBeCloseTo(26, 9);
  expect(need.byBath).toEqual([
    { bath: '2K', bags: 0, bagsADay: 0, litresADay: 0 },
    { bath: '4K', bags: 10, bagsADay: 10, litresADay: 65 },
  ]);
  const plan = (hands: number, bound: number): Pick<Plan, 'score' | 'bound'> => ({
    score: { unmetLitres: 13, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes: hands, expiredBags: 0 },
    bound: { unmetLitres: 6.5, handsOnMinutes: bound },
  });
  expect(gapOf(plan(105, 100))).toEqual({ litres: 6.5, handsOnPercent: expect.closeTo(5) });
  expect(gapOf(plan(105, 0)).handsOnPercent).toBeNull();
});

test('iCalendar: times in UTC across a clock change (RFC 5545)', () => {
  // New York moves from UTC-5 to UTC-4 on 9 March 2031 at 02:00 (IANA time zone database: second Sunday of March).
  const problem = compile(tinyWorld({ timeZone: 'America/New_York', start: '2031-03-09T00:00', days: 1 }));
  const text = toCalendar(problem, [circuit(60), circuit(180)], 0, 1440, Date.UTC(2031, 2, 8));
  const times = [...text.matchAll(/^DTSTART:(\S+)\r?$/gm)].map((match) => match[1]);
  // 180 minutes after midnight it is 04:00 local, 08:00 UTC.
  expect(times).toEqual(['20310309T060000Z', '20310309T080000Z']);
  expect(problem.clock.localOf(180)).toBe('2031-03-09T04:00');
  expect(text).toContain('SUMMARY:New circuit for 2K on M1');
  expect(text.startsWith('BEGIN:VCALENDAR\r\n')).toBe(true);
});

describe('iCalendar of a plan made again', () => {
  const problem = compile(tinyWorld());
  const before = [circuit(0), ...batch(30), waterTest(120), ...batch(130)];
  // The second fill begins later and runs 70 min, the test is sooner.
  const after = [circuit(0), ...batch(30), waterTest(110), ...batch(150, '2K', 'M1', 70)];
  const unfolded = (plan: typeof before, madeAt: number) =>
    toCalendar(problem, plan, 0, 1440, madeAt).replaceAll('\r\n ', '');
  const of = (text: string, field: string) =>
    [...text.matchAll(new RegExp(`^${field}:(.*)\r?$`, 'gm'))].map((match) => match[1]!.trim());

  test('the same work is the same event, and the later file supersedes the earlier one', () => {
    const [one, two] = [unfolded(before, Date.UTC(2031, 1, 3)), unfolded(after, Date.UTC(2031, 1, 3, 0, 1))];
    expect(of(two, 'UID')).toEqual(of(one, 'UID'));
    expect(new Set(of(one, 'UID')).size).toBe(before.length);
    expect(of(two, 'DTSTART')).not.toEqual(of(one, 'DTSTART'));
    expect(Number(of(two, 'SEQUENCE')[0])).toBe(Number(of(one, 'SEQUENCE')[0]) + 1);
    expect(of(two, 'DTSTAMP')[0]! > of(one, 'DTSTAMP')[0]!).toBe(true);
  });

  test('kind, place, day and ordinal name an event, whatever part is written', () => {
    expect(eventNames(problem, [...before, ...batch(1430)]).slice(4)).toEqual([
      'fill-Tiny%20world%20(invented)-M1-2031-02-03-2@bathtide',
      'swap-Tiny%20world%20(invented)-M1-2031-02-03-2@bathtide',
      'fill-Tiny%20world%20(invented)-M1-2031-02-03-3@bathtide',
      'swap-Tiny%20world%20(invented)-M1-2031-02-04-1@bathtide',
    ]);
    const part = toCalendar(problem, before, 130, 1440, 0).replaceAll('\r\n ', '');
    expect(of(part, 'UID')).toEqual(eventNames(problem, before).slice(4));
  });

  test('each event tells what a reader must know of the plan', () => {
    const text = toCalendar(problem, before, 0, 1440, 0, ['Work is lost.']).replaceAll('\r\n ', '');
    const told = of(text, 'DESCRIPTION');
    expect(told).toHaveLength(before.length);
    for (const one of told)
      expect(one).toContain('Work is lost. As planned. Dialysate only. Not sterile. Never infuse.');
  });

  test('a swap tells its bath and when to come', () => {
    const text = unfolded(after, 0);
    expect(of(text, 'SUMMARY')).toContain('Bag swap of 2K on M1');
    // 65 to 75 min after 02:30.
    expect(of(text, 'DESCRIPTION').at(-1)).toMatch(
      /^Swap between 03:35 and 03:45\\, planned 03:40\. As planned\. Dialysate only\./,
    );
  });
});
