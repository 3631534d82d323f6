import { styleText } from 'node:util';
import Table from 'cli-table3';
import { demandOf } from '../../src/demand/demand.ts';
import { lotsOfFills } from '../../src/plan/cover.ts';
import { swapWindowsIn } from '../../src/plan/latest.ts';
import type { Activity, Plan } from '../../src/plan/plan.ts';
import { placeKey } from '../../src/plan/work.ts';
import { dayBags } from '../../src/reports/coverSeries.ts';
import { handsIn } from '../../src/reports/describe.ts';
import { NOT_PROVEN } from '../../src/reports/summary.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { workName } from '../../src/words/activities.ts';
import { CAUTION, NO_PRESCRIBING } from '../../src/words/cautions.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { machineText, waterText } from '../../src/words/places.ts';
import { dateText, readyText, roundHead, spanText, timeText, whenText } from '../../src/words/times.ts';

type Style = Parameters<typeof styleText>[0];
/** Paints text, or leaves it plain where colour would be noise (a file, a pipe, NO_COLOR). */
export type Paint = (style: Style, text: string) => string;
export const painter =
  (colour: boolean): Paint =>
  (style, text) =>
    colour ? styleText(style, text) : text;

const BORDERS = {
  chars: { mid: '', 'left-mid': '', 'mid-mid': '', 'right-mid': '' },
  style: { head: [], border: [] },
};

export function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  numbersFrom: number,
): string {
  const colAligns = head.map((_, column) => (column >= numbersFrom ? ('right' as const) : ('left' as const)));
  const grid = new Table({ ...BORDERS, head: [...head], colAligns });
  for (const row of rows) grid.push([...row]);
  return grid.toString();
}

/** Needs by round: bags of each bath, and what of it stays unmet. */
export function needsTable(problem: Problem, plan: Plan, paint: Paint): string {
  const { clock, rounds, baths, partsPerLitre, bagParts } = problem;
  const bagLitres = bagParts / partsPerLitre;
  const rows = rounds.flatMap((round) => {
    const mine = plan.needs.filter((need) => need.round === round.index);
    if (mine.length === 0) return [];
    const cells = baths.map((bath) => {
      const need = mine.find((row) => row.bath === bath);
      if (!need) return '-';
      const short = need.unmetLitres > 1e-9;
      const text = `${numberText(need.bags)}${short ? ` (unmet ${numberText(need.unmetLitres / bagLitres)})` : ''}`;
      return short ? paint(['red', 'bold'], text) : text;
    });
    const litres = mine.reduce((sum, need) => sum + need.litres, 0);
    const unmet = mine.reduce((sum, need) => sum + need.unmetLitres, 0);
    return [
      [
        roundHead(clock, { round: round.index, at: round.at }),
        spanText(clock, round.from, round.to),
        ...cells,
        numberText(litres),
        unmet > 1e-9 ? paint(['red', 'bold'], numberText(unmet)) : '0',
      ],
    ];
  });
  if (rows.length === 0) return 'No bags are needed.';
  return table(
    ['Bag round', 'For bags hung', ...baths.map((id) => `${id}, bags`), 'Need, L', 'Unmet, L'],
    rows,
    2,
  );
}

/** Bags hung in each 24 h from the start, by bath. */
export function bagsTable(problem: Problem): string {
  const days = dayBags(problem, demandOf(problem));
  const total = problem.baths.map((_, bath) => days.reduce((sum, day) => sum + day.bags[bath]!, 0));
  const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
  return table(
    ['24 h from', ...problem.baths.map((id) => `${id}, bags`), 'All, bags', 'All, L'],
    [
      ...days.map(({ day, bags, total: all, litres }) => [
        whenText(problem.clock, day * 1440),
        ...bags.map((count) => numberText(count)),
        numberText(all),
        numberText(litres),
      ]),
      [
        'All days',
        ...total.map((count) => numberText(count)),
        numberText(sum(total)),
        numberText(sum(days.map((day) => day.litres))),
      ],
    ],
    1,
  );
}

/** Of what no proof is made. */
const NOT_LOOKED = 'not counted';

