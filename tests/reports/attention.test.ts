import { expect, test } from 'vitest';
import { startAt } from '../../src/record/from.ts';
import { faultsAttention, nextWork, supplyAttention, unmetAttention } from '../../src/reports/attention.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { noted } from '../record/book.ts';
import { test as chlorine, circuit, fill, swap, tinyWorld } from '../world.ts';

const problem = compile(tinyWorld());
const plan = [chlorine(0), circuit(10, '2K'), fill(40), swap(105)];

test('the next work is the first that begins at or after now, with how long there is until then', () => {
  expect(nextWork(problem, plan, { now: 0 })?.text).toMatch(/^00:00 RO: .*\(now\)$/);
  expect(nextWork(problem, plan, { now: 41 })?.text).toMatch(/^01:45 M1: .*2K \(in 1 h 04 min\)$/);
  expect(nextWork(problem, plan, { now: 106 })).toBeNull();
});

test('what has begun by the record in this very minute is not asked for once more', () => {
  const entries = [
    noted(0, { kind: 'test', water: 'RO', result: 'pass' }),
    noted(10, { kind: 'circuit', machine: 'M1', bath: '2K' }),
    noted(40, { kind: 'fill', machine: 'M1' }),
  ];
  const { state } = startAt(tinyWorld(), entries, 40);
  expect(nextWork(problem, plan, { now: 40 })?.text).toMatch(/^00:40 M1: Start the fill of 2K/);
  expect(nextWork(problem, plan, { now: 40, state })?.text).toMatch(/^01:45 M1: Swap the bags/);
});

test('errors come before warnings, each counted', () => {
  expect(faultsAttention([{ level: 'warning' }, { level: 'error' }])).toMatchObject({
    tone: 'bad',
    text: 'Mend 1 error in the sheets',
  });
  expect(faultsAttention([{ level: 'warning' }, { level: 'warning' }])?.text).toContain('2 warnings');
  expect(faultsAttention([])).toBeNull();
});

test('of supplies the one that runs out first is named, by when it is needed', () => {
  const rows = [
    { item: 'circuit', runsOut: 700, firstShort: null },
    { item: 'empty bags', runsOut: 900, firstShort: 300 },
  ];
  expect(supplyAttention(problem, rows)?.text).toMatch(/^Get empty bags before .*05:00$/);
  expect(supplyAttention(problem, [{ item: 'circuit', runsOut: null, firstShort: null }])).toBeNull();
});

test('what is unmet is told in whole bags and liters, and where to look', () => {
  const { fillLitres } = problem.rules;
  const told = unmetAttention(problem, 7.5 * fillLitres);
  expect(told?.tone).toBe('bad');
  expect(told?.text).toMatch(/^8 bags \([\d.,]+ L\) unmet: look at Ways out$/);
  expect(unmetAttention(problem, 0)).toBeNull();
});
