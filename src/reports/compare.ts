import { type Demand, demandOf } from '../demand/demand.ts';
import { isHandsOn, type Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { WORK } from '../words/activities.ts';
import { numberText, sentenceCase } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';
import { dosedLitres } from './summary.ts';
import { supplySeries } from './supplySeries.ts';

/** A scenario kept beside others, with its plan. */
export interface Variant {
  /** 'A', 'B', 'C' */
  readonly name: string;
  /** What it is, in a person's words; the scenario's title where they gave none. */
  readonly title?: string;
  readonly note?: string;
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly plan: Plan;
}
export interface CompareRow {
  readonly label: string;
  readonly unit: string;
  /** One for each variant; text where a value is no number, null where a variant lacks it. */
  readonly values: readonly (number | string | null)[];
  /** Which way is better; null where neither is. */
  readonly better: 'less' | 'more' | null;
}
export interface CompareSection {
  readonly title: string;
  readonly rows: readonly CompareRow[];
}

const UNITS: Record<string, string> = {
  weight: 'kg',
  dose: 'mL/kg/h',
  fluidRemoval: 'mL/h',
  replacement: 'mL/h',
  citrateFlow: 'mL/h',
  hoursPerDay: 'h',
  flow: 'mL/min',
  capacity: 'mL/min',
  positions: 'bags',
  bags: 'bags',
  litres: 'L',
  technicians: 'technicians',
  testEvery: 'min',
  fillLitres: 'L',
  maxLitres: 'L',
  circuitHours: 'h',
  shelfHours: 'h',
  maxHangHours: 'h',
  days: 'd',
  potassium: 'mmol/L',
  sodium: 'mmol/L',
  calcium: 'mEq/L',
  magnesium: 'mEq/L',
  chloride: 'mmol/L',
  bicarbonate: 'mmol/L',
  acetate: 'mmol/L',
  glucose: 'mmol/L',
  reserve: 'bags',
};
const unitOf = (field: string): string => UNITS[field] ?? (/Minutes$/.test(field) ? 'min' : '');

type Leaves = Map<string, { value: number | string; unit: string }>;
const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Every typed value of a scenario by a path that people read; rows by their id, so that order does not matter. */
function leavesOf(scenario: Scenario): Leaves {
  const leaves: Leaves = new Map();
  const walk = (value: unknown, path: readonly string[], field: string): void => {
    if (Array.isArray(value) && value.some(isRecord))
      value.forEach((row: unknown, index) => {
        const name = isRecord(row) ? (row.id ?? row.lot ?? row.item ?? row.at ?? index + 1) : index + 1;
        walk(row, [...path, String(name)], field);
      });
    else if (isRecord(value))
      // The fields of the reserve are baths.
      for (const [key, inner] of Object.entries(value))
        walk(inner, [...path, key], field === 'reserve' ? field : key);
    else if (value !== null && value !== undefined) {
      const shown =
        typeof value === 'number' ? value : Array.isArray(value) ? value.join(', ') : String(value);
      let key = path.join(' › ');
      for (let copy = 2; leaves.has(key); copy++) key = `${path.join(' › ')} (${copy})`;
      leaves.set(key, { value: shown, unit: unitOf(field) });
    }
  };
  const { format: _format, version: _version, variants: _variants, ...typed } = scenario;
  walk(typed, [], '');
  return leaves;
}

/** So many rows of one list that differ in one field are told as one line. */
const MANY_ROWS = 5;

/** The smallest and the largest of the values of a field, as one text. */
function spanOf(values: readonly (number | string | null)[]): string | number | null {
  const known = values.filter((value) => value !== null);
  const numbers = known.filter((value) => typeof value === 'number');
  if (known.length === 0) return null;
  if (numbers.length < known.length) return [...new Set(known.map(String))].slice(0, 4).join(', ');
  const [least, most] = [Math.min(...numbers), Math.max(...numbers)];
  return least === most ? least : `${numberText(least)} to ${numberText(most)}`;
}

/** Lines of one list and field together, where they are many: patients › dose (174 rows). */
function gathered(rows: readonly CompareRow[]): CompareRow[] {
  const fieldOf = ({ label }: CompareRow) => {
    const parts = label.split(' › ');
    return parts.length === 3 ? `${parts[0]} › ${parts[2]}` : label;
  };
  const groups = new Map<string, CompareRow[]>();
  for (const row of rows) groups.set(fieldOf(row), [...(groups.get(fieldOf(row)) ?? []), row]);
  return [...groups].flatMap(([field, group]) => {
    if (group.length <= MANY_ROWS) return group;
    const [first] = group;
    const values = first!.values.map((_, n) => spanOf(group.map((row) => row.values[n] ?? null)));
    return [{ ...first!, label: `${field} (${group.length} rows)`, values }];
  });
}

/** Inputs that are not the same in all variants. Many rows that differ in one field are one line; a row that a variant lacks altogether is one line, not one a field. */
export function inputDifferences(scenarios: readonly Scenario[]): CompareRow[] {
  const all = scenarios.map(leavesOf);
  const keys = [...new Set(all.flatMap((leaves) => [...leaves.keys()]))];
  const rows: CompareRow[] = [];
  const missing = new Set<string>();
  for (const key of keys) {
    const found = all.map((leaves) => leaves.get(key));
    if (found.every((leaf) => leaf?.value === found[0]?.value)) continue;
    const row = key.split(' › ').slice(0, 2).join(' › ');
    const has = all.map((leaves) =>
      [...leaves.keys()].some((other) => other === row || other.startsWith(`${row} › `)),
    );
    if (key.split(' › ').length > 2 && has.includes(false)) {
      if (missing.has(row)) continue;
      missing.add(row);
      rows.push({
        label: row,
        unit: '',
        values: has.map((there) => (there ? 'present' : 'absent')),
        better: null,
      });
    } else
      rows.push({
        label: key,
        unit: found.find((leaf) => leaf?.unit)?.unit ?? '',
        values: found.map((leaf) => leaf?.value ?? null),
        better: null,
      });
  }
  return gathered(rows);
}

interface Measures {
  readonly problem: Problem;
  readonly plan: Plan;
  readonly demand: Demand;
  readonly count: (kind: string, machine?: string) => number;
  readonly busy: (machine: string) => number;
  readonly peak: number;
}

function measure({ problem, plan }: Variant): Measures {
  const { activities } = plan;
  const at = (machine?: string) => (activity: Plan['activities'][number]) =>
    machine === undefined || (activity.kind !== 'test' && activity.machine === machine);
  const work = new Int16Array(problem.horizon);
  for (const { start, end } of activities.filter(isHandsOn))
    for (let minute = Math.max(0, start); minute < Math.min(problem.horizon, end); minute++)
      work[minute]! += 1;
  return {
    problem,
    plan,
    demand: demandOf(problem),
    count: (kind, machine) => activities.filter((a) => a.kind === kind && at(machine)(a)).length,
    busy: (machine) =>
      activities.filter(at(machine)).reduce((sum, a) => sum + (a.kind === 'test' ? 0 : a.end - a.start), 0),
    peak: work.reduce((most, value) => Math.max(most, value), 0),
  };
}

const union = (lists: readonly (readonly string[])[]): string[] => [...new Set(lists.flat())];
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

const NEEDS = 'Needs';

const WORTH = 'How good the plan is';
const rowsDiffer = (
  sections: readonly CompareSection[],
  title: string,
  labels?: readonly string[],
): boolean =>
  sections
    .filter((section) => section.title === title)
    .some(({ rows }) =>
      rows
        .filter(({ label }) => labels?.includes(label) ?? true)
        .some(({ values }) => values.some((value) => compareText(value) !== compareText(values[0]!))),
    );

/**
 * Why no variant may be marked best; null: they answer the same needs, leave as much unmet and short, and were searched
 * with the same effort, so that less work is less work.
 * @param alike the plans compared were searched with the same effort
 */
export function unranked(sections: readonly CompareSection[], alike: boolean): string | null {
  if (needsDiffer(sections))
    return 'None is marked best: the needs differ, so less work may only be less dialysis.';
  if (rowsDiffer(sections, WORTH, ['Unmet', 'Short of the reserve']))
    return 'None is marked best: what stays unmet or short differs, so less work may only be less care.';
  return alike ? null : 'None is marked best yet: the plans were not searched with the same effort.';
}

/** Whether the variants' plans answer different needs: then less work or fewer supplies may only mean less dialysis. */
export const needsDiffer = (sections: readonly CompareSection[]): boolean =>
  sections
    .filter(({ title }) => title === NEEDS)
    .some(({ rows }) => rows.some(({ values }) => values.some((value) => value !== values[0])));

/** What each supply comes to: used, left, and when it runs out. */
function supplyRows(all: readonly Measures[]): CompareRow[] {
  const supplies = all.map(({ problem, plan }) => supplySeries(problem, plan.activities));
  return union(supplies.map((list) => list.map(({ item }) => item))).flatMap((item): CompareRow[] => {
    const found = supplies.map((list) => list.find((series) => series.item === item));
    const unit = /\((.+)\)\s*$/.exec(item)?.[1] ?? 'pieces';
    return [
      {
        label: `${item}: used`,
        unit,
        better: 'less',
        values: found.map((series) => series?.used ?? null),
      },
      {
        label: `${item}: left`,
        unit,
        better: 'more',
        values: found.map((series) => series?.atEnd ?? null),
      },
      {
        label: `${item}: runs out`,
        unit: '',
        better: null,
        values: found.map((series, index) =>
          series ? runOutText(all[index]!.problem, series.runsOut) : null,
        ),
      },
    ];
  });
}

/** Variants side by side: inputs that differ, needs, score, machines, technicians, supplies. */
export function compareVariants(variants: readonly Variant[]): CompareSection[] {
  const all = variants.map(measure);
  const row = (
    label: string,
    unit: string,
    better: CompareRow['better'],
    value: (measures: Measures) => number | string | null,
  ): CompareRow => ({ label, unit, better, values: all.map(value) });
  const bags = ({ demand, problem }: Measures, id: string) => {
    const bath = problem.baths.indexOf(id);
    return bath < 0 ? null : sum(demand.bags[bath]!);
  };
  const total = ({ demand }: Measures) => sum(demand.bags.map(sum));
  const machines = union(all.map(({ problem }) => problem.machines.map(({ id }) => id)));
  return [
    { title: 'Inputs that differ', rows: inputDifferences(variants.map(({ scenario }) => scenario)) },
    {
      title: NEEDS,
      // Less dialysis is not better: no best among needs.
      rows: [
        ...union(all.map(({ problem }) => problem.baths)).map((id) =>
          row(`Bags of ${id}`, 'bags', null, (m) => bags(m, id)),
        ),
        row('All bags', 'bags', null, total),
        row('Bags per day, mean', 'bags per day', null, (m) => (total(m) * 1440) / m.problem.horizon),
        row('Liters by the doses', 'L', null, (m) => dosedLitres(m.problem)),
        row(
          'Liters in whole bags',
          'L',
          null,
          (m) => (total(m) * m.problem.bagParts) / m.problem.partsPerLitre,
        ),
      ],
    },
    {
      title: WORTH,
      rows: [
        row('Unmet', 'L', 'less', ({ plan }) => plan.score.unmetLitres),
        row('Short of the reserve', 'bags', 'less', ({ plan }) => plan.score.reserveShort),
        row('Hands-on work', 'h', 'less', ({ plan }) => plan.score.handsOnMinutes / 60),
        row('Expired unused', 'bags', 'less', ({ plan }) => plan.score.expiredBags),
      ],
    },
    {
      title: 'Machines',
      rows: [
        row(sentenceCase(WORK.fill.many), 'fills', null, (m) => m.count('fill')),
        row(sentenceCase(WORK.circuit.many), 'circuits', 'less', (m) => m.count('circuit')),
        row(sentenceCase(WORK.bath.many), 'changes', 'less', (m) => m.count('bath')),
        row(sentenceCase(WORK.test.many), 'tests', 'less', (m) => m.count('test')),
        ...machines.map((id) =>
          row(`${id} in use`, '% of its hours', null, (m) => {
            const machine = m.problem.machines.find((candidate) => candidate.id === id);
            const hours = machine ? sum(machine.windows.map(({ from, to }) => to - from)) : 0;
            return hours === 0 ? null : (100 * m.busy(id)) / hours;
          }),
        ),
      ],
    },
    {
      title: 'Technicians',
      rows: [
        row('On shift', 'technician h', null, ({ problem }) => sum([...problem.staff]) / 60),
        row('Busy', '% of shift time', null, ({ problem, plan }) => {
          const there = sum([...problem.staff]);
          return there === 0 ? null : (100 * plan.score.handsOnMinutes) / there;
        }),
        row('Most at work at once', 'technicians', 'less', (m) => m.peak),
      ],
    },
    {
      title: 'Supplies',
      rows: supplyRows(all),
    },
  ];
}

const runOutText = (problem: Problem, minute: number | null): string =>
  minute === null ? 'not in this plan' : whenText(problem.clock, minute);

/** Variants that hold the best value of a row; empty when all are equal as shown or neither way is better. */
export function bestOf({ values, better }: CompareRow): number[] {
  const numbers = values.map((value) => (typeof value === 'number' ? value : null));
  const known = numbers.filter((value) => value !== null);
  if (!better || known.length < 2) return [];
  const best = better === 'less' ? Math.min(...known) : Math.max(...known);
  const near = (value: number | null) => value !== null && compareText(value) === compareText(best);
  return known.every(near) ? [] : numbers.flatMap((value, index) => (near(value) ? index : []));
}

/** A value as the table shows it. */
export const compareText = (value: number | string | null): string =>
  value === null ? '-' : typeof value === 'number' ? numberText(value, 1) : value;
