import { expect, test } from 'vitest';
import { audit } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import { chanceOf } from '../../../src/planner/search/chance.ts';
import { commonHours, hoursOf, worthCommonHours } from '../../../src/planner/search/commonHours.ts';
import { dailyStarts } from '../../../src/planner/search/dailyStarts.ts';
import { Search } from '../../../src/planner/search/search.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { realUnit } from '../../bench/realUnits.ts';

const TRIES = 10_000;
const problem = compile({ ...realUnit(8), days: 4 });
const demand = demandOf(problem);

test('hours for all machines come again with the bag rounds and last as long as some tests or circuits, with rest between', () => {
  const all = [...hoursOf(problem, 60)];
  expect(all.length).toBeGreaterThan(50);
  // Rounds at 06:00 and 18:00, circuits of 12 h: every 12, 24 and 36 h.
  expect([...new Set(all.map(({ every }) => every))]).toEqual([720, 1440, 2160]);
  for (const { every, from, length } of all) {
    expect(from % 180).toBe(60);
    expect(from).toBeLessThan(every);
    expect(length).toBeLessThanOrEqual(0.8 * every);
    expect(length).toBeGreaterThanOrEqual(2 * 241);
  }
  // Machines of one sort: any of them will do for the one that works at other hours.
  expect(new Set(all.map(({ other }) => other?.m ?? null))).toEqual(new Set([null, 2]));
});

test('a search of common hours breaks no rule, tells how far it is, and needs less than one from hours of each day', () => {
  const search = new Search(problem, demand);
  const told = [0, ...commonHours(search, problem, demand, { seed: 1, tries: TRIES })];
  expect(told.filter((done, n) => n > 0 && done < told[n - 1]!)).toEqual([]);
  expect(told.at(-1)!).toBeGreaterThan(0.9);
  expect(told.at(-1)!).toBeLessThanOrEqual(1);
  const activities = search.activities();
  expect(audit(problem, activities).violations).toEqual([]);
  expect(search.best).toMatchObject({ unmetParts: 0 });

  const plain = new Search(problem, demand);
  for (const lines of dailyStarts(problem, demand)) plain.consider(lines);
  const heat = { tries: 17_000, hot: 6, cold: 0.5, litre: 2, litreTo: 100 };
  for (const _ of plain.anneal(plain.promising!, chanceOf(1), heat));
  expect(plain.best).toMatchObject({ unmetParts: 0 });
  expect(search.best!.handsOn).toBeLessThan(plain.best!.handsOn);
});

test('common hours are tried only where bags and circuits last short, machines rest most of the time and there are tries', () => {
  expect(worthCommonHours(problem, demand, TRIES)).toBe(true);
  expect(worthCommonHours(problem, demand, TRIES - 1)).toBe(false);
  const lasting = { ...problem, rules: { ...problem.rules, circuitLife: 1440 } };
  expect(worthCommonHours(lasting, demand, TRIES)).toBe(false);
  const old = { ...problem, rules: { ...problem.rules, shelf: 5 * 1440 } };
  expect(worthCommonHours(old, demand, TRIES)).toBe(false);
  // With one machine instead of three the need, a quarter of their time, is three quarters of its own.
  const { machines } = problem;
  expect(worthCommonHours({ ...problem, machines: machines.slice(0, 1) }, demand, TRIES)).toBe(false);
});
