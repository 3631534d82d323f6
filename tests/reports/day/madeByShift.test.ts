import { describe, expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { madeByShift } from '../../../src/reports/day/madeByShift.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { noted } from '../../record/book.ts';
import { batch, circuit, tinyWorld } from '../../world.ts';

// Shifts 00:00 to 04:00 and 04:00 to 00:00; 8 bags a fill, 65 min.
const world = tinyWorld({
  shifts: [
    { id: 'night', from: '00:00', to: '04:00', technicians: 1 },
    { id: 'day', from: '04:00', to: '00:00', technicians: 1 },
  ],
});
const problem = compile(world);
const entries = [
  noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' }),
  noted(50, { kind: 'fill', machine: 'M1' }),
  noted(118, { kind: 'off', machine: 'M1', good: 6, rejected: [{ reason: 'leak', bags: 2 }] }),
  noted(126, { kind: 'fill', machine: 'M1' }),
  noted(150, { kind: 'stop', machine: 'M1', why: 'hose torn' }),
  noted(150, { kind: 'out', machine: 'M1' }),
  noted(210, { kind: 'back', machine: 'M1' }),
  noted(215, { kind: 'fill', machine: 'M1' }),
  noted(285, { kind: 'off', machine: 'M1', good: 8 }),
];
const given = [circuit(0), ...batch(30), ...batch(103), ...batch(176)];
const rowsAt = (now: number, knownFrom = 0) =>
  madeByShift(problem, startAt(world, entries, now).state, { given, knownFrom });

describe('made against planned, by shift and machine', () => {
  test('bags, minutes late, and what the record says of why', () => {
    // Planned off at 95, 168, 241: two in the night, one in the day. Made off at 118 (23 late) and 285 (44 later than 241).
    expect(rowsAt(300)).toMatchObject([
      { shift: 'night', machine: 'M1', plannedBags: 16, madeBags: 8, good: 6, held: 0, rejected: 2 },
      { shift: 'day', machine: 'M1', plannedBags: 8, madeBags: 8, good: 8, rejected: 0 },
    ]);
    expect(rowsAt(300)[0]!.reasons).toEqual([
      '2 bags rejected: leak',
      'fill stopped 02:30: hose torn',
      'unavailable 1 h 00 min',
    ]);
  });
  test('a fill is matched with the next one of its bath; what was not made makes nothing late', () => {
    const [night, day] = rowsAt(300);
    // 95 -> 118: 23 min; 168 -> 285: 117 min.
    expect(night!.late).toBe(23 + 117);
    expect(day!.late).toBeNull();
  });
  test('a shift under way counts until now; of what no plan is known nothing is said as planned', () => {
    expect(rowsAt(100)).toMatchObject([{ shift: 'night', plannedBags: 8, madeBags: 0, late: null }]);
    expect(rowsAt(300, 60)).toMatchObject([
      { shift: 'night', plannedBags: null, madeBags: 8, late: null },
      { shift: 'day', plannedBags: 8 },
    ]);
  });
});
