import { expect, test } from 'vitest';
import { setUpsDone } from '../../../src/planner/repair/planOn.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, batch, bathChange, circuit, duty, tinyWorld } from '../../world.ts';

/** M1 with 2K in place since a minute, planned on from minute 40. */
const from = (since: number | null, bath = '2K') => ({
  ...compile(
    tinyWorld({
      machines: [
        {
          id: 'M1',
          flow: 800,
          positions: 8,
          water: 'RO',
          ...(since !== null && { loaded: { bath, circuitSince: at(since) } }),
        },
      ],
    }),
  ),
  now: 40,
});
const done = (since: number | null, plan: Parameters<typeof setUpsDone>[1], bath?: string) => [
  ...setUpsDone(from(since, bath), plan),
];
const again = circuit(40);

test('a circuit noted as in place is not set up once more, because the plan before still had it ahead', () => {
  expect(done(10, [again, ...batch(70)])).toEqual([again]);
  const change = bathChange(40, '2K');
  expect(done(10, [change, ...batch(50)])).toEqual([change]);
});
test('what is not done stays: another bath, no circuit yet, an old one, one after a fill or after a duty that may end it', () => {
  expect(done(10, [circuit(40, '4K')])).toEqual([]);
  expect(done(null, [again])).toEqual([]);
  expect(done(-200, [again])).toEqual([]);
  expect(done(10, [...batch(40), circuit(120)])).toEqual([]);
  expect(done(10, [duty('rinse', 40, { machine: 'M1' }), circuit(100)])).toEqual([]);
});
