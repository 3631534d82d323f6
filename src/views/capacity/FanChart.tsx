import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { useMemo } from 'react';
import type { Band } from '../../capacity/answers/bands.ts';
import { numberText } from '../../words/numbers.ts';
import { Frame, type OnExport } from '../pictures/Frame.tsx';
import { useRoom } from '../pictures/useRoom.ts';

const LEFT = 52;
const TOP = 22;
const RIGHT = 58;

export interface FanChartProps {
  readonly title: string;
  /** File name without ending. */
  readonly name: string;
  /** Of the vertical axis, e.g. 'patients'. */
  readonly unit: string;
  /** By day. */
  readonly bands: readonly Band[];
  /** Short date of a day, for the axis. */
  readonly dayText: (day: number) => string;
  /** Colour of the fan, #rrggbb; default the ink of the picture. */
  readonly tint?: string | undefined;
  readonly height?: number;
  /** A level to draw, e.g. what machines can make. */
  readonly level?: { readonly value: number; readonly label: string } | undefined;
  readonly onExport?: OnExport | undefined;
}

/** Bands over the days: 5 to 95 and 25 to 75 of 100 draws, and the middle one; the numbers behind it one click away. */
export function FanChart(props: FanChartProps) {
  const { title, name, unit, bands, dayText, tint, height = 210, level, onExport } = props;
  const [wrap, { width, scale }] = useRoom(640);
  const top = Math.max(1, level?.value ?? 0, ...bands.map(({ p95 }) => p95));
  const x = scaleLinear([0, Math.max(1, bands.length - 1)], [LEFT, Math.max(LEFT + 60, width - RIGHT)]);
  const y = scaleLinear([0, top], [height - 30, TOP]).nice(4);
  const shapes = useMemo(() => {
    const fan = (low: keyof Band, high: keyof Band) =>
      area<Band>()
        .x((_, day) => x(day))
        .y0((band) => y(band[low]))
        .y1((band) => y(band[high]))([...bands]) ?? '';
    const middle =
      line<Band>()
        .x((_, day) => x(day))
        .y(({ p50 }) => y(p50))([...bands]) ?? '';
    return { wide: fan('p5', 'p95'), narrow: fan('p25', 'p75'), middle };
  }, [bands, x, y]);
  const peak = bands.reduce((best, band, day) => (band.p95 > bands[best]!.p95 ? day : best), 0);
  const most = bands[peak];
  const end = bands.at(-1);
  if (!most || !end) return null;
  const summary = `Middle ${numberText(most.p50, 0)} ${unit} at the peak on ${dayText(peak)} (5 to 95 of 100 draws: ${numberText(most.p5, 0)} to ${numberText(most.p95, 0)}), ${numberText(end.p50, 0)} at the end.`;
  const every = Math.max(1, Math.ceil(bands.length / Math.max(1, Math.floor((width - LEFT - RIGHT) / 80))));
  const labels = [
    { at: y(end.p95), text: '95 of 100' },
    { at: y(end.p50), text: 'middle' },
    { at: y(end.p5), text: '5 of 100' },
  ];
  // Labels keep their distance when the fan is narrow.
  labels.sort((a, b) => a.at - b.at);
  for (let n = 1; n < labels.length; n++) labels[n]!.at = Math.max(labels[n]!.at, labels[n - 1]!.at + 12);
  return (
    <Frame title={title} name={name} summary={summary} onExport={onExport}>
      <div ref={wrap}>
        <svg
          width={width * scale}
          height={height * scale}
          viewBox={`0 0 ${width} ${height}`}
          role="img"
          aria-label={`${title}. ${summary}`}
        >
          {y.ticks(4).map((value) => (
            <g key={value}>
              <line className="hour" x1={LEFT} x2={width - RIGHT} y1={y(value)} y2={y(value)} />
              <text className="small" x={LEFT - 5} y={y(value) + 4} textAnchor="end">
                {numberText(value, 0)}
              </text>
            </g>
          ))}
          <text className="small" x={2} y={12}>
            {unit}
          </text>
          <path d={shapes.wide} className={tint ? undefined : 'fan-plain'} fill={tint} fillOpacity={0.22} />
          <path d={shapes.narrow} className={tint ? undefined : 'fan-plain'} fill={tint} fillOpacity={0.4} />
          <path d={shapes.middle} className="fan-middle" />
          {level && (
            <>
              <line
                className="fan-level"
                x1={LEFT}
                x2={width - RIGHT}
                y1={y(level.value)}
                y2={y(level.value)}
              />
              <text className="small strong" x={LEFT + 4} y={y(level.value) - 4}>
                {level.label}
              </text>
            </>
          )}
          {bands.map((_, day) =>
            day % every === 0 ? (
              // biome-ignore lint/suspicious/noArrayIndexKey: a day is its place
              <g key={day}>
                <line className="hour" x1={x(day)} x2={x(day)} y1={height - 30} y2={height - 26} />
                <text
                  className="small"
                  x={x(day)}
                  y={height - 14}
                  textAnchor={day === 0 ? 'start' : 'middle'}
                >
                  {dayText(day)}
                </text>
              </g>
            ) : null,
          )}
          {labels.map(({ at, text }) => (
            <text key={text} className="small" x={width - RIGHT + 4} y={at + 4}>
              {text}
            </text>
          ))}
        </svg>
      </div>
      <details className="capacity-numbers">
        <summary>Numbers</summary>
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Day from</th>
              {['mean', '5 %', '25 %', '50 %', '75 %', '95 %'].map((head) => (
                <th key={head} scope="col" className="number">
                  {head}, {unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {bands.map((band, day) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a day is its place
              <tr key={day}>
                <th scope="row">{dayText(day)}</th>
                {([band.mean, band.p5, band.p25, band.p50, band.p75, band.p95] as const).map((value, n) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: a quantile is its place
                  <td key={n} className="number">
                    {numberText(value, n === 0 ? 1 : 0)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </Frame>
  );
}
