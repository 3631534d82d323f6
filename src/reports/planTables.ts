import type { Demand } from '../demand/demand.ts';
import { customFields } from '../grid/columns.ts';
import { type TableCell, tableOf, withCaution } from '../grid/csv.ts';
import { SHEETS } from '../grid/sheets.ts';
import { type Plan, placeOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { workName } from '../words/activities.ts';
import { CAUTION, NO_PRESCRIBING } from '../words/cautions.ts';
import { clockChangeTexts, spanText } from '../words/times.ts';
import { checkText, DO_NOT_USE } from '../words/verdict.ts';
import { type Audited, pastTexts, type Standing, verdictText, warningsOf } from './audited.ts';
import { handsIn } from './describe.ts';
import { NOT_PROVEN, needSummary } from './summary.ts';
import type { NamedTable } from './workbook.ts';

const many = (what: string, texts: readonly string[]): TableCell[][] =>
  texts.map((text) => [what, text, null]);

/**
 * The whole plan as tables: what it is worth, its schedule, its needs, and every sheet it was made from; what is wrong
 * with it, now or in the past, a line each.
 */
export function planTables(
  scenario: Scenario,
  problem: Problem,
  demand: Demand,
  plan: Plan,
  verdict: Audited,
  standing: Standing,
): NamedTable[] {
  const { clock } = problem;
  const at = (minute: number): Date => new Date(`${clock.localOf(minute)}Z`);
  const changes = clockChangeTexts(clock, 0, problem.horizon);
  const need = needSummary(problem, demand);
  const overview: TableCell[][] = [
    ['What', 'Value', 'Unit'],
    ...(verdict.ok ? [] : [[DO_NOT_USE, checkText(verdict.checked.length, verdict.violations.length), null]]),
    ['Scenario', scenario.title, null],
    ['Plan made', standing.madeAt, null],
    ['Plan check', verdictText(clock, verdict, standing.held), null],
    ...many(
      'Broken rule',
      verdict.violations.map(({ message }) => message),
    ),
    ...many('Warning', warningsOf(clock, verdict, standing)),
    ...many('Before now', pastTexts(verdict, standing)),
    ...many('Clock change', changes),
    ['Unmet', plan.score.unmetLitres, 'L'],
    ['Proven: no plan leaves less unmet than', plan.bound.unmetLitres ?? NOT_PROVEN, 'L'],
    ['Short of the reserve', plan.score.reserveShort, 'bags'],
    ['Hands-on work', plan.score.handsOnMinutes, 'min'],
    [
      'Proven: no plan as good in unmet litres needs less work than',
      plan.bound.handsOnMinutes ?? NOT_PROVEN,
      'min',
    ],
    ['Expired unused', plan.score.expiredBags, 'bags'],
    ...need.byBath.map(({ bath, bagsADay }): TableCell[] => [
      `Bags of ${bath}, mean over the plan`,
      bagsADay,
      'bags per day',
    ]),
    ['Dialysate in whole bags, mean over the plan', need.litresADay, 'L per day'],
    ['Dialysate by the doses alone, mean over the plan', need.dosedLitresADay, 'L per day'],
    ['Caution', CAUTION.long, null],
    ['Caution', NO_PRESCRIBING, null],
  ];
  const hands = handsIn(problem, plan.activities);
  const schedule: TableCell[][] = [
    [
      'Begins',
      'Ends',
      'Length (min)',
      'Where',
      'What',
      'Bath',
      'Technicians',
      ...(changes.length > 0 ? ['As read'] : []),
    ],
    ...plan.activities.map((activity, index): TableCell[] => [
      at(activity.start),
      at(activity.end),
      activity.end - activity.start,
      placeOf(activity),
      activity.kind === 'duty' ? activity.duty : workName(activity.kind),
      'bath' in activity ? activity.bath : null,
      hands(index),
      // A date cell has no second 01:30 of a day.
      ...(changes.length > 0 ? [spanText(clock, activity.start, activity.end)] : []),
    ]),
  ];
  // Each sheet of a workbook may be printed alone.
  const headed = (table: TableCell[][]) => withCaution(table, verdict.ok ? [] : [DO_NOT_USE]);
  const needs: TableCell[][] = [
    ['Bag round', 'Leaves', 'Bath', 'Bags', 'Need (L)', 'Unmet (L)'],
    ...plan.needs.map((row): TableCell[] => [
      row.round,
      at(row.at),
      row.bath,
      row.bags,
      row.litres,
      row.unmetLitres,
    ]),
  ];
  return [
    { name: 'Overview', table: overview },
    { name: 'Schedule', table: headed(schedule) },
    { name: 'Needs', table: headed(needs) },
    ...SHEETS.map((sheet) => ({
      name: sheet.title,
      table: withCaution(tableOf(sheet, [...sheet.fields, ...customFields(sheet, scenario)], scenario)),
    })),
  ];
}
