import { describe, expect, test } from 'vitest';
import { fromCsv } from '../../src/grid/csv.ts';
import { isHeadingLine, leftOutOf, mapHeadings, partHeading } from '../../src/grid/headings.ts';
import { commit, NO_HISTORY } from '../../src/grid/history.ts';
import { guessMapping, previewImport } from '../../src/grid/import.ts';
import { pasteOf, pasteRecipe } from '../../src/grid/paste.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { invented } from '../browser/scenario.ts';

const patients = sheetOf('patients');
const means = (...headings: string[]) =>
  mapHeadings(patients.fields, headings).map((one) => one?.field ?? null);

describe('headings', () => {
  test('usual synonyms, in any order', () => {
    expect(
      means(
        'Bath',
        'Wt',
        'Net UF',
        'Pre-filter',
        'h/day',
        'Start',
        'Stop',
        'Bed',
        'Dose (mL/kg/h)',
        'Anticoag',
      ),
    ).toEqual([
      'bath',
      'weight',
      'fluidRemoval',
      'replacement',
      'hoursPerDay',
      'from',
      'until',
      'id',
      'dose',
      'anticoagulation',
    ]);
  });
  test('a heading named outright goes before one that is only usual; each column once', () => {
    expect(means('Room', 'Bed')).toEqual([null, 'id']);
    expect(means('Weight', 'Dry weight')).toEqual(['weight', null]);
  });
  test('a name of a person is never taken for a bed', () => {
    expect(means('Name', 'Patient name', 'MRN', 'DOB')).toEqual([null, null, null, null]);
  });
  test('units: in brackets, after a comma, at the end', () => {
    expect(['Weight (lb)', 'Weight, lb', 'Net UF mL/h', 'Bed'].map(partHeading)).toEqual([
      { name: 'Weight', unit: 'lb' },
      { name: 'Weight', unit: 'lb' },
      { name: 'Net UF', unit: 'mL/h' },
      { name: 'Bed' },
    ]);
  });
  test('a line of values is no line of headings', () => {
    const line = ['bed-01', '80', '25', '2K'];
    expect(isHeadingLine(mapHeadings(patients.fields, line), line)).toBe(false);
  });
  test('what is left out is counted', () => {
    const headings = ['Bed', 'Name', 'Note'];
    const table = [
      ['bed-1', 'A', ''],
      ['bed-2', 'B', ''],
    ];
    expect(leftOutOf(headings, table, mapHeadings(patients.fields, headings))).toEqual([
      { heading: 'Name', values: 2 },
    ]);
  });
});

/** What a messy table becomes on an empty sheet, by paste and by import: both must agree. */
function taken(table: string) {
  const scenario = { ...invented(1, 1), patients: [] };
  const pasted = pasteOf(table.replaceAll(' | ', '\t'), {
    top: 0,
    left: 0,
    rows: 1,
    columns: 1,
    fields: patients.fields,
    rowAt: () => undefined,
  });
  const done = commit({ scenario, history: NO_HISTORY }, 'paste', pasteRecipe(patients, pasted)).scenario;
  const lines = fromCsv(table.replaceAll(' | ', '\t'));
  const mapping = guessMapping(patients, lines[0]!);
  const preview = previewImport(patients, scenario, lines.slice(1), mapping, 'match');
  const imported = commit({ scenario, history: NO_HISTORY }, 'import', preview.recipe).scenario;
  const plain = (rows: readonly object[]) => rows.map((row) => ({ ...row, typed: undefined }));
  expect(plain(imported.patients)).toEqual(plain(done.patients));
  return {
    beds: plain(done.patients) as Record<string, unknown>[],
    leftOut: pasted.leftOut.map(({ heading }) => heading),
  };
}

