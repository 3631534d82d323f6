import type { ReactNode } from 'react';
import type { Activity } from '../../plan/plan.ts';
import { type RunPlace, type RunRow, runSheet } from '../../reports/runSheet.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import { workName } from '../../words/activities.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';
import type { Paper, Piece, Table } from './flow.ts';
import { block, clockPieces, Name, pastPieces, shiftText } from './pieces.tsx';

const NOT_HERE = <span className="not-here">/</span>;

function machineRow(problem: Problem, row: RunRow, from: number): ReactNode[] {
  const at = (minute: number) => timeText(problem.clock, minute);
  const swap = row.swap && row.window;
  return [
    <Start key="start" problem={problem} row={row} />,
    <span key="what">
      <b>{row.duty ? <Name>{row.duty}</Name> : workName(row.kind)}</b>
      {row.kind === 'fill'
        ? ` ${tied(countText(row.bags, 'bag'))}`
        : `, ${tied(lengthText(row.end - row.start))}`}
      <Helpers row={row} />
    </span>,
    <b key="bath">
      <Name>{row.bath}</Name>
    </b>,
    swap ? (
      <span key="window" className="big window">
        {row.window.to > row.window.from ? (
          <>
            <span className="window-time">{at(row.window.from)}–</span>
            <span className="window-time">{at(row.window.to)}</span>
          </>
        ) : (
          <span className="window-time">at {at(row.window.from)}</span>
        )}
      </span>
    ) : (
      NOT_HERE
    ),
    swap ? (
      <span key="swap">
        {at(row.swap!.start)}
        {row.handedOn && <span className="faint"> next shift</span>}
        {row.swap!.start < from && <span className="faint"> under way</span>}
      </span>
    ) : (
      <DoneBy key="done" problem={problem} row={row} />
    ),
    '',
    '',
    '',
    '',
  ];
}

/** Said where not one technician is at the work: nobody, or more than one. */
const Helpers = ({ row }: { row: RunRow }) =>
  row.kind === 'fill' || row.technicians === 1 ? null : (
    <span className="faint below">
      {row.technicians === 0 ? 'runs without a technician' : countText(row.technicians, 'technician')}
    </span>
  );

/** Between which times a duty may begin. */
const Begins = ({ problem, row }: { problem: Problem; row: RunRow }) =>
  row.begins && row.begins.to > row.begins.from ? (
    <span className="faint below">
      may begin {timeText(problem.clock, row.begins.from)} to {timeText(problem.clock, row.begins.to)}
    </span>
  ) : null;

const Start = ({ problem, row }: { problem: Problem; row: RunRow }) => (
  <span>
    <span className="big">{timeText(problem.clock, row.start)}</span>
    {row.carriedOver && <span className="faint below">before this shift</span>}
    <Begins problem={problem} row={row} />
  </span>
);

/** No line ends between a number and its unit. */
const tied = (text: string): string => text.replaceAll(' ', '\u00a0');

const DoneBy = ({ problem, row }: { problem: Problem; row: RunRow }) => (
  <span>
    done by {timeText(problem.clock, row.end)}
    {row.handedOn && <span className="faint"> next shift</span>}
  </span>
);

/** 'Machine M1', but no 'Machine Machine 1'. */
function named({ of, place }: RunPlace): string {
  if (of === 'elsewhere') return 'Breaks and work elsewhere';
  return /^(machine|water)/i.test(place)
    ? place
    : `${of === 'machine' ? 'Machine' : 'Water source'} ${place}`;
}

const MACHINE_COLUMNS: Table['columns'] = [
  { head: 'Start', share: 15 },
  { head: 'Work', share: 20 },
  { head: 'Bath', share: 16 },
  { head: 'Swap window: come between', share: 26 },
  { head: 'Bag swap as planned', share: 15 },
  { head: 'Conductivity, mS/cm', share: 19 },
  { head: 'pH', share: 11 },
  { head: 'Done at', share: 13 },
  { head: 'Initials', share: 13 },
];
const WATER_COLUMNS: Table['columns'] = [
  { head: 'Start', share: 15 },
  { head: 'Work', share: 33 },
  { head: 'Planned', share: 35 },
  { head: 'Total chlorine, mg/L', share: 30 },
  { head: 'Done at', share: 20 },
  { head: 'Initials', share: 20 },
];
const ELSEWHERE_COLUMNS = WATER_COLUMNS.filter(({ head }) => !head.startsWith('Total chlorine'));

/** A test, or a duty at a water source or elsewhere. */
const plainRow = (problem: Problem, of: RunPlace['of'], row: RunRow): ReactNode[] => [
  <Start key="start" problem={problem} row={row} />,
  <span key="what">
    <b>{row.duty ? <Name>{row.duty}</Name> : workName(row.kind)}</b>
    <Helpers row={row} />
  </span>,
  <DoneBy key="done" problem={problem} row={row} />,
  ...(of === 'water' ? [row.kind === 'duty' ? NOT_HERE : ''] : []),
  '',
  '',
];

/** What a machine begins a worksheet with. One past its circuit's end may fill nothing. */
export function loadedText({ clock, rules, now }: Problem, { loaded }: Pick<RunPlace, 'loaded'>): string {
  const when = now > 0 ? `At ${timeText(clock, now)}` : 'At the start';
  if (!loaded) return `${when}: no filling circuit in place.`;
  const end = loaded.circuitSince + rules.circuitLife;
  if (end <= now)
    return `${when}: the circuit of ${loaded.bath} ENDED ${whenText(clock, end)}. Fill nothing on it.`;
  return `${when}: ${loaded.bath} runs. Filling circuit since ${whenText(clock, loaded.circuitSince)}, ends ${whenText(clock, end)}.`;
}

function placePieces(problem: Problem, place: RunPlace, from: number): Piece[] {
  const loaded = loadedText(problem, place);
  const title = (
    <>
      {named(place)} {place.of === 'machine' && <span className="faint">{loaded}</span>}
    </>
  );
  const key = `${place.of} ${place.place}`;
  if (place.rows.length === 0)
    return [
      block(`head ${key}`, <h3>{title}</h3>, { keepNext: true }),
      block(`none ${key}`, <p>No work is planned in this shift.</p>),
    ];
  const table: Table = {
    key,
    label: place.of === 'machine' ? `Work at ${place.place}` : named(place),
    title,
    columns: { machine: MACHINE_COLUMNS, water: WATER_COLUMNS, elsewhere: ELSEWHERE_COLUMNS }[place.of],
  };
  return place.rows.map(
    (row): Piece => ({
      kind: 'row',
      key: `${key} ${row.index}`,
      table,
      tall: true,
      cells: place.of === 'machine' ? machineRow(problem, row, from) : plainRow(problem, place.of, row),
    }),
  );
}

/** The shift's work by machine: when to come, what to check, where to sign. */
export function runSheetPaper(
  problem: Problem,
  activities: readonly Activity[],
  shift: ShiftBand,
  past: readonly string[] = [],
): Paper {
  const sheet = runSheet(problem, activities, shift);
  const pieces = sheet.places.flatMap((place) => placePieces(problem, place, sheet.from));
  return {
    id: 'run-sheet',
    title: 'Shift worksheet',
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
          Swap the bags within the swap window. Before it, bags are not full. After it, they hold too much or
          later work no longer fits. {countText(sheet.handsOnMinutes, 'minute')} of hands-on work in this
          shift. Your procedure gives the limits of conductivity, pH and total chlorine.
        </p>,
      ),
      ...clockPieces(problem, sheet.from, sheet.to),
      ...pastPieces(past, 5),
      ...pieces,
    ],
  };
}
