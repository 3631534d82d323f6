import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { Band } from '../../capacity/answers/bands.ts';
import { numberText } from '../../words/numbers.ts';

const LEFT = 52;
const TOP = 22;
const RIGHT = 58;

interface FanPictureProps {
  readonly unit: string;
  /** By day. */
  readonly bands: readonly Band[];
  readonly dayText: (day: number) => string;
  readonly tint?: string | undefined;
  readonly width: number;
  readonly height: number;
  /** Screen pixels of one unit of width and height. */
  readonly scale: number;
  readonly label: string;
}

/** Names of the bands at their right ends; they keep their distance when the fan is narrow. */
function endLabels(end: Band, y: (value: number) => number): { at: number; text: string }[] {
  const labels = [
    { at: y(end.p95), text: '95 of 100' },
    { at: y(end.p50), text: 'middle' },
    { at: y(end.p5), text: '5 of 100' },
  ].sort((a, b) => a.at - b.at);
  for (let n = 1; n < labels.length; n++) labels[n]!.at = Math.max(labels[n]!.at, labels[n - 1]!.at + 12);
  return labels;
}

/** Bands over the days: 5 to 95 and 25 to 75 of 100 runs, and the middle one. */
export function FanPicture({ unit, bands, dayText, tint, width, height, scale, label }: FanPictureProps) {
  const top = Math.max(1, ...bands.map(({ p95 }) => p95));
  const right = Math.max(LEFT + 60, width - RIGHT);
  const x = scaleLinear([0, Math.max(1, bands.length - 1)], [LEFT, right]);
  const y = scaleLinear([0, top], [height - 30, TOP]).nice(4);
  const fan = (low: keyof Band, high: keyof Band) =>
    area<Band>()
      .x((_, day) => x(day))
      .y0((band) => y(band[low]))
      .y1((band) => y(band[high]))([...bands]) ?? '';
  const middle =
    line<Band>()
      .x((_, day) => x(day))
      .y(({ p50 }) => y(p50))([...bands]) ?? '';
  const every = Math.max(1, Math.ceil(bands.length / Math.max(1, Math.floor((width - LEFT - RIGHT) / 80))));
  const paint = { className: tint ? undefined : 'fan-plain', fill: tint };
  return (
    <svg
      width={width * scale}
      height={height * scale}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={label}
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
      <path d={fan('p5', 'p95')} {...paint} fillOpacity={0.22} />
      <path d={fan('p25', 'p75')} {...paint} fillOpacity={0.4} />
      <path d={middle} className="fan-middle" />
      {bands.map((_, day) =>
        day % every === 0 ? (
          // biome-ignore lint/suspicious/noArrayIndexKey: a day is its place
          <g key={day}>
            <line className="hour" x1={x(day)} x2={x(day)} y1={height - 30} y2={height - 26} />
            <text className="small" x={x(day)} y={height - 14} textAnchor={day === 0 ? 'start' : 'middle'}>
              {dayText(day)}
            </text>
          </g>
        ) : null,
      )}
      {bands.length > 0 &&
        endLabels(bands.at(-1)!, y).map(({ at, text }) => (
          <text key={text} className="small" x={width - RIGHT + 4} y={at + 4}>
            {text}
          </text>
        ))}
    </svg>
  );
}
