/** What one number may be. Outside min..max it is an error, outside usual a warning. Both ends count as inside. */
export interface Limits {
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  /** The least value itself is an error too. */
  readonly aboveMin?: boolean;
  readonly usual?: readonly [number, number];
  /** Said after the usual range. */
  readonly note?: string;
  readonly source?: string;
}

/** One field of the scenario's file, as faults, sheets, help and the README tell it. */
export interface ScenarioField {
  /** From the file down: `[]` for a row of a list, `{}` for a key of a record, e.g. 'patients[].dose'. */
  readonly path: string;
  /** The sheet that shows it. */
  readonly sheet: string;
  /** Its name there. */
  readonly name: string;
  /** '' where it has none. */
  readonly unit: string;
  /** Of a number; absent for texts, times and lists. */
  readonly limits?: Limits;
  /** What an absent one means; absent where it must be there. */
  readonly fallback?: string;
  /** Where the usual range or the default comes from; absent where there is neither. */
  readonly source?: string;
  /** One sentence. */
  readonly help: string;
}

/** Nobody published it: a value to start from, the site's to change. */
const ASSUMED = 'site assumption';

/** Rows of the table, short to read: path, name, unit, help, and the rest by name. */
type Rest = {
  readonly min?: number;
  readonly max?: number;
  readonly above?: number;
  readonly usual?: readonly [number, number];
  readonly note?: string;
  readonly source?: string;
  readonly none?: string;
};
export type Line = readonly [key: string, name: string, unit: string, help: string, rest?: Rest];

const fieldOf =
  (sheet: string, at: string) =>
  ([key, name, unit, help, rest = {}]: Line): ScenarioField => {
    const { min, max, above, usual, note, none } = rest;
    const source =
      rest.source ?? (usual || (none !== undefined && /^[\d.]+$/.test(none)) ? ASSUMED : undefined);
    return {
      path: at === '' ? key : key === '' ? at : `${at}.${key}`,
      sheet,
      name,
      unit,
      help,
      ...(max !== undefined && {
        limits: {
          unit,
          min: above ?? min ?? 0,
          max,
          ...(above !== undefined && { aboveMin: true }),
          ...(usual && { usual }),
          ...(note !== undefined && { note }),
          ...(rest.source !== undefined && { source: rest.source }),
        },
      }),
      ...(none !== undefined && { fallback: none }),
      ...(source !== undefined && { source }),
    };
  };
export const rows = (sheet: string, at: string, lines: readonly Line[]): ScenarioField[] =>
  lines.map(fieldOf(sheet, at));

/** min */
export const DAY = 1440;
