import Table from 'cli-table3';
import type { Bound, Score } from '../../src/plan/plan.ts';

/** One case, planned once. */
export interface Measured {
  readonly name: string;
  /** All needs, L. */
  readonly needLitres: number;
  readonly byHand: Score;
  readonly ours: Score;
  /** Of all seeds in the time given for it; null: not looked for. */
  readonly best: Score | null;
  /** Proven; the hands-on part for plans as good as ours. */
  readonly bound: Bound;
  /** s until a first valid plan was there. */
  readonly firstSeconds: number;
  readonly seconds: number;
  /** s until a plan was there that was good enough, see `targetSeconds`; null: none was. */
  readonly targetSeconds: number | null;
  readonly byHandSeconds: number;
  readonly boundSeconds: number;
  /** Of our plan and of the one by hand. */
  readonly violations: number;
  readonly remarks: readonly string[];
}

const litres = (value: number) => value.toFixed(1);
const percent = (value: number) => (Number.isFinite(value) ? `${(100 * value).toFixed(1)} %` : '-');
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

/** The best plan of the search after so many seconds. */
export interface Moment {
  readonly seconds: number;
  readonly score: Score;
}
/** Hands-on minutes above the bound, and unmet litres above it as a share of the need, that are good enough. */
const NEAR = { handsOn: 0.05, handsOnOfMany: 0.08, unmet: 0.01 };
/** Patients from which a case counts as a crisis. */
const MANY = 100;

/**
 * When a plan was first good enough: unmet litres within 1 % of the need above the bound, the reserve no shorter than in
 * the end, hands-on minutes within 5 % (from 100 patients on 8 %) above the bound. Null: never.
 */
export function targetSeconds(
  trace: readonly Moment[],
  { ours, bound, needLitres }: Pick<Measured, 'ours' | 'bound' | 'needLitres'>,
  patients: number,
): number | null {
  const near = 1 + (patients >= MANY ? NEAR.handsOnOfMany : NEAR.handsOn);
  const there = trace.find(
    ({ score }) =>
      score.unmetLitres <= (bound.unmetLitres ?? 0) + NEAR.unmet * needLitres + 1e-6 &&
      score.reserveShort <= ours.reserveShort + 1e-6 &&
      score.handsOnMinutes <= near * (bound.handsOnMinutes ?? 0),
  );
  return there?.seconds ?? null;
}

/** How much more hands-on time ours takes than the bound; 0 when both are 0, null when nothing is proven. */
const handsGap = ({ ours, bound: { handsOnMinutes: least } }: Measured) =>
  least === null ? null : ours.handsOnMinutes === least ? 0 : ours.handsOnMinutes / least - 1;
/** Unmet litres beyond the bound, as a share of all needs; null when nothing is proven. */
const unmetGap = ({ ours, bound: { unmetLitres: least }, needLitres }: Measured) =>
  least === null ? null : needLitres === 0 ? 0 : (ours.unmetLitres - least) / needLitres;
const orNone = (value: number | null, told: (value: number) => string) =>
  value === null ? '-' : told(value);

/** A table with a name first and numbers after it; a verdict last, where there is one. */
function tableOf(
  head: readonly string[],
  rows: readonly (readonly (string | number)[])[],
  verdict = true,
): string {
  const colAligns = head.map((_, column) =>
    column === 0 || (verdict && column === head.length - 1) ? ('left' as const) : ('right' as const),
  );
  const table = new Table({ head: [...head], style: { head: [], border: [] }, colAligns });
  for (const row of rows) table.push([...row]);
  return table.toString();
}

/** What the audit says of plans with so many violations. */
const verdictOn = (violations: number) => (violations === 0 ? 'yes, valid' : `${violations} VIOLATIONS`);

/** A row a case: by hand, ours, bound; gaps; times; the audit's word. */
export function resultTable(done: readonly Measured[]): string {
  const searched = done.some(({ best }) => best !== null);
  /** What is told of the best of all seeds, where it was looked for. */
  const ofBest = <T>(told: T): T[] => (searched ? [told] : []);
  const table = tableOf(
    [
      'case',
      'need L',
      'unmet L: by hand',
      'ours',
      ...ofBest('best of all seeds'),
      'bound',
      'gap, of need',
      'hands-on min: by hand',
      'ours',
      ...ofBest('best of all seeds'),
      'bound',
      'gap',
      'reserve short, bags',
      'first plan s',
      'good enough s',
      'total s',
      'bound s',
      'audited',
    ],
    done.map((one) => [
      one.name,
      litres(one.needLitres),
      litres(one.byHand.unmetLitres),
      litres(one.ours.unmetLitres),
      ...ofBest(orNone(one.best?.unmetLitres ?? null, litres)),
      orNone(one.bound.unmetLitres, litres),
      orNone(unmetGap(one), percent),
      one.byHand.handsOnMinutes,
      one.ours.handsOnMinutes,
      ...ofBest(one.best?.handsOnMinutes ?? '-'),
      one.bound.handsOnMinutes ?? '-',
      orNone(handsGap(one), percent),
      Number(one.ours.reserveShort.toFixed(2)),
      one.firstSeconds.toFixed(2),
      one.targetSeconds === null ? '-' : one.targetSeconds.toFixed(2),
      one.seconds.toFixed(2),
      one.boundSeconds.toFixed(2),
      verdictOn(one.violations),
    ]),
  );
  const remarks = done.flatMap(({ name, remarks: list }) => list.map((remark) => `- ${name}: ${remark}`));
  return [table, ...remarks].join('\n');
}

