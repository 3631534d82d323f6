import type { Scenario } from '../scenario/schema.ts';
import type { Row, Sheet } from './sheet.ts';

type Values = Record<string | number, unknown>;
/** A place where the name of a row stands: as a value, or as a key. */
type Place = { readonly holder: Values; readonly key: string | number } | { readonly keyed: Values };

const rowsOf = (list: unknown): Values[] => (Array.isArray(list) ? (list as Values[]) : []);
const field = (rows: readonly Values[], key: string): Place[] => rows.map((holder) => ({ holder, key }));
const keyed = (...holders: readonly unknown[]): Place[] =>
  holders.flatMap((one) => (one !== null && typeof one === 'object' ? [{ keyed: one as Values }] : []));

function bathPlaces(draft: Scenario): Place[] {
  const rows = [
    ...rowsOf(draft.patients),
    ...draft.patients.flatMap(({ changes }) => rowsOf(changes)),
    ...rowsOf(draft.stock),
    ...rowsOf(draft.deliveries),
    ...rowsOf(draft.supplies),
    ...rowsOf((draft.unassigned as Values | undefined)?.changes),
    ...draft.machines.flatMap(({ loaded }) => (loaded ? [loaded as Values] : [])),
  ];
  const lists = draft.machines.flatMap(({ baths }) => {
    const list = (baths ?? []) as unknown as Values;
    return Object.keys(list).map((key) => ({ holder: list, key: Number(key) }));
  });
  const shares = (draft.forecast?.bathByDay ?? []).map(({ share }) => share);
  return [
    ...field(rows, 'bath'),
    ...offered(draft, 'bags'),
    ...lists,
    ...keyed(draft.rules?.reserve, draft.rules?.minStock, ...shares),
  ];
}

/** Offers of these kinds that are of a row with a name. */
const offered = (draft: Scenario, kind: string): Place[] =>
  field(
    rowsOf(draft.offers).filter((row) => row.kind === kind),
    'of',
  );

const PLACES: Readonly<Record<string, (draft: Scenario) => Place[]>> = {
  baths: bathPlaces,
  machines: (draft) => [
    ...field(rowsOf(draft.lost), 'machine'),
    ...field(rowsOf(draft.duties), 'place'),
    ...offered(draft, 'machine'),
  ],
  water: (draft) => [
    ...field(rowsOf(draft.machines), 'water'),
    ...field(rowsOf(draft.lost), 'water'),
    ...field(rowsOf(draft.duties), 'place'),
    ...offered(draft, 'water'),
  ],
  shifts: (draft) => offered(draft, 'technicians'),
  supplies: (draft) => offered(draft, 'supply'),
};

/** How often the name of a row stands in other rows. */
export const referencesTo = (scenario: Scenario, list: string, name: string): number =>
  (PLACES[list]?.(scenario) ?? []).filter((place) =>
    'keyed' in place ? Object.hasOwn(place.keyed, name) : place.holder[place.key] === name,
  ).length;

/** What refers to a row by its name goes with it to its new one. */
export function renameReferences(draft: Scenario, list: string, from: string, to: string): void {
  for (const place of PLACES[list]?.(draft) ?? [])
    if ('keyed' in place) {
      if (!Object.hasOwn(place.keyed, from) || Object.hasOwn(place.keyed, to)) continue;
      place.keyed[to] = place.keyed[from];
      delete place.keyed[from];
    } else if (place.holder[place.key] === from) place.holder[place.key] = to;
}

/** The new name that typing into a row's label gives it; null: it is none, has no old one, or another row has it already. */
export function newName(
  sheet: Sheet,
  row: Row,
  text: string,
  scenario: Scenario,
): { from: string; to: string } | null {
  const { key } = sheet.fields[0]!;
  const from = row.value[key];
  const to = text.trim();
  if (!sheet.list || sheet.nested || typeof from !== 'string' || from === '' || to === '' || to === from)
    return null;
  const names = rowsOf((scenario as Values)[sheet.list]).map((one) => one[key]);
  return names.includes(to) || names.indexOf(from) !== names.lastIndexOf(from) ? null : { from, to };
}
