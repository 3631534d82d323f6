import { describe, expect, test } from 'vitest';
import type { Compared } from '../../src/capacity/answers/agreement.ts';
import { decidingRuns, type MachineRow } from '../../src/capacity/answers/answers.ts';
import { chanceError } from '../../src/capacity/answers/bands.ts';
import { certaintyOf, decidingJobs, plannedWithin } from '../../src/capacity/answers/certainty.ts';
import { certaintyLines } from '../../src/reports/capacityWords.ts';

const row = (machines: number, chance: number, draws: number): MachineRow => ({
  machines,
  shortageChance: chance,
  chanceError: chanceError(chance, draws),
  bagsShort: chance,
  p95BagsShort: 0,
  causes: { 'opening stock': 0, supplies: 0, technicians: 0, water: 0, machines: chance },
});
/** Of 100 runs the first 20 are short with one machine fewer. */
const deciding = {
  near: Array.from({ length: 20 }, (_, n) => n),
  others: Array.from({ length: 80 }, (_, n) => 20 + n),
  share: 0.2,
};
const made = (draws: number, [fewer, enough]: readonly [number, number]) => ({
  own: 2,
  smallest: 3,
  confidence: 0.95,
  rows: [row(1, 1, draws), row(2, fewer, draws), row(3, enough, draws)],
  deciding,
  days: Array.from({ length: 7 }, () => ({})) as never[],
});
/** So many plans of each deciding number of machines, half of them near; with 3 machines `short` of them are short. */
const plans = (count: number, short = 0): Compared[] =>
  Array.from({ length: count }, (_, n) => n).flatMap((n) => {
    const draw = n % 2 === 0 ? n : 20 + n;
    const isNear = draw < 20;
    return [
      { draw, machines: 3, fast: 0, planned: n < short ? 4 : 0 },
      { draw, machines: 2, fast: isNear ? 5 : 0, planned: isNear ? 5 : 0 },
    ];
  });

test('runs that decide are those short with one machine fewer, among the first ones', () => {
  // Two numbers of machines, three runs.
  const all = { short: Float64Array.from([3, 0, 0, 0, 2, 1]), count: 3 };
  expect(decidingRuns(all, { most: 2, least: 1, machines: 1 })).toEqual({
    near: [0, 2],
    others: [1],
    share: 2 / 3,
  });
  expect(decidingRuns(all, { most: 2, least: 2, machines: 1 }).near).toEqual([2]);
});

test('near runs and others in turn, each with the number that is enough and one fewer', () => {
  const jobs = decidingJobs(made(1000, [0.2, 0.01])).slice(0, 6);
  expect(jobs.map(({ draw, machines }) => [draw, machines])).toEqual([
    [0, 3],
    [0, 2],
    [20, 3],
    [20, 2],
    [1, 3],
    [1, 2],
  ]);
  const listed = decidingJobs({ ...made(1000, [0.2, 0.2]), smallest: null });
  expect(new Set(listed.map(({ machines }) => machines))).toEqual(new Set([2]));
  expect(decidingJobs({ ...made(1000, [0.2, 0.01]), own: 0 })).toEqual([]);
});

test('plans are begun until the time is over, but never fewer than asked', async () => {
  const jobs = decidingJobs(made(1000, [0.2, 0.01]));
  const within = (seconds: number) => {
    let time = 0;
    const compare = async ({ draw }: { draw: number }) => {
      time += 5;
      return draw;
    };
    return plannedWithin(jobs, compare, { threads: 1, now: () => time, seconds, atLeast: 2 });
  };
  expect(await within(20)).toEqual([0, 0, 20, 20]);
  expect(await within(0)).toEqual([0, 0]);
  expect(await within(Number.POSITIVE_INFINITY)).toHaveLength(jobs.length);
});

describe('how sure', () => {
  const gradeOf = (draws: number, chances: readonly [number, number], compared: Compared[]) =>
    certaintyOf(made(draws, chances), compared)!.grade;
  test('sure only where the runs decide and many plans agree', () => {
    expect(gradeOf(10_000, [0.2, 0.01], plans(40))).toBe('sure');
    expect(gradeOf(10_000, [0.2, 0.01], plans(4))).toBe('fair');
    expect(gradeOf(10_000, [0.2, 0.01], [])).toBe('fair');
    // 4.4 % of 500 runs beside 5 % allowed: within the error.
    expect(gradeOf(500, [0.2, 0.044], plans(40))).toBe('open');
    expect(gradeOf(500, [0.06, 0.01], plans(40))).toBe('open');
  });
  test('plans that are short where the model is not speak against the answer', () => {
    expect(gradeOf(10_000, [0.2, 0.01], plans(40, 40))).toBe('against');
    const [head] = certaintyLines(certaintyOf(made(10_000, [0.2, 0.01]), plans(40, 40)), 10_000);
    expect(head).toMatch(/^DO NOT RELY ON THIS ANSWER/);
  });
  test('the chance by plans weighs near runs as they occur', () => {
    // 10 near plans, all short with 2 machines; 30 others, none: 0.2 x 10.5/11 + 0.8 x 0.5/31.
    const [, fewer] = certaintyOf(made(10_000, [0.2, 0.01]), plans(40))!.rows;
    expect(fewer).toMatchObject({ machines: 2, plans: 40, plansShort: 10, agree: 40 });
    expect(fewer!.planned).toBeCloseTo(0.2 * (10.5 / 11) + 0.8 * (0.5 / 31), 9);
  });
  test('without a machine there is nothing to be sure of', () => {
    expect(certaintyOf({ ...made(100, [0, 0]), own: 0 }, [])).toBeNull();
    expect(certaintyLines(null, 100)).toEqual([]);
  });
});
