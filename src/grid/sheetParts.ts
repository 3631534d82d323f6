import type { Scenario } from '../scenario/schema.ts';
import { freeName } from './edits.ts';
import { bathNote } from './lacking.ts';
import type { Field, Kind, Row } from './sheet.ts';

export type Rest = Partial<Omit<Field, 'key' | 'header' | 'kind' | 'about'>>;

/** A field whose value lies right under its key. */
type Line = readonly [key: string, header: string, kind: Kind, about: string];
export const field = ([key, header, kind, about]: Line, rest: Rest = {}): Field => ({
  key,
  header,
  kind,
  about,
  path: [key],
  ...rest,
});
export const needed = (width?: number): Rest => ({ required: true, width });
export const always = (text: string) => () => text;

export const baths = (scenario: Scenario): string[] => scenario.baths.map(({ id }) => String(id ?? ''));
export const water = (scenario: Scenario): string[] => scenario.water.map(({ id }) => String(id ?? ''));
export const ids = (list: 'patients' | 'machines') => (scenario: Scenario) =>
  scenario[list].map(({ id }) => String(id ?? ''));
export const items = (scenario: Scenario): string[] =>
  (scenario.supplies ?? []).map(({ item }) => String(item ?? ''));

export const bath = (about: string, rest: Rest = {}): Field =>
  field(['bath', 'Bath', 'choice', about], {
    choices: baths,
    byPotassium: true,
    choiceNote: (id, scenario) => bathNote(scenario.baths.find((one) => one.id === id)),
    width: 90,
    ...rest,
  });
/** For things that come in kinds. Never for what is prescribed. */
export const likeAbove = (above: Row | undefined, ...keys: string[]): Record<string, unknown> =>
  Object.fromEntries(keys.flatMap((key) => (above?.value[key] == null ? [] : [[key, above.value[key]]])));
export const named = (
  list: readonly Record<string, unknown>[],
  key: string,
  first: string,
  above?: Row,
): string => {
  if (list.length === 0) return first;
  return freeName(list, key, String(above?.value[key] ?? list.at(-1)![key] ?? first));
};
