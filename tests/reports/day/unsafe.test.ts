import { expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { unsafeTexts } from '../../../src/reports/day/unsafe.ts';
import { noted } from '../../record/book.ts';
import { tinyWorld } from '../../world.ts';

const world = tinyWorld({ stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }] });

test('a page that somebody works by says failed water, a machine that is unavailable, bags on hold and to call back', () => {
  const quiet = startAt(world, [noted(0, { kind: 'test', water: 'RO', result: 'pass' })], 10);
  expect(unsafeTexts(quiet)).toEqual([]);
  const bad = startAt(
    world,
    [
      noted(5, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4, bed: 'bed-1' }] }),
      noted(8, { kind: 'out', machine: 'M1' }),
      noted(9, { kind: 'test', water: 'RO', result: 'fail' }),
      noted(9, { kind: 'hold', lot: 'P-1' }),
    ],
    10,
  );
  expect(unsafeTexts(bad)).toEqual([
    'CALL BACK 4 bags: see the recall list.',
    'M1: Unavailable.',
    'RO: The test of 00:09 FAILED. Nothing may run before a new test passes.',
    '6 bags on hold: do not hang.',
  ]);
});