describe('messy tables', () => {
  test('1: other order, synonyms, units in the head', () => {
    expect(taken('Bath | Wt (lb) | Bed | Effluent\r\n2K | 180 | bed-01 | 25').beds).toMatchObject([
      { id: 'bed-01', bath: '2K', dose: 25, weight: 81.6466266 },
    ]);
  });
  test('2: hours as h/day, also in the cells', () => {
    const { beds } = taken(
      'Bed | Weight | Dose | Bath | h/day\nA | 80 | 25 | 2K | 22\nB | 80 | 25 | 2K | 20 h/day',
    );
    expect(beds.map(({ hoursPerDay }) => hoursPerDay)).toEqual([22, 20]);
  });
  test('3: a heading that names hours of therapy with its unit', () => {
    expect(
      taken('Bed | Wt | Dose | Bath | Therapy a day (h/day)\nA | 80 | 25 | 2K | 24').beds[0],
    ).toMatchObject({
      hoursPerDay: 24,
    });
  });
  test('3b: one column under another name of it, where it lands', () => {
    const scenario = invented(2, 1);
    const rows = patients.rows(scenario);
    const { edits, headed } = pasteOf('Therapy a day (h/day)\r\n22\r\n20', {
      top: 0,
      left: patients.fields.findIndex(({ key }) => key === 'hoursPerDay'),
      rows: 1,
      columns: 1,
      fields: patients.fields,
      rowAt: (index) => rows[index],
    });
    expect([headed, ...edits.map(({ field, text }) => `${field.key} ${text}`)]).toEqual([
      2,
      'hoursPerDay 22 h/day',
      'hoursPerDay 20 h/day',
    ]);
  });
  test('4: names and diagnoses are left out and said', () => {
    const { beds, leftOut } = taken('Bed | Name | Wt | Dose | Bath | Dx\nA | Doe | 80 | 25 | 2K | AKI');
    expect(leftOut).toEqual(['Name', 'Dx']);
    expect(JSON.stringify(beds)).not.toContain('Doe');
  });
  test('5: look-alike letters and blanks in the bath', () => {
    expect(
      taken('Bed | Wt | Dose | Bath\n A  | 80 | 25 | 4К \nB | 80 | 25 | ４Ｋ').beds.map(({ bath }) => bath),
    ).toEqual(['4K', '4K']);
  });
  test('6: dates as people write them', () => {
    expect(taken('Bed | Wt | Dose | Bath | Start\nA | 80 | 25 | 2K | 2/4 7:00 pm').beds[0]).toMatchObject({
      from: '2031-02-04T19:00',
    });
  });
  test('7: net UF and pre-filter with units', () => {
    expect(
      taken('Bed | Wt | Dose | Bath | Net UF (mL/h) | Pre-filter (L/h)\nA | 80 | 25 | 2K | 100 | 0.5')
        .beds[0],
    ).toMatchObject({ fluidRemoval: 100, replacement: 500 });
  });
  test('8: empty cells and short lines', () => {
    expect(taken('Bed | Wt | Dose | Bath\nA | 80 | 25 | 2K\nB | 70').beds).toMatchObject([
      { id: 'A', dose: 25 },
      { id: 'B', weight: 70 },
    ]);
  });
  test('9: a semicolon file with decimal commas', () => {
    expect(fromCsv('Bed;Wt;Dose;Bath\nA;80,5;25,5;2K\nB;1.080,5 lb;30;4K, old')).toEqual([
      ['Bed', 'Wt', 'Dose', 'Bath'],
      ['A', '80.5', '25.5', '2K'],
      ['B', '1080.5 lb', '30', '4K, old'],
    ]);
  });
  test('10: baths from a label, in the units of the label', () => {
    const baths = sheetOf('baths');
    const scenario = { ...invented(1, 1), baths: [] };
    const lines = fromCsv(
      'Bath,K (mEq/L),Na (mEq/L),Ca (mmol/L),Mg (mmol/L),HCO3 (mEq/L),Glucose (mg/dL)\n4K,4,140,1.25,0.5,32,100',
    );
    const { recipe } = previewImport(
      baths,
      scenario,
      lines.slice(1),
      guessMapping(baths, lines[0]!),
      'match',
    );
    const { baths: made } = commit({ scenario, history: NO_HISTORY }, 'import', recipe).scenario;
    expect(made).toMatchObject([
      { id: '4K', potassium: 4, sodium: 140, calcium: 2.5, magnesium: 1, bicarbonate: 32, glucose: 5.551 },
    ]);
  });
});
