import type { Band } from '../../capacity/answers/bands.ts';
import { numberText } from '../../words/numbers.ts';
import { Frame, type OnExport } from '../pictures/Frame.tsx';
import { useRoom } from '../pictures/useRoom.ts';
import { FanPicture } from './FanPicture.tsx';

interface FanChartProps {
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
  readonly onExport?: OnExport | undefined;
}

/** The numbers behind a fan. */
function FanNumbers({ bands, unit, dayText }: Pick<FanChartProps, 'bands' | 'unit' | 'dayText'>) {
  return (
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
  );
}

/** The middle, the spread and the peak of a fan in a sentence. */
export function fanSummary({
  bands,
  unit,
  dayText,
}: Pick<FanChartProps, 'bands' | 'unit' | 'dayText'>): string {
  const peak = bands.reduce((best, band, day) => (band.p95 > bands[best]!.p95 ? day : best), 0);
  const most = bands[peak];
  const end = bands.at(-1);
  if (!most || !end) return '';
  return `Peak on ${dayText(peak)}: middle ${numberText(most.p50, 0)} ${unit}, 5 to 95 of 100 runs ${numberText(most.p5, 0)} to ${numberText(most.p95, 0)}. At the end: middle ${numberText(end.p50, 0)}.`;
}

/** Bands over the days with their numbers one click away. */
export function FanChart(props: FanChartProps) {
  const { title, name, unit, bands, dayText, tint, height = 210, onExport } = props;
  const [wrap, { width, scale }] = useRoom(640);
  const summary = fanSummary(props);
  if (bands.length === 0) return null;
  return (
    <Frame title={title} name={name} summary={summary} onExport={onExport}>
      <div ref={wrap}>
        <FanPicture
          unit={unit}
          bands={bands}
          dayText={dayText}
          tint={tint}
          width={width}
          height={height}
          scale={scale}
          label={`${title}. ${summary}`}
        />
      </div>
      <FanNumbers bands={bands} unit={unit} dayText={dayText} />
    </Frame>
  );
}
