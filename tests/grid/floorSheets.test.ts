import { describe, expect, test } from 'vitest';
import { setCells } from '../../src/grid/edits.ts';
import { commit, NO_HISTORY } from '../../src/grid/history.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { placeOfFault } from '../../src/grid/where.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { whereOnScreen } from '../../src/scenario/fields.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

const site = (): Scenario =>
  tinyWorld({
    baths: [{ id: '2K' }, { id: '4K' }],
    patients: [
      { id: 'bed-1', weight: 65, dose: 10, bath: '2K' },
      { id: 'bed-2', weight: 65, dose: 10, bath: '2K' },
    ],
    water: [
      {
        id: 'RO',
        capacity: 1600,
        testEvery: 240,
        testMinutes: 10,
        lastTest: at(0),
        capacityChanges: [{ at: at(300), capacity: 900 }],
      },
    ],
    substitutes: [{ bath: '2K', by: '4K', except: ['bed-2'], approvedBy: 'KL' }],
  });
const typed = (scenario: Scenario, id: string, row: number, field: string, text: string): Scenario => {
  const sheet = sheetOf(id);
  const edit = {
    row: sheet.rows(scenario)[row]!,
    field: sheet.fields.find(({ key }) => key === field)!,
    text,
  };
  return commit({ scenario, history: NO_HISTORY }, 'typed', setCells(sheet, [edit as never])).scenario;
};
const errorsOf = (scenario: Scenario) =>
  faultsOf(scenario)
    .filter(({ level }) => level === 'error')
    .map(({ path, row }) => ({ place: placeOfFault(scenario, path), says: whereOnScreen(path, row) }));

describe('capacity changes of water', () => {
  test('have a row each, under their source, and what is typed is planned with', () => {
    const [row] = sheetOf('capacityChanges').rows(site());
    expect([row!.owner, row!.value]).toEqual(['RO', { at: at(300), capacity: 900 }]);
    const changed = typed(site(), 'capacityChanges', 0, 'capacity', '1.2 L/min');
    expect(compile(changed).water[0]!.capacities).toEqual([
      { from: 0, capacity: 1600 },
      { from: 300, capacity: 1200 },
    ]);
  });
  test('a wrong one leads to its cell', () => {
    const wrong = typed(site(), 'capacityChanges', 0, 'capacity', '-1');
    expect(errorsOf(wrong)).toEqual([
      {
        place: { sheet: 'capacityChanges', row: 'water.0.capacityChanges.0', field: 'capacity' },
        says: 'Water capacity changes › RO › Capacity then',
      },
    ]);
  });
});

describe('substitute baths', () => {
  test('show the bath, its dates, the beds excluded and who approved it', () => {
    const sheet = sheetOf('substitutes');
    expect(sheet.fields.map(({ header }) => header)).toEqual([
      'Bath',
      'Given instead',
      'From',
      'Until',
      'Beds excluded',
      'Approved by',
    ]);
    const dated = typed(site(), 'substitutes', 0, 'from', '2031-02-03 06:00');
    expect(dated.substitutes![0]).toEqual({
      bath: '2K',
      by: '4K',
      except: ['bed-2'],
      approvedBy: 'KL',
      from: '2031-02-03T06:00',
    });
  });
  test.each([
    ['by', '2K', 'Substitute baths › row 1 › Given instead'],
    ['by', '9K', 'Substitute baths › row 1 › Given instead'],
    ['except', 'bed-1, bed-9', 'Substitute baths › row 1 › Beds excluded'],
  ])('a wrong %s (%s) leads to its cell', (field, text, says) => {
    const [first] = errorsOf(typed(site(), 'substitutes', 0, field, text));
    expect(first).toEqual({ place: { sheet: 'substitutes', row: 'substitutes.0', field }, says });
  });
});
