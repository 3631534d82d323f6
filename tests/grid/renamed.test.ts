import { expect, test } from 'vitest';
import { renamed } from '../../src/grid/renamed.ts';
import { batch, bathChange, circuit, tinyWorld, test as water } from '../world.ts';

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
