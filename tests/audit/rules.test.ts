import { describe, expect, it } from 'vitest';
import { audit, RULES } from '../../src/audit/audit.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { batch, bathChange, circuit, test, tinyWorld } from '../world.ts';
import { DUTIES } from './cases-duties.ts';
import { FLOOR } from './cases-floor.ts';
import { MACHINES } from './cases-machines.ts';
import { RESOURCES } from './cases-resources.ts';
import { TIMES } from './cases-times.ts';

const CASES = [...TIMES, ...MACHINES, ...RESOURCES, ...FLOOR, ...DUTIES];

for (const { id } of RULES)
  describe(id, () => {
    for (const { name, world, plan, breaches, now } of CASES.filter(({ rule }) => rule === id))
      it(name, () => {
        const { violations, ok } = audit({ ...compile(world), now: now?.at ?? 0 }, plan, {
          underWay: now?.underWay ?? [],
        });
        const found = violations.filter(({ rule }) => rule === id);
        expect(found.map(({ start, end, amount }) => [start, end, amount])).toEqual(breaches);
        if (breaches.length > 0) expect(ok).toBe(false);
        for (const { message, unit } of found) {
          expect(message).toMatch(/^\S.*[^.]\.$/);
          expect(message).not.toMatch(/undefined|NaN\b(?! and)|\[object/);
          expect(unit).not.toBe('');
        }
      });
  });

describe('the table of rules', () => {
  it('has no id twice', () => expect(new Set(RULES.map(({ id }) => id)).size).toBe(RULES.length));

  it.each(RULES.map(({ id }) => id))(
    '%s: cases that keep it, on the border too, and cases that break it',
    (id) => {
      const cases = CASES.filter(({ rule }) => rule === id);
      expect(cases.filter(({ breaches }) => breaches.length === 0).length).toBeGreaterThanOrEqual(2);
      expect(cases.filter(({ breaches }) => breaches.length > 0).length).toBeGreaterThanOrEqual(1);
    },
  );

  it('has every rule that has cases', () => {
    const ids = new Set(RULES.map(({ id }) => id));
    expect(CASES.filter(({ rule }) => !ids.has(rule))).toEqual([]);
  });
});

it('each rule says how much it looked at', () => {
  const world = tinyWorld({
    machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
    shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 2 }],
    supplies: [
      { item: 'circuit', onHand: 9, perCircuit: 1 },
      { item: 'bag set', onHand: 9, perFill: 1, bath: '2K' },
    ],
  });
  // Hands from 0 to 30, from 95 to 140 (swap, test, change and circuit overlap, two at once), from 180 to 188.
  const plan = [
    circuit(0),
    test(10),
    ...batch(30),
    test(100),
    bathChange(105),
    ...batch(115, '4K'),
    circuit(110, '2K', 'M2'),
  ];
  const { ok, checked } = audit(compile(world), plan);
  expect(ok).toBe(true);
  const hands = 30 + (140 - 95) + 8;
  expect(Object.fromEntries(checked.map(({ rule, count }) => [rule, count]))).toEqual({
    'known-kind': 9,
    'whole-minutes-start-before-end': 9,
    'known-place': 9,
    'known-bath': 5,
    'begins-from-now': 9,
    'within-horizon': 9,
    'within-window': 7,
    'machine-no-overlap': 7,
    'right-length': 7,
    'fill-window': 2,
    'fill-start-staffed': 2,
    'fill-has-swap': 2,
    'swap-has-fill': 2,
    'circuit-in-place': 3,
    'bath-loaded': 2,
    'bath-allowed': 5,
    'circuit-life': 5,
    'technicians-enough': hands,
    'water-capacity': 5,
    'water-tested': 5,
    // Two circuits, and one fill of 2K.
    'supplies-enough': 3,
    'duty-known': 0,
    'duty-done-once': 0,
    'duty-in-time': 0,
    'duty-water-free': 0,
  });
});
