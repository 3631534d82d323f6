import { describe, expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { handoverOf } from '../../../src/reports/day/handover.ts';
import { personListsOf } from '../../../src/reports/day/personLists.ts';
import { placesNow } from '../../../src/reports/day/places.ts';
import { runSheet } from '../../../src/reports/runSheet.ts';
import { noted } from '../../record/book.ts';
import { at, fill, swap, tinyWorld } from '../../world.ts';

/**
 * 8 bags of 6.5 to 7.5 L at 800 mL/min take 65 to 75 min (common practice, no source). The plan had the fill at 00:30; it
 * began at 00:50, so its bags come off from 01:55 to 02:05. The test of 00:00 serves until 01:58: a fill that ends at 01:59
 * ran its last minute on it, so the swap begins by then.
 */
const world = tinyWorld({
  water: [{ id: 'RO', capacity: 1600, testEvery: 118, testMinutes: 10, lastTest: at(0) }],
});
const entries = [
  noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' }),
  noted(50, { kind: 'fill', machine: 'M1' }),
];
const start = startAt(world, entries, 60);
const { problem, state } = start;
// The next fill follows at once: it can wait, and does not close the window.
const planned = [fill(50), swap(115), fill(123), swap(188)];
const window = { from: 115, to: 119 };

describe('a fill that began late: one window on every page, from its real begin to the tightest limit', () => {
  test('at the machine', () => {
    expect(placesNow(start, planned)[0]).toMatchObject({
      window,
      says: 'Filling since 00:50. Swap from 01:55 to 01:59.',
    });
  });
  test('handed over', () => {
    const { underWay } = handoverOf(problem, state, planned, 0);
    expect(underWay).toMatchObject([{ machine: 'M1', start: 50, earliestEnd: 115, latestEnd: 119 }]);
  });
  test("on a person's list", () => {
    const people = [{ name: 'AB', from: 0, to: 600 }];
    const [list] = personListsOf(problem, planned, people, { from: 60, to: 600 }).lists;
    expect(list!.tasks).toMatchObject([
      { start: 115, end: 123, window },
      { start: 123 },
      { start: 188, window: { from: 188 } },
    ]);
  });
  test('on the shift worksheet', () => {
    expect(JSON.stringify(runSheet(problem, planned, problem.shifts[0]!))).toContain('"from":115,"to":119');
  });
  test('without a plan that counts on it, as long as its bags may hold', () => {
    expect(placesNow(start, [])[0]).toMatchObject({ window: { from: 115, to: 125 } });
  });
});
