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

test('bags to carry at once are told with their liters where some bags hold another volume', () => {
  // 80 kg x 40.625 mL/kg/h = 3.25 L/h: a 6.5 L bag each 2 h, the opening round until 07:00 at least.
  const patients = [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }];
  const carried = (litres: number) => {
    const stock = [{ lot: 'P-1', bath: '2K', bags: 40, litres }];
    const rules = { rounds: ['12:00'] };
    const left = noted(0, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 1 }] });
    const pass = noted(0, { kind: 'test', water: 'RO', result: 'pass' });
    return unsafeTexts(startAt(tinyWorld({ patients, stock, rules }), [left, pass], 1)).filter((text) =>
      text.startsWith('CARRY'),
    );
  };
  const [same] = carried(6.5);
  const bags = Number(/^CARRY (\d+) of 2K NOW\.$/.exec(same!)![1]);
  const [other] = carried(5);
  const [, more, liters] = /^CARRY (\d+) of 2K \(([\d.]+) L\) NOW\.$/.exec(other!)!;
  // One bag of 5 L is there, less than one of 6.5 L: what is due is rounded up to whole bags.
  expect(Number(more)).toBeGreaterThanOrEqual(bags);
  expect(Number(liters)).toBe(Number(more) * 6.5);
});
