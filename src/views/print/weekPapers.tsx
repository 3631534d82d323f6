import { type ReactNode, useId } from 'react';
import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { Plan } from '../../plan/plan.ts';
import { coverSeries, dayBags } from '../../reports/coverSeries.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { type StockRow, stockBoard } from '../../reports/stockBoard.ts';
import { type SupplySeries, supplyAccount, supplySeries } from '../../reports/supplySeries.ts';
import { type TimelineData, timelineOf } from '../../reports/timeline.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, missingText, numberText } from '../../words/numbers.ts';
import { dateText, lotText, readyText, spanText, whenText } from '../../words/times.ts';
import { Legend } from '../pictures/Looks.tsx';
import { layoutOf } from '../pictures/plotLayout.ts';
import { TimelinePlot } from '../pictures/TimelinePlot.tsx';
import { timelineSigns } from '../pictures/timelineSigns.ts';
import '../pictures/pictures.css';
import { roundHead } from '../../words/times.ts';
import type { Paper, Piece, Table } from './flow.ts';
import { clockPieces, Name, pastPieces } from './pieces.tsx';
import { shortPieces } from './shortPapers.tsx';

const number = (value: number, places = 1) => <span className="num">{numberText(value, places)}</span>;
/** What a landscape page's content holds of a picture, CSS px, on either paper. */
const PICTURE = { width: 968, height: 500 };

/** A stretch of the timeline as wide as the page; many machines are drawn smaller. */
function Stretch({
  problem,
  data,
  tints,
  from,
  to,
}: {
  problem: Problem;
  data: TimelineData;
  tints: Tints;
  from: number;
  to: number;
}) {
  const view = { from, to };
  const { height } = layoutOf(data, view, PICTURE.width);
  const width = Math.max(PICTURE.width, (height * PICTURE.width) / PICTURE.height);
  const looks = bathLooks(problem.baths, tints);
  // The same stretch stands on screen, in the measured copy and in print: each needs patterns of its own.
  const prefix = `paper${useId().replaceAll(':', '')}`;
  const drawn = layoutOf(data, view, width);
  return (
    <figure className="picture picture-paper">
      <Legend looks={looks} prefix={prefix} more={timelineSigns(problem)} />
      <svg
        viewBox={`0 0 ${width} ${drawn.height}`}
        width={PICTURE.width}
        height={(drawn.height * PICTURE.width) / width}
        role="img"
        aria-label={`Timeline ${spanText(problem.clock, from, to)}`}
      >
        <TimelinePlot
          data={data}
          clock={problem.clock}
          view={view}
          layout={drawn}
          looks={looks}
          prefix={prefix}
        />
      </svg>
    </figure>
  );
}

const heading = (key: string, text: string, newPage = false): Piece => ({
  kind: 'block',
  key,
  node: <h3>{text}</h3>,
  keepNext: true,
  newPage,
});

/** One supply's line: what is left is what was there, and came, less what is used, as printed. */
function supplyCells({ clock }: Problem, series: SupplySeries): ReactNode[] {
  const { digits, start, delivered, used, left } = supplyAccount(series);
  const out =
    series.firstShort === null
      ? 'not in this plan'
      : `${whenText(clock, series.firstShort)}, until the next delivery`;
  return [
    series.item,
    /\((.+)\)\s*$/.exec(series.item)?.[1] ?? 'pieces',
    ...[start, delivered, used, left].map((value) => number(value, digits)),
    series.runsOut === null ? out : whenText(clock, series.runsOut),
  ];
}

interface Week {
  readonly problem: Problem;
  readonly demand: Demand;
  readonly plan: Plan;
  readonly covered: Cover;
  readonly tints: Tints;
  /** What was broken and lost before now, a sentence each. */
  readonly past?: readonly string[];
}