/** How good the plan is, and how much better any plan could be. */
export function scoreTable({ score, bound }: Plan, paint: Paint): string {
  const told = (least: number | null, places?: number) =>
    least === null ? NOT_PROVEN : numberText(least, places);
  const gap = (value: number, least: number | null) =>
    least === null
      ? '-'
      : value - least <= 1e-6
        ? 'none'
        : `${numberText(value - least)}${least > 0 ? ` (${numberText((100 * (value - least)) / least)} %)` : ''}`;
  const unmet = numberText(score.unmetLitres, 3);
  // Nothing unmet needs no proof.
  const leastUnmet = score.unmetLitres > 1e-9 ? bound.unmetLitres : 0;
  return table(
    ['What', 'This plan', 'Proven: no plan below', 'Difference'],
    [
      [
        'Unmet need, L',
        score.unmetLitres > 0 ? paint(['red', 'bold'], unmet) : unmet,
        told(leastUnmet, 3),
        gap(score.unmetLitres, leastUnmet),
      ],
      ['Short of the reserve, bags', numberText(score.reserveShort, 2), NOT_LOOKED, '-'],
      [
        'Hands-on work, min',
        numberText(score.handsOnMinutes),
        told(bound.handsOnMinutes),
        gap(score.handsOnMinutes, bound.handsOnMinutes),
      ],
      ['Expired unused, bags', numberText(score.expiredBags, 2), NOT_LOOKED, '-'],
    ],
    1,
  );
}

/** The lines of a plan's activities, by their place in its list. */
function sheetRows(problem: Problem, { activities }: Plan, paint: Paint): (index: number) => string[] {
  const lots = lotsOfFills(problem, activities);
  const windows = swapWindowsIn(problem, activities);
  const hands = handsIn(problem, activities);
  const time = (minute: number) => timeText(problem.clock, minute);
  return (index) => {
    const activity = activities[index]!;
    const { start, end } = activity;
    const span = `${time(start)} - ${time(end)}`;
    if (activity.kind !== 'fill') {
      const bath = activity.kind === 'circuit' || activity.kind === 'bath' ? activity.bath : '';
      const name = activity.kind === 'duty' ? activity.duty : workName(activity.kind);
      return [span, name, bath, '', hands(index), ''];
    }
    const number = problem.machines.findIndex(({ id }) => id === activity.machine);
    const lot = lots.find((one) => one.machine === number && one.begun === start)!;
    const window = windows(index)!;
    return [
      span,
      paint('bold', `Fill ${countText(problem.machines[number]!.usable, 'bag')}`),
      activity.bath,
      window.to > window.from ? `${time(window.from)} - ${time(window.to)}` : `at ${time(window.from)}`,
      problem.rules.fillStartMinutes > 0 ? hands(index) : 'at the start',
      `ready ${readyText(problem.clock, lot.ready, start)}; expire ${whenText(problem.clock, lot.expires)}`,
    ];
  };
}

/** Columns that say nothing in any row are left out. */
function filledTable(head: readonly string[], rows: readonly string[][]): string {
  const said = head.map((_, column) => rows.some((row) => row[column] !== ''));
  const kept = <T>(cells: readonly T[]) => cells.filter((_, column) => said[column]);
  const heads = kept(head);
  return table(
    heads,
    rows.map((row) => kept(row).map((cell) => cell || '-')),
    heads.length,
  );
}

/** Every machine's and water source's day, and breaks and work elsewhere, by local date. */
export function runSheets(problem: Problem, plan: Plan, paint: Paint): string {
  const head = ['Time', 'Work', 'Bath', 'Swap window', 'Technicians', 'Bags'];
  const dateOf = (activity: Activity) => problem.clock.localOf(activity.start).slice(0, 10);
  const rowOf = sheetRows(problem, plan, paint);
  const dates = [...new Set(plan.activities.map(dateOf))];
  const places = [
    ...problem.machines.map(({ id }) => ({ title: machineText(id), key: `machine ${id}` })),
    ...problem.water.map(({ id }) => ({ title: waterText(id), key: `water ${id}` })),
    { title: 'Breaks and work elsewhere', key: '' },
  ];
  const parts = dates.flatMap((date) =>
    places.flatMap(({ title, key }) => {
      const rows = plan.activities.flatMap((activity, index) =>
        dateOf(activity) === date && placeKey(activity) === key ? [rowOf(index)] : [],
      );
      return rows.length === 0
        ? []
        : [paint('bold', `${title}, ${dateText(date, true)}`), filledTable(head, rows)];
    }),
  );
  return parts.length > 0 ? parts.join('\n') : 'No work is planned.';
}

/** At the end of what a plan's command prints. */
export const CAUTIONS: readonly string[] = [CAUTION.long, NO_PRESCRIBING];
