import { scaleLinear } from 'd3-scale';
import { area, curveStepAfter, line } from 'd3-shape';
import type { Clock } from '../../calendar/clock.ts';
import type { ControlChart, ControlPoint } from '../../reports/day/readings.ts';
import { numberText } from '../../words/numbers.ts';
import { shortDateText, whenText } from '../../words/times.ts';
import { hourTicks } from '../pictures/ticks.ts';
import './control.css';

/** Above and below what is drawn, at least, in the unit of what is measured. */
const LEAST_ROOM = { conductivity: 0.1, temperature: 2, pH: 0.1, potassium: 0.1 } as const;
const LEFT = 64;
const RIGHT = 16;
const TOP = 12;
const FOOT = 34;

/** 'Conductivity on M1, mS/cm' */
export const chartTitle = ({ quantity, machine, unit }: ControlChart): string =>
  `${quantity === 'pH' ? 'pH' : `${quantity.charAt(0).toUpperCase()}${quantity.slice(1)}`} on ${machine}${unit ? `, ${unit}` : ''}`;

/** What a point was judged, in words. */
export const judgedWord = ({ within }: ControlPoint): string =>
  within === null ? 'not judged' : within ? 'within limits' : 'OUT OF LIMITS';

/** A chart in one sentence. */
export function chartSummary({ points }: ControlChart): string {
  const out = points.filter(({ within }) => within === false).length;
  const unjudged = points.filter(({ within }) => within === null).length;
  return `${points.length} measured, ${out} out of limits${unjudged > 0 ? `, ${unjudged} not judged` : ''}.`;
}

const Mark = ({ within, x, y }: Pick<ControlPoint, 'within'> & { x: number; y: number }) =>
  within === false ? (
    <path className="point out" d={`M${x - 6},${y - 6}l12,12m0,-12l-12,12`} />
  ) : within === null ? (
    <circle className="point open" cx={x} cy={y} r={4.5} />
  ) : (
    <circle className="point" cx={x} cy={y} r={4} />
  );

interface PlotProps {
  readonly clock: Clock;
  readonly chart: ControlChart;
  /** px */
  readonly width: number;
  readonly height?: number;
}

/**
 * Readings over time with the limits and the expected value that held for each: within is a dot, out of limits a cross,
 * not judged a ring.
 */
export function ControlPlot({ clock, chart, width, height = 170 }: PlotProps) {
  const { points } = chart;
  const ats = points.map(({ at }) => at);
  const pad = Math.max(30, (ats.at(-1)! - ats[0]!) * 0.04);
  const x = scaleLinear([ats[0]! - pad, ats.at(-1)! + pad], [LEFT, width - RIGHT]);
  const values = points.flatMap(({ value, low, high }) => [value, low ?? value, high ?? value]);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  // What hardly changes is not drawn as if it did.
  const room = Math.max((most - least) * 0.12, LEAST_ROOM[chart.quantity]);
  const y = scaleLinear([least - room, most + room], [height - FOOT, TOP]);
  // Each point's limits hold until the next one, where another bath may have others.
  const steps = [...points, { ...points.at(-1)!, at: ats.at(-1)! + pad }];
  const band = area<ControlPoint>()
    .defined(({ low }) => low !== null)
    .x(({ at }) => x(at))
    .y0(({ low }) => y(low!))
    .y1(({ high }) => y(high!))
    .curve(curveStepAfter);
  const expected = line<ControlPoint>()
    .defined((point) => point.expected !== null)
    .x(({ at }) => x(at))
    .y((point) => y(point.expected!))
    .curve(curveStepAfter);
  const values_ = line<ControlPoint>()
    .x(({ at }) => x(at))
    .y(({ value }) => y(value));
  const days = new Set(ats.map((at) => clock.localOf(at).slice(0, 10))).size > 1;
  const [from, to] = x.domain() as [number, number];
  const ticks = hourTicks(clock, from, to, x(1) - x(0), 90);
  const said = `${chartTitle(chart)}: ${chartSummary(chart)}`;
  return (
    <svg
      className="control"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={said}
    >
      <path className="band" d={band(steps) ?? ''} />
      {y.ticks(4).map((value) => (
        <g key={value}>
          <line className="grid-line" x1={LEFT} x2={width - RIGHT} y1={y(value)} y2={y(value)} />
          <text x={LEFT - 6} y={y(value) + 4} textAnchor="end">
            {numberText(value, 2)}
          </text>
        </g>
      ))}
      {ticks.map(({ at, label }) => (
        <g key={at}>
          <line className="grid-line" x1={x(at)} x2={x(at)} y1={height - FOOT} y2={height - FOOT + 4} />
          <text x={x(at)} y={height - FOOT + 17} textAnchor="middle">
            {label}
          </text>
          {days && (
            <text x={x(at)} y={height - 3} textAnchor="middle">
              {shortDateText(clock.localOf(at).slice(0, 10))}
            </text>
          )}
        </g>
      ))}
      <path className="expected" d={expected(steps) ?? ''} />
      <path className="values" d={values_(points) ?? ''} />
      {points.map((point) => (
        <g key={point.entry}>
          <title>{`${whenText(clock, point.at)}: ${numberText(point.value, 2)} ${chart.unit}, ${judgedWord(point)}`}</title>
          <Mark within={point.within} x={x(point.at)} y={y(point.value)} />
        </g>
      ))}
    </svg>
  );
}