/** What the plan is worth, in two sentences. */
function scorePiece({ activities, score }: Plan, bagsHung: number, fillLitres: number): Piece {
  const isUnmet = score.unmetLitres > 0;
  const fills = activities.filter(({ kind }) => kind === 'fill').length;
  return {
    kind: 'block',
    key: 'score',
    node: (
      <p>
        {isUnmet ? (
          <span className="short">UNMET: {numberText(score.unmetLitres)} L. </span>
        ) : (
          <b>{bagsHung > 0 ? 'Every need of the listed patients is met.' : 'No bags are needed.'} </b>
        )}
        {countText(fills, 'fill')}, {numberText(score.handsOnMinutes / 60)} h of hands-on work,{' '}
        {missingText(score.reserveShort * fillLitres, fillLitres)} short of the reserve,{' '}
        {countText(score.expiredBags, 'bag')} expired unused.
      </p>
    ),
  };
}

/** Bags hung per day by bath, with their sum. */
function dayPieces({ clock, baths }: Problem, days: ReturnType<typeof dayBags>): Piece[] {
  const table: Table = {
    key: 'days',
    label: 'Bags per day by bath',
    title: 'Bags hung per day',
    columns: [
      { head: 'Day (24 h)', share: 16 },
      ...baths.map((bath) => ({ head: `${bath}, bags`, share: 10 })),
      { head: 'All, bags', share: 10 },
      { head: 'All, L', share: 10 },
    ],
  };
  const sum = (of: (day: (typeof days)[number]) => number) => days.reduce((all, day) => all + of(day), 0);
  return [
    ...days.map(
      ({ day, bags, total, litres }): Piece => ({
        kind: 'row',
        key: `day ${day}`,
        table,
        cells: [
          `${dateText(clock.localOf(day * 1440).slice(0, 10))} from ${clock.localOf(day * 1440).slice(11)}`,
          ...bags.map((count) => number(count)),
          number(total),
          number(litres),
        ],
      }),
    ),
    {
      kind: 'row',
      key: 'total',
      table,
      strong: true,
      cells: [
        'All days',
        ...baths.map((_, bath) => number(sum(({ bags }) => bags[bath]!))),
        number(sum(({ total }) => total)),
        number(sum(({ litres }) => litres)),
      ],
    },
  ];
}

/** What no lot serves, a line for each bath and bag round. */
function unmetPieces(problem: Problem, demand: Demand, covered: Cover): Piece[] {
  const { clock } = problem;
  const table: Table = {
    key: 'unmet',
    label: 'Unmet need',
    title: 'Unmet need',
    columns: ['Bag round', 'Bath', 'Bags needed', 'UNMET', 'For bags hung'].map((head, index) => ({
      head,
      share: index === 4 ? 24 : 12,
    })),
  };
  return coverSeries(problem, demand, covered).flatMap(({ bath, rounds }) =>
    rounds
      .filter((row) => row.unmet > 0)
      .map(
        (row): Piece => ({
          kind: 'row',
          key: `unmet ${bath} ${row.round}`,
          table,
          cells: [
            roundHead(clock, row),
            <Name key="bath">{bath}</Name>,
            number(row.need),
            <span key="unmet" className="num short">
              {missingText(row.unmet * problem.rules.fillLitres, problem.rules.fillLitres)}
            </span>,
            `${whenText(clock, row.from)} to ${whenText(clock, row.to)}`,
          ],
        }),
      ),
  );
}

function supplyPieces(problem: Problem, { activities }: Plan): Piece[] {
  const table: Table = {
    key: 'supplies',
    label: 'Supplies',
    title: 'Supplies',
    columns: ['Supply', 'Unit', 'At the start', '+ Delivered', '− Used', '= Left at the end', 'Runs out'].map(
      (head) => ({ head, share: 12 }),
    ),
  };
  return supplySeries(problem, activities).map(
    (series, index): Piece => ({
      kind: 'row',
      key: `supply ${index}`,
      table,
      cells: supplyCells(problem, series),
    }),
  );
}

