import type { ReactNode } from 'react';
import type { Activity } from '../../plan/plan.ts';
import type { SwapLabel } from '../../reports/day/swapLabels.ts';
import type { BagLabel } from '../../reports/labels.ts';
import { runSheet } from '../../reports/runSheet.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import { numberText } from '../../words/numbers.ts';
import { timeText } from '../../words/times.ts';
import type { Barcode } from './barcode.ts';
import type { Paper, Piece, Table } from './flow.ts';
import { labelPieces } from './labelSheet.tsx';
import { block, clockPieces, Name, shiftText } from './pieces.tsx';

/** One label a bag, for the fills that end in the shift. */
export function labelPaper(
  problem: Problem,
  labels: readonly (BagLabel | SwapLabel)[],
  codes: ReadonlyMap<string, Barcode>,
  shift: ShiftBand,
): Paper {
  return {
    id: 'labels',
    title: 'Bag labels',
    about: shiftText(problem, shift),
    landscape: false,
    pieces: labels.length
      ? labelPieces(problem, labels, codes)
      : [block('none', <p>No bags to label in this shift. Bags on hold get no labels.</p>)],
  };
}

const LOG: Table = {
  key: 'log',
  label: 'Preparation log',
  columns: [
    { head: 'Machine', share: 17 },
    { head: 'Bath', share: 15 },
    { head: 'Start', share: 11 },
    { head: 'Acid lot', share: 16 },
    { head: 'Bicarbonate lot', share: 17 },
    { head: 'Total chlorine test at', share: 13 },
    { head: 'Conductivity, mS/cm', share: 17 },
    { head: 'pH', share: 10 },
    { head: 'Swap', share: 11 },
    { head: 'Bags good', share: 10 },
    { head: 'Bags discarded', share: 12 },
    { head: 'Made by', share: 13 },
    { head: 'Released by', share: 14 },
  ],
};

/** To fill in by hand: a line for each planned fill of the shift, and empty lines for what was not planned. */
export function logPaper(
  problem: Problem,
  activities: readonly Activity[],
  shift: ShiftBand,
  spare = 4,
): Paper {
  const { places, from, to } = runSheet(problem, activities, shift);
  const fills = places
    .flatMap(({ place, rows }) =>
      // Those of which but the end of a swap is left were written down in the shift before.
      rows.filter(({ swap }) => swap && swap.start >= from).map((row) => ({ place, row })),
    )
    .sort((a, b) => a.row.start - b.row.start);
  const swapColumn = LOG.columns.findIndex(({ head }) => head === 'Swap');
  const handedOn = [
    ...Array.from({ length: swapColumn - 3 }, () => ''),
    <span key="swap" className="faint">
      next shift
    </span>,
  ];
  const line = (key: string, first: readonly ReactNode[]): Piece => ({
    kind: 'row',
    key,
    table: LOG,
    tall: true,
    cells: LOG.columns.map((_, index) => first[index] ?? ''),
  });
  return {
    id: 'log',
    title: 'Preparation log',
    about: shiftText(problem, shift),
    landscape: true,
    fillUp: true,
    pieces: [
      block(
        'sign',
        <div className="sign-line">
          <span>Log checked by</span>
          <span>Date and time</span>
          <span>Remarks</span>
        </div>,
      ),
      block(
        'intro',
        <p>
          The planned start is in brackets. Write what really happened. A fill that runs into the next shift
          is on both logs. Each bag: {numberText(problem.rules.fillLitres, 3)} to{' '}
          {numberText(problem.rules.maxLitres, 3)} L.
        </p>,
      ),
      ...clockPieces(problem, from, to),
      ...fills.map(({ place, row }) =>
        line(`fill ${row.index}`, [
          <Name key="machine">{place}</Name>,
          <Name key="bath">{row.bath}</Name>,
          <span key="start" className="faint">
            ({timeText(problem.clock, row.start)})
            {row.carriedOver && <span className="below">shift before</span>}
          </span>,
          ...(row.handedOn ? handedOn : []),
        ]),
      ),
      ...Array.from({ length: spare }, (_, index) => line(`spare ${index}`, [])),
    ],
  };
}
