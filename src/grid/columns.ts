import type { Scenario } from '../scenario/schema.ts';
import { column, knowsUnit, type Quantity } from './formula.ts';
import { type Field, type Row, type Sheet, valueAt } from './sheet.ts';

interface CustomColumn {
  readonly sheet: string;
  readonly name: string;
  /** Arithmetic over field names, e.g. dose * weight. */
  readonly expression: string;
  readonly unit?: string | null;
}

const isNumber = (field: Field): boolean => field.kind === 'number' || field.kind === 'integer';

/** Names that an expression of this sheet may use, with their units. */
export const namesOf = (sheet: Sheet): readonly Field[] => (sheet.list ? sheet.fields.filter(isNumber) : []);

/** A row's numbers by name; an empty cell counts as its default when that is a number. */
function quantitiesOf(sheet: Sheet, row: Row, scenario: Scenario): Record<string, Quantity> {
  return Object.fromEntries(
    namesOf(sheet).flatMap((field) => {
      const value = valueAt(row.value, field.path) ?? field.fallback?.(scenario);
      const number = typeof value === 'number' ? value : value ? Number(value) : Number.NaN;
      const unit = field.unit && knowsUnit(field.unit) ? field.unit : undefined;
      return Number.isFinite(number) ? [[field.key, { value: number, unit }]] : [];
    }),
  );
}

/** A custom column's value for a row: a number with its unit, or why there is none. */
function customValue(sheet: Sheet, row: Row, scenario: Scenario, custom: CustomColumn) {
  return column(custom.expression, quantitiesOf(sheet, row, scenario), custom.unit || undefined);
}

/** What is wrong with a custom column on a sheet, tried with 1 for every name; null when nothing is. */
export function columnProblem(
  sheet: Sheet,
  { name, expression, unit }: Omit<CustomColumn, 'sheet'>,
): string | null {
  if (name.trim() === '') return 'the column has no name';
  if (sheet.fields.some(({ header }) => header === name.trim())) return `'${name}' is a column already`;
  if (expression.trim() === '') return 'the column has no expression';
  if (unit && !knowsUnit(unit)) return `'${unit}' is no unit known here`;
  const ones = Object.fromEntries(
    namesOf(sheet).map(({ key, unit: own }) => [
      key,
      { value: 1, unit: own && knowsUnit(own) ? own : undefined },
    ]),
  );
  const outcome = column(expression, ones, unit || undefined);
  return 'problem' in outcome ? outcome.problem : null;
}

const short = (value: number): string => String(Number(value.toPrecision(6)));

/** The site's own columns of a sheet, as fields that are shown and not typed. */
export function customFields(sheet: Sheet, scenario: Scenario): Field[] {
  return (scenario.columns ?? [])
    .filter((custom) => custom.sheet === sheet.id)
    .map((custom) => {
      const problem = columnProblem(sheet, custom);
      return {
        key: `own:${custom.name}`,
        header: custom.name,
        unit: custom.unit || undefined,
        kind: 'fixed' as const,
        numeric: true as const,
        path: [],
        about: `Own column: ${custom.expression}${problem ? `. Cannot be computed: ${problem}` : ''}`,
        width: 130,
        show: (row: Row, current: Scenario) => {
          if (problem) return '✕';
          const outcome = customValue(sheet, row, current, custom);
          // A row that lacks a number has no value yet.
          if ('problem' in outcome) return '';
          const bare = custom.unit || outcome.unit === '';
          return bare ? short(outcome.value) : `${short(outcome.value)} ${outcome.unit}`;
        },
      };
    });
}
