import type { ReactNode } from 'react';
import type { Start } from '../../record/from.ts';
import { unsafeTexts } from '../../reports/day/unsafe.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import { clockChangeTexts, spanText } from '../../words/times.ts';
import type { Block, Paper, Piece, Row, Table } from './flow.ts';

export const block = (
  key: string,
  node: ReactNode,
  more: { readonly keepNext?: boolean; readonly newPage?: boolean } = {},
): Block => ({ kind: 'block', key, node, ...more });
export const heading = (key: string, text: string): Block =>
  block(`h ${key}`, <h3>{text}</h3>, { keepNext: true });
/** What nobody may overlook. */
export const strong = (key: string, text: string): Block => block(key, <p className="strong">{text}</p>);

interface Listed {
  readonly key: string;
  readonly title: string;
  readonly columns: Table['columns'];
  readonly rows: readonly (readonly ReactNode[])[];
  /** Said where there is no row. */
  readonly none: string;
}

/** A headed table, or the sentence that there is nothing. */
export function listed({ key, title, columns, rows, none }: Listed): Piece[] {
  if (rows.length === 0) return [heading(key, title), block(`none ${key}`, <p>{none}</p>)];
  const table: Table = { key, label: title, title, columns };
  return rows.map((cells, index): Row => ({ kind: 'row', key: `${key} ${index}`, table, cells }));
}

export const shiftText = (problem: Problem, shift: ShiftBand): string =>
  `${shift.shift} shift, ${spanText(problem.clock, shift.from, shift.to)}, ${countText(shift.technicians, 'technician')}`;

/** From these lengths on, characters, a name is set smaller. */
const LONG = { some: 12, very: 30 };
/** A machine's or bath's name in a narrow column. */
export const Name = ({ children }: { readonly children: string }) => (
  <span
    className={
      children.length > LONG.very ? 'name-longest' : children.length > LONG.some ? 'name-long' : undefined
    }
  >
    {children}
  </span>
);

/** What was broken and lost before now, in full as far as a page has room: on the papers that are read first. */
export function pastPieces(past: readonly string[], most = 12): Piece[] {
  if (past.length === 0) return [];
  const more = past.length - most;
  return [
    block('past', <h3>Before now: bags not to use, and rules broken as they stand now</h3>, {
      keepNext: true,
    }),
    ...past.slice(0, most).map((text, index) => block(`past ${index}`, <p>▲ {text}</p>)),
    ...(more > 0
      ? [block('past more', <p>And {more} more. The workbook of the whole plan lists all.</p>)]
      : []),
  ];
}

/** A line for each clock change in the time that a paper covers. */
export const clockPieces = ({ clock }: Problem, from: number, to: number): Piece[] =>
  clockChangeTexts(clock, from, to).map((text) =>
    block(
      text,
      <p>
        <b>▲ {text}</b>
      </p>,
    ),
  );

/** A page that somebody works by, with what is unsafe now above all else. */
export const withUnsafe = (paper: Paper, start: Start, time: string): Paper => {
  const texts = unsafeTexts(start);
  if (texts.length === 0) return paper;
  return {
    ...paper,
    pieces: [
      heading('unsafe', `As noted by ${time}: read this first`),
      ...texts.map((text) => strong(`unsafe ${text}`, `▲ ${text}`)),
      ...paper.pieces,
    ],
  };
};
