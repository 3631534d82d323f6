import type { ReactNode } from 'react';

/** What a document is made of, before pages: blocks and rows of tables, in order. */
export interface Block {
  readonly kind: 'block';
  readonly key: string;
  readonly node: ReactNode;
  /** A heading: goes to the page of what follows it. */
  readonly keepNext?: boolean;
  readonly newPage?: boolean;
  /** Height in mm where it is known, so that it need not be measured. */
  readonly high?: number;
}
export interface Row {
  readonly kind: 'row';
  readonly key: string;
  readonly table: Table;
  readonly cells: readonly ReactNode[];
  /** Room for a pen. */
  readonly tall?: boolean;
  readonly strong?: boolean;
}
export interface Table {
  readonly key: string;
  /** Read by screen readers. */
  readonly label: string;
  /** What the rows are of, e.g. a machine: stands above them on each page that has some. */
  readonly title?: ReactNode;
  /** Head cells with their width as a share of the table; all shares together are taken as the whole. */
  readonly columns: readonly { readonly head: string; readonly share: number }[];
}
export type Piece = Block | Row;

export interface Paper {
  readonly id: string;
  readonly title: string;
  /** What it covers, e.g. a shift. */
  readonly about: string;
  readonly landscape: boolean;
  /** The last row, an empty one, is repeated to the foot of the last page. */
  readonly fillUp?: boolean;
  readonly pieces: readonly Piece[];
}
/** What stands on each page. */
export interface Stamp {
  readonly scenario: string;
  /** When the plan was made, local time of this computer. */
  readonly madeAt: string;
  readonly verdict: string;
  /** Null when released; else the words across each page. */
  readonly barred: string | null;
  /** What a reader must know before anything on the page: under the head of each. */
  readonly warnings: readonly string[];
  readonly cautions: readonly string[];
}
export type PaperSize = 'A4' | 'Letter';
