import { describe, expect, test } from 'vitest';
import { addRows, deleteRows, setCells } from '../../src/grid/edits.ts';
import { commit, NO_HISTORY, type Recipe, undo } from '../../src/grid/history.ts';
import { idsAfter, type KnownRow, keptOrder } from '../../src/grid/rowIds.ts';
import type { Sheet } from '../../src/grid/sheet.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

const patients = sheetOf('patients');
const changes = sheetOf('changes');
const world = (): Scenario =>
  tinyWorld({
    patients: ['a', 'b', 'c'].map((id, index) => ({
      id,
      weight: 80,
      dose: 25,
      bath: '2K',
      // The same change for two beds: only its place tells them apart.
      ...(id !== 'b' && { changes: [{ at: at(60), dose: 30 }] }),
      fluidRemoval: index,
    })),
  });
const known = (sheet: Sheet, scenario: Scenario): KnownRow[] =>
  sheet.rows(scenario).map((row, index) => ({ id: `r${index}`, row }));
const ids = (sheet: Sheet, before: Scenario, scenario: Scenario, trail?: Map<string, string>) => {
  let n = 0;
  return idsAfter(known(sheet, before), sheet.rows(scenario), () => `new${n++}`, trail);
};
const run = (scenario: Scenario, recipe: Recipe) => commit({ scenario, history: NO_HISTORY }, 'test', recipe);
const cellEdit = (sheet: Sheet, scenario: Scenario, row: number, key: string, text: string) => ({
  row: sheet.rows(scenario)[row]!,
  field: sheet.fields.find((field) => field.key === key)!,
  text,
});

describe('ids of rows', () => {
  test('stay through typing, also of the name', () => {
    const before = world();
    const { scenario } = run(before, setCells(patients, [cellEdit(patients, before, 1, 'id', 'z')]));
    expect(ids(patients, before, scenario)).toEqual(['r0', 'r1', 'r2']);
  });
  test('go with the rows when others come or go above them, and when that is undone', () => {
    const before = world();
    const added = run(before, addRows(patients, patients.rows(before)[0], [[]]));
    expect(ids(patients, before, added.scenario)).toEqual(['r0', 'new0', 'r1', 'r2']);
    expect(ids(patients, added.scenario, undo(added).scenario)).toEqual(['r0', 'r2', 'r3']);
    const { scenario } = run(before, deleteRows(patients, [patients.rows(before)[0]!]));
    expect(ids(patients, before, scenario)).toEqual(['r1', 'r2']);
  });
  test('go with a row to another owner, and back', () => {
    const before = world();
    const moved = run(before, setCells(changes, [cellEdit(changes, before, 0, 'owner', 'b')]));
    expect(changes.rows(moved.scenario).map(({ owner }) => owner)).toEqual(['b', 'c']);
    expect(ids(changes, before, moved.scenario)).toEqual(['r0', 'r1']);
    const further = run(
      moved.scenario,
      setCells(changes, [cellEdit(changes, moved.scenario, 0, 'owner', 'c')]),
    );
    expect(ids(changes, moved.scenario, further.scenario)).toEqual(['r1', 'r0']);
    const lost = run(moved.scenario, setCells(changes, [cellEdit(changes, moved.scenario, 0, 'owner', 'x')]));
    expect(ids(changes, moved.scenario, lost.scenario)).toEqual(['r1', 'r0']);
    expect(ids(changes, lost.scenario, undo(lost).scenario)).toEqual(['r1', 'r0']);
  });
  test('follow the trail of an act that changes rows and moves them at once', () => {
    const before = world();
    const trail = new Map<string, string>();
    const edits = [
      cellEdit(changes, before, 0, 'owner', 'c'),
      cellEdit(changes, before, 0, 'dose', '21'),
      cellEdit(changes, before, 1, 'owner', 'a'),
      cellEdit(changes, before, 1, 'dose', '22'),
    ];
    const { scenario } = run(before, setCells(changes, edits, trail));
    expect(changes.rows(scenario).map(({ value }) => value.dose)).toEqual([22, 21]);
    expect(ids(changes, before, scenario, trail)).toEqual(['r1', 'r0']);
  });
});

test('an order is kept: what is new stands below what it follows, at the end at the end', () => {
  const shown = ['c', 'a', 'b'];
  expect(keptOrder(shown, ['a', 'b', 'c'])).toEqual(shown);
  expect(keptOrder(shown, ['b', 'c'])).toEqual(['c', 'b']);
  expect(keptOrder(shown, ['x', 'a', 'y', 'z', 'b', 'c'])).toEqual(['x', 'c', 'a', 'y', 'z', 'b']);
  expect(keptOrder(shown, ['a', 'b', 'c', 'x', 'y'])).toEqual(['c', 'a', 'b', 'x', 'y']);
  expect(keptOrder(shown, ['a', 'x', 'b', 'c'], true)).toEqual(['c', 'a', 'b', 'x']);
  expect(keptOrder([], ['a', 'b'])).toEqual(['a', 'b']);
});
