import { describe, expect, test } from 'vitest';
import { cellsWith, cleared, filledDown, nextOf } from '../../src/grid/fill.ts';
import { commit, NO_HISTORY } from '../../src/grid/history.ts';
import { overwrittenBy, pasteOf, pasteRecipe, type Target } from '../../src/grid/paste.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { invented } from '../browser/scenario.ts';

const scenario = invented(4, 1);
const patients = sheetOf('patients');
const target = (top: number, column: string, part: Partial<Target> = {}, of: Scenario = scenario): Target => {
  const rows = patients.rows(of);
  return {
    top,
    left: patients.fields.findIndex(({ key }) => key === column),
    rows: 1,
    columns: 1,
    fields: patients.fields,
    rowAt: (index) => rows[index],
    ...part,
  };
};
const written = ({ edits }: ReturnType<typeof pasteOf>) =>
  edits.map(({ row, field, text }) => `${row.key} ${field.key} ${text}`);

describe('paste', () => {
  test('a block lands from the first cell on; what goes past the last row is new rows', () => {
    const pasted = pasteOf('80\t25\r\n90\t30\r\n', target(3, 'weight'));
    expect(written(pasted)).toEqual(['patients.3 weight 80', 'patients.3 dose 25']);
    expect(pasted.added.map((cells) => cells.map(({ field, text }) => `${field.key} ${text}`))).toEqual([
      ['weight 90', 'dose 30'],
    ]);
    expect(pasted.end).toEqual({ row: 4, column: 2 });
  });
  test('one cell fills the selection; columns past the last are left out', () => {
    expect(written(pasteOf('70', target(0, 'weight', { rows: 3 })))).toHaveLength(3);
    const fields = patients.fields.slice(0, 2);
    const pasted = pasteOf('70\t25\t2K\n71\t26\t', target(0, 'weight', { fields }));
    expect(written(pasted)).toEqual(['patients.0 weight 70', 'patients.1 weight 71']);
    expect(pasted.leftOut).toEqual([{ heading: 'past the last column', values: 3 }]);
    expect(pasteOf('70\t\t', target(0, 'weight', { fields })).leftOut).toEqual([]);
  });
  test('blank lines between rows are no new rows', () => {
    const pasted = pasteOf('80\t25\n\t\n \t\n90\t30\n\t\n', target(4, 'weight'));
    expect(pasted.added.map((cells) => cells.map(({ text }) => text))).toEqual([
      ['80', '25'],
      ['90', '30'],
    ]);
  });
  test('a first line that repeats the headers goes, its unit stays with the numbers', () => {
    const pasted = pasteOf('Weight (lb)\tDose\r\n180\t25', target(0, 'weight'));
    expect(pasted.headed).toBe(1);
    expect(written(pasted)).toEqual(['patients.0 weight 180 lb', 'patients.0 dose 25']);
  });
  test('a column of numbers into a cell that holds a list of them is that list', () => {
    const forecast = sheetOf('forecast');
    const rows = forecast.rows(scenario);
    const top = rows.findIndex(({ key }) => key === 'forecast.startsPerDay');
    const pasted = pasteOf('1\r\n2\r\n4', {
      ...target(top, 'id'),
      left: 1,
      fields: forecast.fields,
      rowAt: (index) => rows[index],
    });
    expect(written(pasted)).toEqual(['forecast.startsPerDay value 1, 2, 4']);
  });
});

describe('fill, clear and find', () => {
  const lines = patients
    .rows(scenario)
    .map((row) => patients.fields.slice(0, 3).map((field) => ({ row, field })));
  test('the first line goes into the others, as it was typed', () => {
    const typed = {
      ...scenario,
      patients: scenario.patients.map((one, index) =>
        index === 0 ? { ...one, weight: 81.6466266, typed: { weight: '180 lb' } } : one,
      ),
    };
    const block = patients.rows(typed).map((row) => [{ row, field: patients.fields[1]! }]);
    expect(filledDown(block, typed).map(({ row, text }) => `${row.key} ${text}`)).toEqual([
      'patients.1 180 lb',
      'patients.2 180 lb',
      'patients.3 180 lb',
    ]);
    expect(filledDown([], scenario)).toEqual([]);
  });
  test('clearing is named after its one cell, or counts them', () => {
    expect(cleared([[lines[0]![1]!]]).label).toBe('clear Weight');
    expect(cleared(lines).label).toBe('clear 12 cells');
  });
  test('find goes round in both ways', () => {
    const spots = cellsWith(lines, 'BED', scenario);
    expect(spots).toEqual([0, 1, 2, 3].map((row) => ({ row, column: 0 })));
    const at = (row: number, column: number, step: 1 | -1 | 0) => nextOf(spots, { row, column }, step);
    expect([at(1, 0, 0), at(1, 0, 1), at(1, 0, -1), at(3, 2, 1), at(0, 0, -1)]).toEqual([1, 2, 0, 0, 3]);
  });
});

describe('what a paste writes over', () => {
  const over = (text: string, column: string, top = 0) => {
    const { edits } = pasteOf(text, target(top, column));
    return overwrittenBy(patients, edits, scenario);
  };
  test('rows whose typed cells it changes; empty cells and the same text are nothing', () => {
    expect(over('56\t26\r\n57\t27', 'weight').names).toEqual(['bed-01', 'bed-02']);
    expect(over('10\r\n20', 'fluidRemoval').names).toEqual([]);
    expect(over(scenario.patients.map(({ weight }) => weight).join('\r\n'), 'weight').names).toEqual([]);
    // One cell typed over is no more than typing.
    expect(over('56', 'weight').names).toEqual([]);
  });
  test('a row that has nothing but its label is filled, not written over', () => {
    const fresh = { ...scenario, patients: [{ id: 'bed-05' } as Scenario['patients'][0]] };
    const { edits } = pasteOf('bed-77\t81\t25\t3K', target(0, 'id', {}, fresh));
    expect(overwrittenBy(patients, edits, fresh)).toEqual({ names: [], replaced: [] });
  });
  test('a label that is new takes nothing from the row it lands on', () => {
    const old = {
      ...scenario,
      patients: scenario.patients.map((one, index) =>
        index === 1
          ? { ...one, until: '2031-02-04T01:00', changes: [{ at: '2031-02-03T12:00', dose: 40 }] }
          : one,
      ),
    };
    const { edits, added } = pasteOf('bed-77\t81\t25\t3K', target(1, 'id', {}, old));
    const { names, replaced } = overwrittenBy(patients, edits, old);
    expect(names).toEqual(['bed-02 (becomes bed-77)']);
    const recipe = pasteRecipe(patients, { edits, added }, { replaced });
    const { scenario: after } = commit({ scenario: old, history: NO_HISTORY }, 'paste', recipe);
    expect(after.patients[1]).toEqual({ id: 'bed-77', weight: 81, dose: 25, bath: '3K' });
    expect(after.patients[0]).toEqual(old.patients[0]);
  });
});
