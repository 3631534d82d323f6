import { expect, test } from 'vitest';
import {
  editsTable,
  type Measured,
  type Moment,
  resultTable,
  targetSeconds,
} from '../../../electron/command/benchText.ts';

const score = (unmetLitres: number, handsOnMinutes: number, reserveShort = 0) => ({
  unmetLitres,
  unmetLitreHours: 0,
  reserveShort,
  handsOnMinutes,
  expiredBags: 0,
});
const trace: readonly Moment[] = [
  { seconds: 0.1, score: score(200, 900) },
  { seconds: 0.2, score: score(110, 1000, 2) },
  { seconds: 0.3, score: score(110, 1080) },
  { seconds: 0.4, score: score(105, 1051) },
  { seconds: 0.5, score: score(104, 1050) },
];
const bound = { unmetLitres: 100, handsOnMinutes: 1000 };

test('a plan is good enough within 1 % of the need and 5 % of the minutes, with the reserve of the last one', () => {
  const case_ = { ours: score(104, 1050), bound, needLitres: 1000 };
  // 110 L are the bound and 1 % of 1,000 L; 1,080 min are 8 % above 1,000, 1,050 are 5 %.
  expect(targetSeconds(trace, case_, 40)).toBe(0.5);
  expect(targetSeconds(trace, case_, 200)).toBe(0.3);
  expect(targetSeconds(trace, { ...case_, ours: score(104, 1050, 2) }, 40)).toBe(0.2);
  expect(targetSeconds(trace.slice(0, 4), case_, 40)).toBeNull();
  expect(targetSeconds(trace, { ...case_, needLitres: 300 }, 40)).toBeNull();
});

test('what edits cost: middle and worst, and a plan that breaks a rule is told', () => {
  const told = [0.3, 0.1, 0.2].map((seconds, n) => ({ seconds, moved: 10 * n, violations: 0 }));
  const edited = { name: 'one', told, activities: 90, edited: score(6.5, 120), anew: score(0, 110) };
  const cells = (text: string) =>
    text
      .split('\n')
      .filter((line) => /one/.test(line))
      .map((line) =>
        line
          .split('│')
          .map((cell) => cell.trim())
          .filter((cell) => cell !== ''),
      );
  const row = ['one', '3', '0.20', '0.30', '90', '10', '20', '30', '6.5', '0.0', '120', '110'];
  expect(cells(editsTable([edited]))).toEqual([[...row, 'yes, valid']]);
  const broken = { ...edited, told: [{ ...told[0]!, violations: 2 }, ...told.slice(1)] };
  expect(cells(editsTable([broken]))).toEqual([[...row, '2 VIOLATIONS']]);
});

test('the best of all seeds stands between ours and the bound, and only where it was looked for', () => {
  const one: Measured = {
    name: 'one',
    needLitres: 1000,
    byHand: score(200, 900),
    ours: score(104, 1050),
    best: score(102.5, 1044),
    bound,
    firstSeconds: 0.1,
    seconds: 2,
    targetSeconds: null,
    byHandSeconds: 0.1,
    boundSeconds: 1,
    violations: 0,
    remarks: [],
  };
  const cellsOf = (of: Measured) =>
    resultTable([of])
      .split('\n')[3]!
      .split('│')
      .map((cell) => cell.trim());
  expect(cellsOf(one).slice(2, 14)).toEqual([
    ...['1000.0', '200.0', '104.0', '102.5', '100.0', '0.4 %'],
    ...['900', '1050', '1044', '1000', '5.0 %', '0'],
  ]);
  expect(cellsOf({ ...one, best: null }).slice(2, 12)).toEqual([
    ...['1000.0', '200.0', '104.0', '100.0', '0.4 %'],
    ...['900', '1050', '1000', '5.0 %', '0'],
  ]);
});
