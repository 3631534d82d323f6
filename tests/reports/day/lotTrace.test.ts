import { describe, expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { startAt } from '../../../src/record/from.ts';
import { lotTrace, traceableOf, traceables } from '../../../src/reports/day/lotTrace.ts';
import { bagCode } from '../../../src/reports/day/swapLabels.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { noted } from '../../record/book.ts';
import { tinyWorld } from '../../world.ts';

// 80 kg x 40.625 mL/kg/h = 3.25 L/h: a bag of 6.5 L runs for 2 h, so bed-1 hangs one at 00:00, 02:00, 04:00, 06:00 ...
const world = tinyWorld({
  patients: [{ id: 'bed-1', ward: 'ICU', weight: 80, dose: 40.625, bath: '2K' }],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
  rules: { rounds: ['06:00'], leadMinutes: 0 },
});
const LOT = 'M1 2031-02-03 01:00';
const entries = [
  noted(0, {
    kind: 'leave',
    round: 0,
    loads: [
      { lot: 'P-1', bath: '2K', bags: 3, ward: 'ICU', bed: 'bed-1' },
      { lot: 'P-1', bath: '2K', bags: 2 },
    ],
  }),
  noted(5, { kind: 'test', water: 'RO', result: 'pass' }),
  noted(40, { kind: 'circuit', machine: 'M1', bath: '2K', lots: { acid: 'A-7', filter: 'F-1' } }),
  noted(45, { kind: 'reading', machine: 'M1', pH: 7.2 }),
  noted(60, { kind: 'fill', machine: 'M1' }),
  noted(128, { kind: 'off', machine: 'M1', good: 8 }),
  noted(140, { kind: 'fill', machine: 'M1' }),
];
const problem = compile(world);
const traceAt = (now: number, text: string) => {
  const { state } = startAt(world, entries, now);
  const asked = traceableOf(traceables(problem, state), text);
  return asked && lotTrace({ problem, demand: demandOf(problem), state }, asked);
};

describe('what can be asked', () => {
  test.each([
    ['a lot', LOT, [LOT]],
    ['a bag by its code', bagCode(LOT, 3, 8), [LOT]],
    ['a machine', 'm1', [LOT]],
    ['a source', 'water RO', [LOT]],
    ['a concentrate by its lot alone', 'A-7', [LOT]],
    ['a filter', 'filter F-1', [LOT]],
    ['a circuit', 'circuit on M1 since 2031-02-03 00:10', [LOT]],
    ['stock', 'P-1', ['P-1']],
  ])('%s', (_, text, lots) => {
    expect(traceAt(150, text)!.lots.map(({ lot }) => lot)).toEqual(lots);
  });
  test('what is not of this record is not taken for something else', () => {
    expect(traceAt(150, 'A-8')).toBeNull();
    expect(traceAt(150, '')).toBeNull();
    expect(traceAt(150, bagCode('M9 2031-02-03 01:00', 1, 8))).toBeNull();
  });
});

describe('what is still at the bedside, by the prescription', () => {
  const there = (now: number) =>
    traceAt(now, 'P-1')!.beds.map(({ bed, bags, there: count }) => [bed, bags, count]);
  test('a bag counts as there until the next one hangs; where no bed is noted, all count', () => {
    // At 02:30 the first bag has run through, the second hangs, the third waits.
    expect(there(150)).toEqual([
      [null, 2, 2],
      ['bed-1', 3, 2],
    ]);
    expect(there(119)).toContainEqual(['bed-1', 3, 3]);
    expect(there(120)).toContainEqual(['bed-1', 3, 2]);
    expect(there(360)).toContainEqual(['bed-1', 3, 0]);
  });
  test('it names the bag round by its time', () => {
    expect(traceAt(150, 'P-1')!.beds[1]!.round).toEqual({ round: 0, at: 0 });
  });
});

test('backward: set-up, readings and tests, with who and when; what is filling now is named', () => {
  const trace = traceAt(150, 'A-7')!;
  expect(trace.filling).toEqual(['M1']);
  const [from] = trace.from;
  expect(from).toMatchObject({ began: { at: 60, by: 'AB' }, ended: { at: 128, by: 'AB' } });
  expect(from!.setUp!.lots).toMatchObject({ acid: 'A-7' });
  expect(from!.readings.map(({ at }) => at)).toEqual([45]);
  expect(from!.tests.map(({ at }) => at)).toEqual([5]);
});
