import type { ReactNode } from 'react';
import type { Activity } from '../../plan/plan.ts';
import type { Problem, ShiftBand } from '../../scenario/problem.ts';
import type { BagLabel } from '../../sheets/labels.ts';
import { type RunPlace, type RunRow, runSheet } from '../../sheets/runSheet.ts';
import { countText, lengthText, numberText, spanText, timeText, whenText } from '../../sheets/words.ts';
import type { Barcode } from './barcode.ts';
import type { Paper, Piece, Table } from './flow.ts';
import { labelPieces } from './labelSheet.tsx';

const NOT_HERE = <span className="not-here">/</span>;
const WHAT = { circuit: 'New circuit', bath: 'Change bath', fill: 'Fill', test: 'Chlorine test' };

export const shiftText = (problem: Problem, shift: ShiftBand): string =>
  `${shift.shift} shift, ${spanText(problem.clock, shift.from, shift.to)}, ${countText(shift.technicians, 'technician')}`;

const block = (
  key: string,
  node: ReactNode,
  more: { keepNext?: boolean; newPage?: boolean } = {},
): Piece => ({
  kind: 'block',
  key,
  node,
  ...more,
});

function machineRow(problem: Problem, row: RunRow): ReactNode[] {
  const at = (minute: number) => timeText(problem.clock, minute);
  const swap = row.swap && row.window;
  return [
    <span key="start" className="big one-line">
      {at(row.start)}
      {row.carriedOver && <span className="faint"> before this shift</span>}
    </span>,
    <span key="what">
      <b>{WHAT[row.kind]}</b>
      {row.kind === 'fill' ? ` ${countText(row.bags, 'bag')}` : `, ${lengthText(row.end - row.start)}`}
    </span>,
    <b key="bath">{row.bath}</b>,
    swap ? (
      <span key="window" className="big one-line">
        {at(row.window.from)}–{at(row.window.to)}
      </span>
    ) : (
      NOT_HERE
    ),
    swap ? (
      <span key="swap">
        {at(row.swap!.start)}
        {row.handedOn && <span className="faint"> next shift</span>}
      </span>
    ) : (
      `done by ${at(row.end)}`
    ),
    '',
    '',
    NOT_HERE,
    '',
    '',
  ];
}

/** 'Machine M1', but no 'Machine Machine 1'. */
const named = ({ of, place }: RunPlace): string =>
  /^(machine|water)/i.test(place) ? place : `${of === 'machine' ? 'Machine' : 'Water source'} ${place}`;

function placePieces(problem: Problem, place: RunPlace): Piece[] {
  const { clock, rules } = problem;
  const loaded = place.loaded
    ? `At the start: ${place.loaded.bath} runs, circuit since ${whenText(clock, place.loaded.circuitSince)}, ends ${whenText(clock, place.loaded.circuitSince + rules.circuitLife)}.`
    : 'At the start: no circuit in place.';
  const head = block(
    `head ${place.of} ${place.place}`,
    <h3>
      {named(place)} {place.of === 'machine' && <span className="faint">{loaded}</span>}
    </h3>,
    { keepNext: true },
  );
  if (place.rows.length === 0)
    return [head, block(`none ${place.of} ${place.place}`, <p>Nothing planned in this shift.</p>)];
  const key = `${place.of} ${place.place}`;
  const machine: Table = {
    key,
    label: `Work at ${place.place}`,
    columns: [
      { head: 'Start', share: 14 },
      { head: 'What', share: 16 },
      { head: 'Bath', share: 10 },
      { head: 'Swap window: come between', share: 25 },
      { head: 'Planned', share: 14 },
      { head: 'Conductivity, mS/cm', share: 19 },
      { head: 'pH', share: 11 },
      { head: 'Chlorine, mg/L', share: 14 },
      { head: 'Done at', share: 13 },
      { head: 'Initials', share: 13 },
    ],
  };
  const water: Table = {
    key,
    label: `Tests of ${place.place}`,
    columns: [
      { head: 'Start', share: 15 },
      { head: 'What', share: 33 },
      { head: 'Planned', share: 35 },
      { head: 'Total chlorine, mg/L', share: 30 },
      { head: 'Done at', share: 20 },
      { head: 'Initials', share: 20 },
    ],
  };
  return [
    head,
    ...place.rows.map(
      (row): Piece => ({
        kind: 'row',
        key: `${key} ${row.index}`,
        table: place.of === 'machine' ? machine : water,
        tall: true,
        cells:
          place.of === 'machine'
            ? machineRow(problem, row)
            : [
                <span key="start" className="big one-line">
                  {timeText(clock, row.start)}
                </span>,
                <b key="what">{WHAT.test}</b>,
                `done by ${timeText(clock, row.end)}`,
                '',
                '',
                '',
              ],
      }),
    ),
  ];
}

/** The shift's work by machine: when to come, what to check, where to sign. */
export function runSheetPaper(problem: Problem, activities: readonly Activity[], shift: ShiftBand): Paper {
  const sheet = runSheet(problem, activities, shift);
  const pieces = sheet.places.flatMap((place) => placePieces(problem, place));
  return {
    id: 'run-sheet',
    title: 'Run sheet',
    about: shiftText(problem, shift),
    landscape: false,
    pieces: [
      block(
        'sign',
        <div className="sign-line">
          <span>Shift handed over by</span>
          <span>Taken over by</span>
          <span>Date and time</span>
        </div>,
      ),
      block(
        'intro',
        <p>
          Come to each fill within its swap window: sooner a bag is not full, later it holds more than it may.{' '}
          {countText(sheet.handsOnMinutes, 'minute')} of hands-on work begin in this shift. Limits of
          conductivity, pH and chlorine: as your procedure says.
        </p>,
      ),
      ...pieces,
    ],
  };
}

/** One label a bag, for the fills that end in the shift. */
export function labelPaper(
  problem: Problem,
  labels: readonly BagLabel[],
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
      : [block('none', <p>No fill ends in this shift: no labels.</p>)],
  };
}

const LOG: Table = {
  key: 'log',
  label: 'Preparation log',
  columns: [
    { head: 'Machine', share: 15 },
    { head: 'Bath', share: 11 },
    { head: 'Start', share: 11 },
    { head: 'Acid lot', share: 16 },
    { head: 'Bicarbonate lot', share: 17 },
    { head: 'Water test at', share: 13 },
    { head: 'Conductivity, mS/cm', share: 17 },
    { head: 'pH', share: 10 },
    { head: 'Swap', share: 11 },
    { head: 'Bags good', share: 10 },
    { head: 'Bags thrown away', share: 12 },
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
  const fills = runSheet(problem, activities, shift)
    .places.flatMap(({ place, rows }) =>
      rows.filter(({ kind }) => kind === 'fill').map((row) => ({ place, row })),
    )
    .sort((a, b) => a.row.start - b.row.start);
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
          Start as planned is printed in grey; write what really happened. Each bag:{' '}
          {numberText(problem.rules.fillLitres, 3)} to {numberText(problem.rules.maxLitres, 3)} L.
        </p>,
      ),
      ...fills.map(({ place, row }) =>
        line(`fill ${row.index}`, [
          place,
          row.bath,
          <span key="start" className="faint">
            ({timeText(problem.clock, row.start)})
          </span>,
        ]),
      ),
      ...Array.from({ length: spare }, (_, index) => line(`spare ${index}`, [])),
    ],
  };
}
