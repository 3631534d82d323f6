import { describe, expect, test } from 'vitest';
import { pathText } from '../../src/grid/sheet.ts';
import { SHEETS, sheetOf } from '../../src/grid/sheets.ts';
import { placeOfFault, placeOfPath } from '../../src/grid/where.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { type Scenario, scenarioSchema } from '../../src/scenario/schema.ts';
import { generate } from '../bench/generate.ts';
import { wardSite } from '../capacity/worlds.ts';

type Path = readonly (string | number)[];
/** Every field of a scenario, down to its numbers and texts. */
function* fieldsOf(value: unknown, path: Path = []): Generator<Path> {
  yield path;
  if (Array.isArray(value))
    for (let n = 0; n < Math.min(1, value.length); n++) yield* fieldsOf(value[n], [...path, n]);
  else if (value && typeof value === 'object')
    for (const [key, inner] of Object.entries(value)) yield* fieldsOf(inner, [...path, key]);
}
function withValue(scenario: Scenario, path: Path, value: unknown): unknown {
  const copy = structuredClone(scenario) as unknown;
  let at = copy as Record<string | number, unknown>;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  at[path.at(-1)!] = value;
  return copy;
}
/** What people and programs write by mistake. */
const WRONG: readonly unknown[] = [
  -5,
  0,
  1e9,
  0.123_456_789,
  'nobody',
  '',
  '2031-13-40T99:99',
  null,
  [],
  {},
  true,
];

/** Small ones, with everything in them: a field more is no other kind of place. */
const SITES: readonly Scenario[] = [
  {
    ...wardSite(),
    days: 2,
    patients: wardSite().patients.slice(0, 2),
    forecast: { ...wardSite().forecast, days: 2 },
    supplies: [
      { item: 'bag set', onHand: 9, perFill: 1, deliveries: [{ at: '2031-02-04T07:00', quantity: 4 }] },
    ],
  },
  generate({ seed: 3, kind: 'tiny', variety: 0.4, patients: 2, floor: true }),
];

/** Faults of everything that can go wrong in one field, of the right shape or not. */
function* broken(): Generator<{ scenario: Scenario; path: Path }> {
  for (const site of SITES)
    for (const path of fieldsOf(site)) {
      if (path.length === 0) continue;
      for (const value of WRONG) {
        const made = withValue(site, path, value);
        const read = scenarioSchema.safeParse(made);
        if (read.success)
          for (const fault of faultsOf(read.data)) yield { scenario: read.data, path: fault.path };
      }
    }
}

describe('every fault leads to a place on screen', () => {
  test('to a sheet that there is, and a row and cell of it', () => {
    const lost = new Set<string>();
    const seen = new Set<string>();
    for (const { scenario, path } of broken()) {
      const key = path.map((part) => (typeof part === 'number' ? '#' : part)).join('.');
      if (seen.has(key)) continue;
      seen.add(key);
      const place = placeOfFault(scenario, path);
      const sheet = SHEETS.find(({ id }) => id === place.sheet);
      const row = sheet?.rows(scenario).find((one) => one.key === place.row);
      // A list that is missing or empty has no row to lead to.
      const isWhole = place.row === '' && sheet !== undefined;
      if (!isWhole && (!row || (sheet!.list && !sheet!.fields.some((one) => one.key === place.field))))
        lost.add(`${pathText(path)} -> ${JSON.stringify(place)}`);
    }
    expect([...lost]).toEqual([]);
    expect(seen.size).toBeGreaterThan(60);
  }, 120_000);

  test('shares that add up to 1.4 are shown at the first of these shares', () => {
    const site = wardSite();
    const scenario: Scenario = {
      ...site,
      forecast: { ...site.forecast, bathByDay: [{ fromDay: 0, share: { '2K': 0.7, '4K': 0.7 } }] },
    };
    const [fault] = faultsOf(scenario).filter(({ path }) => path.includes('share'));
    expect(fault?.message).toContain('1.4');
    const place = placeOfPath(scenario, fault!.path);
    expect(place).toMatchObject({ sheet: 'forecast', field: 'value' });
    const row = sheetOf('forecast')
      .rows(scenario)
      .find(({ key }) => key === place!.row);
    expect(pathText(row!.field!.path)).toContain('share');
  });
});