/** The timeline, a page a week. */
function timelinePieces(problem: Problem, { activities }: Plan, tints: Tints): Piece[] {
  const data = timelineOf(problem, activities);
  const weeks = Array.from({ length: Math.ceil(problem.horizon / 10_080) }, (_, week) => ({
    from: week * 10_080,
    to: Math.min(problem.horizon, (week + 1) * 10_080),
  }));
  return weeks.flatMap(({ from, to }): Piece[] => [
    heading(`h ${from}`, `Machines, ${spanText(problem.clock, from, to)}`, true),
    {
      kind: 'block',
      key: `stretch ${from}`,
      node: <Stretch problem={problem} data={data} tints={tints} from={from} to={to} />,
    },
  ]);
}

/** Bags by day and bath, what stays unmet, technicians and supplies, and the timeline week by week. */
export function weekPaper({ problem, demand, plan, covered, tints, past = [] }: Week): Paper {
  const { clock, horizon } = problem;
  const days = dayBags(problem, demand);
  return {
    id: 'week',
    title: 'Overview',
    about: `${whenText(clock, 0, true)} to ${whenText(clock, horizon, true)}`,
    landscape: true,
    pieces: [
      scorePiece(
        plan,
        days.reduce((sum, { total }) => sum + total, 0),
        problem.rules.fillLitres,
      ),
      ...clockPieces(problem, 0, horizon),
      ...pastPieces(past),
      ...dayPieces(problem, days),
      ...unmetPieces(problem, demand, covered),
      ...shortPieces({ problem, demand, covered }),
      ...supplyPieces(problem, plan),
      ...timelinePieces(problem, plan, tints),
    ],
  };
}

const BOARD: Table = {
  key: 'board',
  label: 'Stock',
  columns: [
    { head: 'Lot', share: 26 },
    { head: 'Bags in stock', share: 10 },
    { head: 'L per bag', share: 9 },
    { head: 'Ready since', share: 18 },
    { head: 'Expires', share: 18 },
    { head: 'Bags for the bag rounds of', share: 34 },
    { head: 'Free', share: 9 },
    { head: 'Counted', share: 13 },
    { head: 'Initials', share: 12 },
  ],
};

function boardRow(problem: Problem, row: StockRow, table: Table): Piece {
  const { clock } = problem;
  const soon = row.promised.slice(0, 3).map(({ at, bags }) => `${whenText(clock, at)}: ${numberText(bags)}`);
  const more = row.promised.length > 3 ? `; ${row.promised.length - 3} more` : '';
  return {
    kind: 'row',
    key: `${table.key} ${row.lot}`,
    table,
    tall: true,
    cells: [
      lotText({ id: row.lot, origin: row.origin }),
      number(row.bags),
      number(row.litres, 3),
      Number.isFinite(row.ready) ? whenText(clock, row.ready, true) : readyText(clock, row.ready),
      <b key="expires">{whenText(clock, row.expires, true)}</b>,
      soon.join('; ') + more,
      number(row.free),
      '',
      '',
    ],
  };
}

/** What should lie in stock at a minute, bath by bath, with room to count. */
export function stockPaper(problem: Problem, covered: Cover, minute: number): Paper {
  const board = stockBoard(problem, covered, minute);
  return {
    id: 'stock',
    title: 'Stock board',
    about: `as planned for ${whenText(problem.clock, minute, true)}; the first to expire is on top`,
    landscape: true,
    pieces: board.flatMap(({ bath, rows, bags, litres }, index): Piece[] => {
      const title = `${bath}: ${countText(bags, 'bag')}, ${numberText(litres)} L`;
      const table = { ...BOARD, key: `board ${index}`, label: `Stock of ${bath}`, title };
      return rows.length
        ? rows.map((row) => boardRow(problem, row, table))
        : [heading(`h ${bath}`, title), { kind: 'block', key: `none ${bath}`, node: <p>None in stock.</p> }];
    }),
  };
}
