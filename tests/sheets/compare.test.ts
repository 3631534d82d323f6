import { describe, expect, test } from 'vitest';
import { asPlan } from '../../src/planner/plan.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import {
  bestOf,
  type CompareSection,
  compareVariants,
  inputDifferences,
  needsDiffer,
} from '../../src/sheets/compare.ts';
import { known, twoDays } from './known.ts';

const variant = (name: string, scenario: Scenario) => {
  const { problem, activities } = known(scenario);
  const rest = { bound: { unmetLitres: 0, handsOnMinutes: 0 }, remarks: [], seconds: 0 };
  return { name, scenario, problem, plan: asPlan(problem, activities, rest) };
};
const find = (sections: readonly CompareSection[], label: string) =>
  sections.flatMap(({ rows }) => rows).find((row) => row.label === label)!;

describe('compare', () => {
  const low = twoDays();
  low.patients[0]!.dose = 20;
  low.machines.push({ id: 'M2', flow: 600, positions: 6, water: 'RO' });
  const sections = compareVariants([variant('A', twoDays()), variant('B', low)]);

  test('inputs that differ, and only those, with units; a row that one lacks is one line', () => {
    expect(sections[0]!.rows).toEqual([
      { label: 'patients › bed-1 › dose', unit: 'mL/kg/h', values: [25, 20], better: null },
      { label: 'machines › M2', unit: '', values: ['absent', 'present'], better: null },
    ]);
  });

  test('order of rows is no difference', () => {
    const turned = twoDays();
    turned.patients.reverse();
    expect(inputDifferences([twoDays(), turned])).toEqual([]);
  });

  test('needs, score and work of each variant as its plan has them', () => {
    const [a, b] = [variant('A', twoDays()), variant('B', low)];
    expect(find(sections, 'Unmet').values).toEqual([a.plan.score.unmetLitres, b.plan.score.unmetLitres]);
    expect(find(sections, 'Hands-on work').values).toEqual([
      a.plan.score.handsOnMinutes / 60,
      b.plan.score.handsOnMinutes / 60,
    ]);
    const bags = (plan: typeof a.plan) => plan.needs.reduce((sum, need) => sum + need.bags, 0);
    expect(find(sections, 'All bags').values).toEqual([bags(a.plan), bags(b.plan)]);
    expect(find(sections, 'M2 in use').values[0]).toBeNull();
    expect(find(sections, 'On shift').values).toEqual([24, 24]);
  });

  test('the best is marked only where one is better', () => {
    const row = { label: '', unit: '', better: 'less' as const };
    expect(bestOf({ ...row, values: [3, 2, 2] })).toEqual([1, 2]);
    expect(bestOf({ ...row, values: [2, 2] })).toEqual([]);
    expect(bestOf({ ...row, better: 'more', values: [3, null, 2] })).toEqual([0]);
    expect(bestOf({ ...row, better: null, values: [3, 2] })).toEqual([]);
    expect(bestOf({ ...row, values: ['x', 2] })).toEqual([]);
    // Equal as shown: 44.0 h each.
    expect(bestOf({ ...row, values: [44.03, 44.01] })).toEqual([]);
  });

  test('less need is not better: no best among bags and litres, and it is told that the needs differ', () => {
    const needs = sections.find(({ title }) => title === 'Needs')!.rows;
    expect(needs.map(({ label }) => label)).toEqual([
      'Bags of 2K',
      'Bags of 4K',
      'All bags',
      'All bags a day',
      'Litres',
    ]);
    expect(needs.map(bestOf)).toEqual([[], [], [], [], []]);
    expect(needsDiffer(sections)).toBe(true);
    const more = twoDays();
    more.machines.push({ id: 'M2', flow: 600, positions: 6, water: 'RO' });
    const same = compareVariants([variant('A', twoDays()), variant('B', more)]);
    expect(needsDiffer(same)).toBe(false);
    expect(bestOf(find(same, 'Unmet'))).toHaveLength(1);
  });
});
