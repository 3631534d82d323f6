import type { Demand } from '../../demand/demand.ts';
import type { Start } from '../../record/from.ts';
import { lotTrace, traceableOf, traceables } from '../../reports/day/lotTrace.ts';
import { controlCharts, notShown } from '../../reports/day/readings.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { countText, listText, numberText } from '../../words/numbers.ts';
import { spanText, whenText } from '../../words/times.ts';
import { ControlPlot, chartSummary, chartTitle, judgedWord } from '../day/ControlPlot.tsx';
import { givenText, MADE_HEADS, madeCells, madeRows } from '../day/MadePart.tsx';
import { fromLines, leftText, thereText, whereText } from '../day/traceWords.ts';
import type { Baseline } from '../state/planned.ts';
import type { Paper } from './flow.ts';
import { block, heading, listed, strong } from './pieces.tsx';

interface Asked {
  /** The scenario compiled, from its start, and its need. */
  readonly whole: Problem;
  readonly demand: Demand;
  readonly start: Start;
}

/** Where a lot went and what it was made from, as a page to hand over. @param text what is asked about */
export function tracePaper({ whole, demand, start }: Asked, text: string): Paper {
  const { state } = start;
  const { clock } = whole;
  const asked = traceableOf(traceables(whole, state), text);
  const paper = { id: 'trace', title: 'Trace', landscape: false };
  if (!asked)
    return {
      ...paper,
      about: whenText(clock, state.now),
      pieces: [
        block(
          'none',
          <p>
            {text.trim() === ''
              ? 'Choose on the technician’s home what is to be traced.'
              : `Nothing in this record is called ${text}.`}
          </p>,
        ),
      ],
    };
  const trace = lotTrace({ problem: whole, demand, state }, asked);
  const there = trace.beds.reduce((sum, bed) => sum + bed.there, 0);
  return {
    ...paper,
    about: `${asked.name}, as noted by ${whenText(clock, state.now)}`,
    pieces: [
      ...(trace.filling.length > 0
        ? [
            strong(
              'filling',
              `${listText(trace.filling)}: FILLING WITH IT NOW. These bags are in no lot yet.`,
            ),
          ]
        : []),
      ...(there > 0
        ? [
            strong(
              'there',
              `Up to ${countText(there, 'bag')} may hang or wait at the bedside now, by the prescription. Nobody notes what hangs: look at each bed.`,
            ),
          ]
        : []),
      ...listed({
        key: 'lots',
        title: 'Lots of bags',
        columns: [
          { head: 'Lot', share: 30 },
          { head: 'Bath', share: 14 },
          { head: 'Where its bags are', share: 56 },
        ],
        rows: trace.lots.map((lot) => [lot.lot, lot.bath ?? 'not known', whereText(lot)]),
        none: 'It went into no lot of bags that is off a machine.',
      }),
      ...listed({
        key: 'beds',
        title: 'Left for the bedside',
        columns: [
          { head: 'Ward', share: 11 },
          { head: 'Bed', share: 12 },
          { head: 'Lot', share: 23 },
          { head: 'Bags', share: 7 },
          { head: 'Bag round', share: 21 },
          { head: 'Still there', share: 18 },
          { head: 'Found', share: 8 },
        ],
        rows: trace.beds.map((bed) => [
          bed.ward ?? 'not noted',
          bed.bed ?? 'not noted',
          bed.lot,
          bed.bags,
          leftText(clock, bed),
          thereText(bed),
          '',
        ]),
        none: 'No bag of it is noted as left.',
      }),
      ...trace.from.flatMap((from) => [
        heading(`from ${from.lot.lot}`, `What ${from.lot.lot} was made from`),
        ...fromLines(clock, from).map((line) => block(`${from.lot.lot} ${line}`, <p>{line}</p>)),
      ]),
    ],
  };
}

/** px of a chart across a page in portrait. */
const WIDE = 660;

/** Readings over time: each chart with its values as a table. */
export function chartsPaper({ state, problem }: Start, baths: readonly Bath[]): Paper {
  const { clock } = problem;
  const charts = controlCharts(state);
  return {
    id: 'charts',
    title: 'Readings',
    about: `As noted by ${whenText(clock, state.now)}`,
    landscape: false,
    pieces: [
      ...notShown(baths, state.limits).map((text) => block(text, <p>▲ {text}</p>)),
      block(
        'key',
        <p>
          The band shows the limits, the dashed line the expected value. ● within limits, ✕ out of limits, ○
          not judged.
        </p>,
      ),
      ...(charts.length === 0 ? [block('none', <p>No reading is noted.</p>)] : []),
      ...charts.flatMap((chart) => [
        block(
          `chart ${chartTitle(chart)}`,
          <figure className="paper-chart">
            <figcaption>
              <b>{chartTitle(chart)}</b>: {chartSummary(chart)}
            </figcaption>
            <ControlPlot clock={clock} chart={chart} width={WIDE} height={150} />
          </figure>,
          { keepNext: true },
        ),
        ...listed({
          key: `values ${chartTitle(chart)}`,
          title: `Values: ${chartTitle(chart)}`,
          columns: [
            { head: 'At', share: 26 },
            { head: 'Bath', share: 14 },
            { head: 'Measured', share: 14 },
            { head: 'Expected', share: 12 },
            { head: 'Limits', share: 18 },
            { head: 'Judged', share: 18 },
            { head: 'By', share: 8 },
          ],
          rows: chart.points.map((point) => [
            whenText(clock, point.at),
            point.bath ?? 'not known',
            `${numberText(point.value, 2)} ${chart.unit}`,
            point.expected === null ? '' : numberText(point.expected, 2),
            point.low === null || point.high === null
              ? 'none'
              : `${numberText(point.low, 2)} to ${numberText(point.high, 2)}`,
            judgedWord(point),
            point.by,
          ]),
          none: '',
        }),
      ]),
    ],
  };
}

/** Made against planned, by shift and machine. */
export function madePaper({ whole, start }: Pick<Asked, 'whole' | 'start'>, given: Baseline | null): Paper {
  const { clock } = whole;
  const shares = [10, 8, 8, 9, 10, 9, 34];
  return {
    id: 'made',
    title: 'Made against planned',
    about: `As noted by ${whenText(clock, start.state.now)}`,
    landscape: true,
    pieces: [
      block(
        'given',
        <p>{givenText(whole, given)} Late: minutes by which bags came off later than planned.</p>,
      ),
      ...listed({
        key: 'made',
        title: 'By shift and machine',
        columns: [
          { head: 'Shift', share: 26 },
          { head: 'Machine', share: 10 },
          ...MADE_HEADS.map((head, index) => ({ head, share: shares[index]! })),
        ],
        rows: madeRows(whole, start, given).map((row) => [
          `${row.shift}, ${spanText(clock, Math.max(0, row.from), row.to)}`,
          row.machine,
          ...madeCells(row),
        ]),
        none: 'Nothing was planned or made yet.',
      }),
    ],
  };
}
