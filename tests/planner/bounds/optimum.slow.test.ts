import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { compareScores } from '../../../src/plan/plan.ts';
import { loadSolver } from '../../../src/planner/bounds/highs.ts';
import { plan } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { tinyByPairs } from '../../bench/tinyDays.ts';
import { stepwiseOptimum } from '../search/stepwise.ts';
import { tinyDays, tinyGrid } from '../worlds.ts';
import { exactOptimum } from './exact.ts';

/** One or two machines, one or two baths, with shortage and reserve and without; proven by HiGHS in seconds each. */
const WORLDS = [1, 2, 3, 6, 7, 9, 15, 19, 22, 30];

test('the planner reaches the proven optimum of nine in ten tiny worlds', async () => {
  const missed: unknown[] = [];
  for (const seed of WORLDS) {
    const problem = compile(tinyGrid(seed));
    const optimum = exactOptimum(problem, demandOf(problem), await loadSolver());
    const { score } = await plan(problem, { tries: 6000 });
    const best = {
      ...optimum,
      handsOnMinutes: Math.round(optimum.handsOnMinutes),
      expiredBags: 0,
      unmetLitreHours: 0,
    };
    const than = compareScores({ ...score, expiredBags: 0, unmetLitreHours: 0 }, best);
    expect(than, `world ${seed}: ${JSON.stringify({ score, optimum })}`).toBeGreaterThanOrEqual(0);
    if (than > 0) missed.push({ seed, score, optimum });
  }
  expect(missed.length, JSON.stringify(missed)).toBeLessThanOrEqual(WORLDS.length / 10);
});

test('two proofs of an optimum, one in whole numbers and one state by state, agree', async () => {
  for (const seed of [15, 20, 33]) {
    const problem = compile(tinyGrid(seed));
    const demand = demandOf(problem);
    const { unmetLitres, reserveShort, handsOnMinutes } = exactOptimum(problem, demand, await loadSolver());
    const none = {
      unmetLitres: 9999,
      unmetLitreHours: 0,
      reserveShort: 0,
      handsOnMinutes: 0,
      expiredBags: 0,
    };
    expect(stepwiseOptimum(problem, demand, none), `world ${seed}`).toMatchObject({
      unmetLitres,
      reserveShort,
      handsOnMinutes: Math.round(handsOnMinutes),
    });
  }
});

/** Two machines, two days, two baths; small enough to be walked through state by state. */
const DAYS = [2, 3, 5, 9, 10, 11, 12, 15, 17, 19];

test('the planner reaches the proven optimum of nine in ten tiny worlds of two days', async () => {
  const missed: unknown[] = [];
  for (const seed of DAYS) {
    const problem = compile(tinyDays(seed));
    const { score } = await plan(problem, { tries: 22_500 });
    const better = stepwiseOptimum(problem, demandOf(problem), score);
    if (better) missed.push({ seed, score, better });
  }
  expect(missed.length, JSON.stringify(missed)).toBeLessThanOrEqual(DAYS.length / 10);
});

test('the pairs of searches that the app runs reach the proven optimum of 19 of 20 tiny worlds of two days', async () => {
  const missed: unknown[] = [];
  for (let world = 1; world <= 20; world++) {
    const made = await tinyByPairs(world);
    if (made.better) missed.push({ world, ...made });
  }
  expect(missed.length, JSON.stringify(missed)).toBeLessThanOrEqual(1);
});
