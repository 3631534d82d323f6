import { describe, expect, it } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { handsOnMinutes, workOf } from '../../src/plan/work.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { DutyRow, RulesRow } from '../../src/scenario/schema.ts';
import { batch, bathChange, circuit, fill, test, tinyWorld } from '../world.ts';

// Expected values counted by hand from the rules of hands-on work; no outside source.

const duties: DutyRow[] = [
  { id: 'break', times: ['01:00'], minutes: 30, technicians: 1 },
  { id: 'clean', place: 'M1', times: ['01:00'], minutes: 30, technicians: 1 },
  { id: 'rinse', place: 'M1', times: ['01:00'], minutes: 30 },
  { id: 'sample', place: 'RO', times: ['01:00'], minutes: 10, technicians: 2 },
];
const duty = (id: string, start: number): Activity => {
  const row = duties.find((one) => one.id === id)!;
  return {
    kind: 'duty',
    duty: id,
    at: 60,
    ...(row.place === 'M1' && { machine: 'M1' }),
    ...(row.place === 'RO' && { water: 'RO' }),
    start,
    end: start + row.minutes,
  };
};
const problem = (rules: RulesRow) =>
  compile(
    tinyWorld({
      rules,
      duties,
      machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
    }),
  );
/** [walkFrom, start, end, technicians] of each piece of work. */
const works = (rules: RulesRow, ...activities: Activity[]) =>
  workOf(problem(rules), activities).map(({ walkFrom, start, end, technicians }) => [
    walkFrom,
    start,
    end,
    technicians,
  ]);
const walking = { walkMinutes: 2 };

describe('hands-on work', () => {
  it('is circuit, bath, swap and test throughout, one technician each, without a walk', () => {
    expect(works({}, circuit(10), ...batch(40), test(200), bathChange(300))).toEqual([
      [10, 10, 40, 1],
      [105, 105, 113, 1],
      [200, 200, 210, 1],
      [300, 300, 310, 1],
    ]);
  });
  it('takes as many as the site says; what takes nobody is none', () => {
    const rules = { hands: { bath: 2, test: 0 } };
    expect(works(rules, bathChange(300), test(0))).toEqual([[300, 300, 310, 2]]);
  });
  it('is the beginning of a fill too', () => {
    expect(works({ fillStartMinutes: 3 }, fill(40))).toEqual([[40, 40, 43, 1]]);
  });
  it('is a duty for its whole length, where it takes somebody', () => {
    expect(works({}, duty('break', 60), duty('rinse', 60), duty('sample', 60))).toEqual([
      [60, 60, 90, 1],
      [60, 60, 70, 2],
    ]);
  });
});

describe('the walk to it', () => {
  it('comes before, and not before minute 0', () => {
    expect(works(walking, circuit(10))).toEqual([[8, 10, 40, 1]]);
    expect(works(walking, circuit(1))).toEqual([[0, 1, 31, 1]]);
  });
  it('is saved by work that ends there as it starts, not by work that ends a minute before', () => {
    const rules = { ...walking, fillStartMinutes: 2 };
    expect(works(rules, circuit(10), fill(40)).at(-1)).toEqual([40, 40, 42, 1]);
    expect(works(rules, circuit(10), fill(41)).at(-1)).toEqual([39, 41, 43, 1]);
  });
  it('is not saved by work at another place, even of the same minute', () => {
    expect(works(walking, circuit(10), circuit(40, '2K', 'M2')).at(-1)).toEqual([38, 40, 70, 1]);
    expect(works(walking, circuit(10), test(40)).at(-1)).toEqual([38, 40, 50, 1]);
  });
  it('is not saved by the end of a fill, which takes nobody', () => {
    expect(works(walking, ...batch(40))).toEqual([[103, 105, 113, 1]]);
  });
  it('is saved by a duty there, however many either takes, not by one that takes nobody', () => {
    expect(works(walking, duty('clean', 60), circuit(90)).at(-1)).toEqual([90, 90, 120, 1]);
    expect(works(walking, duty('rinse', 60), circuit(90))).toEqual([[88, 90, 120, 1]]);
    expect(works(walking, duty('sample', 60), test(70)).at(-1)).toEqual([70, 70, 80, 1]);
  });
  it('is always there for work without a place, and that saves none', () => {
    expect(works(walking, duty('break', 60), duty('break', 90))).toEqual([
      [58, 60, 90, 1],
      [88, 90, 120, 1],
    ]);
  });
});

it('hands-on minutes are lengths times hands, and the beginnings of fills; no walk, no duty', () => {
  const rules = { ...walking, fillStartMinutes: 2, hands: { bath: 2 } };
  const plan = [circuit(10), ...batch(40), bathChange(120), test(200), duty('break', 60)];
  expect(handsOnMinutes(problem(rules), plan)).toBe(30 + 2 + 8 + 2 * 10 + 10);
  expect(handsOnMinutes(problem({}), plan)).toBe(30 + 8 + 10 + 10);
});
