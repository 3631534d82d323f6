import { describe, expect, test } from 'vitest';
import { setCells } from '../../src/grid/edits.ts';
import { commit, NO_HISTORY, undo } from '../../src/grid/history.ts';
import { renamed } from '../../src/grid/renamed.ts';
import { referencesTo } from '../../src/grid/renaming.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, tinyWorld, test as water } from '../world.ts';

const before = tinyWorld({
  machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
});
const plan = [
  water(0),
  circuit(0),
  ...batch(30),
  bathChange(200),
  ...batch(210, '4K'),
  circuit(0, '2K', 'M2'),
];

test('a machine, a source and a bath that got another name keep what they do', () => {
  const after = tinyWorld({
    baths: [{ id: '2K' }, { id: '4K low' }],
    machines: ['West', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'Plant' })),
    water: [{ ...before.water[0]!, id: 'Plant' }],
  });
  expect(renamed(before, after, plan)).toEqual([
    water(0, 'Plant'),
    circuit(0, '2K', 'West'),
    ...batch(30, '2K', 'West'),
    bathChange(200, '4K low', 'West'),
    ...batch(210, '4K low', 'West'),
    circuit(0, '2K', 'M2'),
  ]);
});

test.each([
  ['rows that change places', ['M2', 'M1']],
  ['a row that goes', ['M2']],
  ['a row that comes first', ['M0', 'M1', 'M2']],
  ['nothing', ['M1', 'M2']],
])('%s: no other name', (_, ids) => {
  const after = { ...before, machines: ids.map((id) => ({ ...before.machines[0]!, id })) };
  expect(renamed(before, after, plan)).toBe(plan);
});

describe('a label typed anew takes what refers to its row along', () => {
  const world = (): Scenario => ({
    ...tinyWorld({
      patients: [{ id: 'bed-01', weight: 80, dose: 25, bath: '2K', changes: [{ at: at(600), bath: '4K' }] }],
      stock: [{ lot: 'S-1', bath: '4K', bags: 4, litres: 6.5 }],
      rules: { reserve: { '4K': 8 } },
    }),
    machines: [
      {
        id: 'M1',
        flow: 800,
        positions: 8,
        water: 'RO',
        baths: ['2K', '4K'],
        loaded: { bath: '4K', circuitSince: at(0) },
      },
    ],
  });
  const typed = (sheet: string, row: number, text: string, scenario = world()) => {
    const of = sheetOf(sheet);
    const edit = { row: of.rows(scenario)[row]!, field: of.fields[0]!, text };
    return commit({ scenario, history: NO_HISTORY }, 'name', setCells(of, [edit]));
  };
  test('a bath: prescriptions, machines, circuits, stock and reserve, in one undo step', () => {
    const { scenario, history } = typed('baths', 1, '4K-35');
    expect(history.past).toHaveLength(1);
    expect(JSON.stringify(scenario)).not.toContain('"4K"');
    expect(scenario.patients[0]!.changes![0]!.bath).toBe('4K-35');
    expect(scenario.machines[0]).toMatchObject({ baths: ['2K', '4K-35'], loaded: { bath: '4K-35' } });
    expect(scenario.rules!.reserve).toEqual({ '4K-35': 8 });
    expect(undo({ scenario, history }).scenario).toEqual(world());
    expect(referencesTo(world(), 'baths', '4K')).toBe(5);
  });
  test('a water source: its machines', () => {
    expect(typed('water', 0, 'RO-B').scenario.machines[0]!.water).toBe('RO-B');
  });
  test('a name that another row has already takes nothing along', () => {
    const { scenario } = typed('baths', 1, '2K');
    expect(scenario.baths.map(({ id }) => id)).toEqual(['2K', '2K']);
    expect(scenario.patients[0]!.changes![0]!.bath).toBe('4K');
  });
});