/** Ratios over all cases; on the curve of sizes, how the cost grows from one size to the next. */
export function summary(done: readonly Measured[], sizes: readonly number[] | null): string {
  const total = (of: (one: Measured) => number) => sum(done.map(of));
  const met = done.filter(
    ({ ours, byHand }) => Math.abs(ours.unmetLitres - byHand.unmetLitres) < 1e-6 && byHand.handsOnMinutes > 0,
  );
  const closed = done.filter(
    ({ ours, bound }) => bound.unmetLitres !== null && ours.unmetLitres - bound.unmetLitres < 1e-6,
  );
  const gaps = done.flatMap((one) => handsGap(one) ?? []);
  const lines = [
    `Unmet litres, all cases: by hand ${litres(total(({ byHand }) => byHand.unmetLitres))} L, ours ${litres(total(({ ours }) => ours.unmetLitres))} L, bound ${litres(total(({ bound }) => bound.unmetLitres ?? 0))} L; proven least in ${closed.length} of ${done.length} cases.`,
    `Hands-on minutes beyond the bound: mean ${percent(sum(gaps) / Math.max(1, gaps.length))} of ${gaps.length} cases.`,
    `Where both leave the same unmet (${met.length} cases): ours takes ${percent(sum(met.map(({ ours }) => ours.handsOnMinutes)) / sum(met.map(({ byHand }) => byHand.handsOnMinutes)))} of the hands-on minutes by hand.`,
  ];
  if (sizes)
    lines.push(
      'Growth of cost, per doubling of patients and machines:',
      ...done
        .slice(1)
        .map(
          (one, index) =>
            `- ${one.name}: time ${(one.seconds / done[index]!.seconds).toFixed(2)} x, first plan ${(one.firstSeconds / done[index]!.firstSeconds).toFixed(2)} x, bound ${(one.boundSeconds / done[index]!.boundSeconds).toFixed(2)} x`,
        ),
    );
  return lines.join('\n');
}

/** One case, planned, then planned again after each of some edits. */
export interface Edited {
  readonly name: string;
  /** By edit. */
  readonly told: readonly { readonly seconds: number; readonly moved: number; readonly violations: number }[];
  /** Of the last plan. */
  readonly activities: number;
  /** Of the last plan, and of a search from the beginning for the same scenario. */
  readonly edited: Score;
  readonly anew: Score;
}

/** The middle one, or the upper one of two. */
const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

/** A row a case: how long planning again takes, how much it moves, and what staying costs against a plan anew. */
export function editsTable(done: readonly Edited[]): string {
  return tableOf(
    [
      'case',
      'edits',
      'again s: median',
      'longest',
      'activities',
      'moved: median',
      'most',
      'in all',
      'unmet L: edited',
      'anew',
      'hands-on min: edited',
      'anew',
      'audited',
    ],
    done.map(({ name, told, activities, edited, anew }) => {
      const times = told.map(({ seconds }) => seconds);
      const moved = told.map((one) => one.moved);
      return [
        name,
        told.length,
        median(times).toFixed(2),
        Math.max(0, ...times).toFixed(2),
        activities,
        median(moved),
        Math.max(0, ...moved),
        sum(moved),
        litres(edited.unmetLitres),
        litres(anew.unmetLitres),
        edited.handsOnMinutes,
        anew.handsOnMinutes,
        verdictOn(sum(told.map(({ violations }) => violations))),
      ];
    }),
  );
}

/** The 25 functions with the most time of their own, by microseconds. */
export function costTable(own: ReadonlyMap<string, number>): string {
  const all = sum([...own.values()]);
  const dearest = [...own].sort((a, b) => b[1] - a[1]).slice(0, 25);
  return tableOf(
    ['function', 'own s', 'share'],
    dearest.map(([place, cost]) => [place, (cost / 1e6).toFixed(2), percent(cost / all)]),
    false,
  );
}
