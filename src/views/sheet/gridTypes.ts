import type { Ref } from 'react';
import type { Row, Sheet } from '../../grid/sheet.ts';
import type { Density } from '../state/session.ts';
import type { DeskSheet, GridDesk } from './gridDesk.ts';

/** What is wrong with one cell, in words. */
export interface Mark {
  readonly level: 'error' | 'warning';
  readonly text: string;
}
export type GridHandle = Pick<
  GridDesk,
  'goTo' | 'rows' | 'find' | 'tell' | 'forget' | 'clearFilter' | 'takeFocus'
>;
export interface GridProps extends DeskSheet {
  readonly sheet: Sheet;
  readonly rows: readonly Row[];
  /** Nothing has been edited since the scenario was opened. */
  readonly untouched: boolean;
  /** By 'row key/field key'. */
  readonly marks: ReadonlyMap<string, Mark>;
  /** Cells that hold this text are pointed out. */
  readonly found: string;
  readonly filters: boolean;
  /** How many rows a filter lets through; null: there is none. */
  readonly onShown: (sheet: string, rows: number | null) => void;
  /** percent */
  readonly zoom: number;
  readonly density: Density;
  readonly handle: Ref<GridHandle>;
}
