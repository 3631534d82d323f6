import { expect, test } from 'vitest';
import { groundOf } from '../../src/capacity/draws/draw.ts';
import { Lots } from '../../src/capacity/model/lots.ts';
import { kindsOf, machinesFor } from '../../src/capacity/model/machines.ts';
import { shelfOf } from '../../src/capacity/model/shelf.ts';
import { Staffing } from '../../src/capacity/model/staffing.ts';
import { crowdOf, slackOf, USABLE, waitFor } from '../../src/capacity/model/usable.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { emptySite } from './worlds.ts';

/** Two days from midnight, rounds at 06:00 and 18:00 that cover bags from an hour later on. */
const problemOf = (changes: Partial<Scenario> = {}) =>
  groundOf({ ...emptySite({ days: 2, startsPerDay: 0 }), ...changes }).problem;
const DEADLINES = [Number.NEGATIVE_INFINITY, 345, 1065, 1785, 2505];

test('a full machine waits half of what is under way, less the more technicians there are', () => {
  expect(waitFor(30, 1, 1)).toBe(15);
  expect(waitFor(30, 0.5, 2)).toBe(15 * 0.25);
  // The second one is there for half of the time.
  expect(waitFor(30, 0.5, 1.5)).toBe(15 * 0.5 * 0.75);
  expect(waitFor(30, 0, 1)).toBe(0);
});

test('less of the technicians is lost the longer full bags may wait', () => {
  expect(crowdOf(0, 10)).toBe(0);
  expect(crowdOf(30, 0)).toBe(USABLE.crowd);
  expect(crowdOf(30, 30)).toBe(USABLE.crowd / 2);
  // 8 bags at 800 mL/min: 65 to 75 min.
  expect(slackOf(problemOf().machines)).toBe(10);
  expect(slackOf([])).toBe(0);
});

test('bags of a short life serve only a part of what was made for the round, or none of it', () => {
  const problem = problemOf({ rules: { shelfHours: 24 } });
  // The round at 18:00 (1080) covers bags hung until 07:00 (1860): fills must end after 420, their swaps after 428.
  const { from, part } = shelfOf(problem, DEADLINES);
  expect(from[2]).toBe(2);
  // A fill of 65 min that begins when the deadline before has passed ends at 410: what is lost is 18 min of 720.
  expect(part[2]).toBeCloseTo(1 - 18 / 720, 12);
  // Bags that keep for five days serve whatever comes.
  const long = shelfOf(problemOf(), DEADLINES);
  expect([...long.from.slice(1)]).toEqual([1, 1, 1, 1]);
  expect([...long.part.slice(1)]).toEqual([1, 1, 1, 1]);
});

test('lots go in the order of their expiry, by litres, and none before it is ready', () => {
  const lots = new Lots(
    problemOf({
      stock: [
        { lot: 'late', bath: '2K', bags: 4, litres: 6.5 },
        { lot: 'soon', bath: '2K', bags: 13, litres: 5, expires: '2031-02-03T12:00' },
        { lot: 'none', bath: '2K', bags: 0, litres: 5 },
      ],
      deliveries: [{ lot: 'D', bath: '2K', bags: 6, litres: 6.5, ready: '2031-02-03T12:00' }],
    }),
  );
  expect(lots.count).toBe(3);
  lots.refill();
  // 13 bags of 5 L are 10 of 6.5 L; they expire before the round at 18:00 does any good.
  expect(lots.take(0, 0, 9)).toBe(0);
  expect(lots.take(0, 1, 3)).toBe(0);
  expect(lots.take(0, 2, 20)).toBeCloseTo(20 - (4 - 3) - 6, 9);
  lots.refill();
  expect(lots.take(0, 0, 20)).toBeCloseTo(20 - 14, 9);
  expect(lots.take(1, 0, 5)).toBe(5);
});

test('who is there for each round: technicians by their hours, less the absent', () => {
  const staffing = new Staffing(
    problemOf({
      shifts: [
        { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
        { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
      ],
    }),
    DEADLINES,
  );
  staffing.begin([]);
  // Until 05:45 the night's; until 17:45 the night's until 07:00, then two.
  expect(staffing.total[1]).toBe(345);
  expect(staffing.total[2]).toBe(75 + 2 * (1065 - 420));
  expect(staffing.minutes[2]).toBe(720);
  expect(staffing.open).toEqual([0, 2880]);
  // Bands in order of time: the night before, the first day ...
  staffing.begin([1, 1]);
  expect(staffing.openChanged).toBe(true);
  expect(staffing.total[1]).toBe(0);
  expect(staffing.total[2]).toBe(1065 - 420);
  expect(staffing.open).toEqual([420, 2880]);
});

test('machines by the baths that they run; copies of the last one have no circuit in place', () => {
  const problem = problemOf({
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO', baths: ['2K'] },
      { id: 'M2', flow: 800, positions: 8, water: 'RO' },
      {
        id: 'M3',
        flow: 500,
        positions: 8,
        water: 'RO',
        baths: ['2K'],
        loaded: { bath: '2K', circuitSince: '2031-02-03T00:00' },
      },
    ],
  });
  expect(kindsOf(problem.machines)).toEqual({ kinds: [[0], [0, 1]], kindOf: [0, 1, 0] });
  const four = machinesFor(problem, 4);
  expect(four.map(({ id }) => id)).toEqual(['M1', 'M2', 'M3', 'M3 copy 1']);
  expect(four[2]!.loaded).not.toBeNull();
  expect(four[3]!.loaded).toBeNull();
  expect(machinesFor(problem, 2)).toHaveLength(2);
});
