import { expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { chiefPage } from '../../../src/reports/chief.ts';
import { compareVariants } from '../../../src/reports/compare.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { shownVariants } from '../../../src/views/panels/shownVariants.ts';
import type { Planned } from '../../../src/views/state/planned.ts';
import { bed, noted } from '../../record/book.ts';
import { tinyWorld } from '../../world.ts';
import { planOf } from '../state/session.ts';

const scenario = tinyWorld({ patients: [bed()] });
const other = { ...scenario, days: scenario.days + 1 };
const whole = compile(scenario);
const full = planOf(scenario);
/** What the plan on screen is of a recorded day: of what is left at a minute, with what is left of the work. */
const left = {
  scenario,
  problem: startAt(scenario, [noted(5, { kind: 'note', text: 'x' })], 600).problem,
  plan: { ...full, activities: full.activities.filter(({ start }) => start >= 600) },
} as unknown as Planned;
const kept = { name: 'A', scenario: other, plan: left.plan };
const NONE = new Map();

test('of a recorded day no plan of what is left is compared with a whole one', () => {
  const { shown, unplanned } = shownVariants({ variants: [kept], plans: NONE, planned: left, whole });
  expect(shown).toEqual([]);
  expect(unplanned).toBe(2);
});
test('of a recorded day the plans from the start are, and the page tells of each what its own plan scores', () => {
  const plans = new Map([
    [scenario, full],
    [other, planOf(other)],
  ]);
  const { shown, alike } = shownVariants({ variants: [kept], plans, planned: left, whole });
  expect(alike).toBe(true);
  expect(shown.map(({ name, problem }) => [name, problem.now, problem.horizon])).toEqual([
    ['A', 0, other.days * 1440],
    ['now', 0, scenario.days * 1440],
  ]);
  const needs = compareVariants(shown).find(({ title }) => title === 'Needs')!;
  const bags = needs.rows.find(({ label }) => label === 'All bags')!.values as number[];
  expect(bags[1]).toBeLessThan(bags[0]!);
  const unmet = chiefPage(shown, alike).rows.find(({ head }) => /unmet/i.test(head))!;
  expect(unmet.cells.map((text) => text === 'nothing')).toEqual(
    shown.map(({ plan }) => plan.score.unmetLitres === 0),
  );
});
test('of a day without a record each is shown with the plan it has', () => {
  const { shown } = shownVariants({ variants: [kept], plans: NONE, planned: left, whole: null });
  expect(shown.map(({ name }) => name)).toEqual(['A', 'now']);
});
