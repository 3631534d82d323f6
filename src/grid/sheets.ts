import { FORMS } from './forms.ts';
import { LISTS } from './lists.ts';
import type { Sheet } from './sheet.ts';

/** Every sheet, in the order of the tabs. */
export const SHEETS: readonly Sheet[] = [...LISTS, ...FORMS];

/** @throws RangeError for an id that no sheet has. */
export function sheetOf(id: string): Sheet {
  const sheet = SHEETS.find((one) => one.id === id);
  if (!sheet) throw new RangeError(`no sheet '${id}'`);
  return sheet;
}
