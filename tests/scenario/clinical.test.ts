import { expect, test } from 'vitest';
import { dosesAtMost, hoursAtMost, substituted } from '../../src/scenario/clinical.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

const bed = (id: string, more: object = {}) => ({ id, weight: 80, dose: 30, bath: '2K', ...more });
/** When each bed runs which bath: [minute, bath]. */
const courses = (scenario: Scenario) =>
  compile(scenario).patients.map(({ steps }) =>
    steps.map(({ at: minute, bath }) => [minute, ['2K', '4K'][bath]]),
  );

test('caps are of all prescriptions, now and later; a session is as much shorter', () => {
  const world = tinyWorld({
    patients: [
      bed('a', {
        changes: [
          { at: at(60), dose: 35 },
          { at: at(90), dose: 20, hoursPerDay: 22 },
        ],
      }),
      bed('b', { dose: 22, session: { start: '08:00', hours: 10 } }),
    ],
  });
  const [a, b] = dosesAtMost(world, 25).patients;
  expect([a!.dose, ...a!.changes!.map(({ dose }) => dose), b!.dose]).toEqual([25, 25, 20, 22]);
  const [c, d] = hoursAtMost(world, 9).patients;
  expect([c!.hoursPerDay, c!.changes![1]!.hoursPerDay]).toEqual([9, 9]);
  expect([d!.hoursPerDay, d!.session!.hours]).toEqual([undefined, 9]);
  expect(compile(hoursAtMost(world, 9)).patients).toHaveLength(2);
});

test('a substitute runs in place of its bath between its dates, and not at the beds that it excludes', () => {
  const world = tinyWorld({
    patients: [
      bed('all day'),
      bed('excluded'),
      bed('other', { bath: '4K' }),
      bed('turns', {
        bath: '4K',
        changes: [
          { at: at(300), bath: '2K' },
          { at: at(500), bath: '4K' },
        ],
      }),
      bed('late', { from: at(400) }),
    ],
  });
  const row = { bath: '2K', by: '4K', from: at(240), until: at(600), except: ['excluded'] };
  expect(courses(substituted(world, row))).toEqual([
    [
      [0, '2K'],
      [240, '4K'],
      [600, '2K'],
    ],
    [[0, '2K']],
    [[0, '4K']],
    [
      [0, '4K'],
      [300, '4K'],
      [500, '4K'],
    ],
    [
      [400, '4K'],
      [600, '2K'],
    ],
  ]);
  expect(
    courses(substituted(world, { bath: '2K', by: '4K' }))
      .flat(1)
      .every(([, bath]) => bath === '4K'),
  ).toBe(true);
});
