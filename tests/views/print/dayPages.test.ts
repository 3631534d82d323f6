import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { cover, lotsOfFills } from '../../../src/plan/cover.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { startAt } from '../../../src/record/from.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { dayPapers } from '../../../src/views/print/dayPages.ts';
import type { Paper } from '../../../src/views/print/flow.ts';
import { Pages } from '../../../src/views/print/Pages.tsx';
import { stampOf } from '../../../src/views/print/stamp.ts';
import { noted } from '../../record/book.ts';
import { test as chlorine, circuit, fill, swap, tinyWorld } from '../../world.ts';

const scenario = tinyWorld();
const whole = compile(scenario);
/** The printed text of a page of a day on which a test passed at a minute, with a plan that has one at minute 30. */
function printed(passed: number, which: 'handover' | 'people'): string {
  const start = startAt(scenario, [noted(passed, { kind: 'test', water: 'RO', result: 'pass' })], 20);
  const { problem } = start;
  const demand = demandOf(problem);
  const activities = [chlorine(30), circuit(40), fill(70), swap(135)];
  const plan = asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  const covered = cover(problem, demand, lotsOfFills(problem, activities));
  const papers = dayPapers({
    start,
    whole: { problem: whole, demand: demandOf(whole) },
    baths: scenario.baths,
    demand,
    plan,
    covered,
    shift: problem.shifts[0]!,
    suspect: '',
    given: null,
  });
  const paper: Paper = papers[which]();
  const clean = { ok: true, violations: [], history: [], checked: [] };
  const stamp = stampOf(problem, clean, { madeAt: '2031-02-03 06:00', held: 0, lost: [], edited: false }, []);
  const pages = [{ paper, pieces: paper.pieces }];
  return renderToStaticMarkup(createElement(Pages, { pages, stamp, size: 'A4' }));
}

test.each(['handover', 'people'] as const)('a test that was done early is not on the page: %s', (which) => {
  const planned = /00:30/;
  // 240 min from minute 15 on: all that the plan runs ends by then. A test of the day before holds until 00:20 only.
  expect(printed(15, which)).not.toMatch(planned);
  expect(printed(-220, which)).toMatch(planned);
});
