import { type ScaleLinear, scaleLinear } from 'd3-scale';
import { useId, useMemo, useState } from 'react';
import type { Demand } from '../../demand/demand.ts';
import { dayBags } from '../../reports/coverSeries.ts';
import type { Said } from '../../reports/describe.ts';
import { type BathLook, bathLooks, type Tints } from '../../reports/palette.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { dateText, timeText, whenText } from '../../words/times.ts';
import { Frame, type OnExport } from './Frame.tsx';
import { Legend, LookDefs, patternUrl } from './Looks.tsx';
import { Tip, type TipAt } from './Tip.tsx';
import { useRoom } from './useRoom.ts';

const LEFT = 46;
const TOP = 34;
const PLOT = 170;
const HEIGHT = TOP + PLOT + 32;

interface DayChartProps {
  readonly problem: Problem;
  readonly demand: Demand;
  readonly tints?: Tints | undefined;
  readonly onAsk?: ((question: Question) => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

interface BarProps {
  readonly look: BathLook;
  readonly count: number;
  /** px */
  readonly box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  readonly pattern: string;
  readonly said: Said;
  readonly setTip: (tip: TipAt | null) => void;
  readonly onAsk: () => void;
}

/** Bags of one bath in one day, a part of the day's column. */
function BathBar({ look, count, box, pattern, said, setTip, onAsk }: BarProps) {
  const middle = box.x + box.width / 2;
  const bar = box.width;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a part of an SVG picture cannot be a button element
    <g
      role="button"
      tabIndex={0}
      aria-label={`${said.title}: ${said.lines.join(', ')}`}
      className="part"
      onPointerMove={(event) => setTip({ x: event.clientX, y: event.clientY, said })}
      onPointerLeave={() => setTip(null)}
      onClick={onAsk}
      onKeyDown={(event) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        onAsk();
      }}
    >
      <rect {...box} fill={look.tint} className="outline-thin" />
      <rect {...box} fill={pattern} />
      {box.height > 13 && bar > 26 && (
        <>
          <rect x={middle - 24} width={48} y={box.y + box.height / 2 - 7} height={14} fill={look.tint} />
          <text
            className="bar-text"
            fill={look.ink}
            x={middle}
            y={box.y + box.height / 2 + 4}
            textAnchor="middle"
          >
            {bar > 48 ? `${look.mark}: ${count}` : look.mark}
          </text>
        </>
      )}
    </g>
  );
}

/** Lines across at whole numbers of bags. */
function Scale({ y, width }: { y: ScaleLinear<number, number>; width: number }) {
  return y
    .ticks(4)
    .filter(Number.isInteger)
    .map((value) => (
      <g key={value}>
        <line className="hour" x1={LEFT} x2={width} y1={y(value)} y2={y(value)} />
        <text className="small" x={LEFT - 5} y={y(value) + 4} textAnchor="end">
          {numberText(value, 0)}
        </text>
      </g>
    ));
}

/** Bags hung in each 24 h of the horizon, stacked by bath, with totals in bags and litres. */
export function DayChart({ problem, demand, tints, onAsk, onExport }: DayChartProps) {
  const prefix = `dc${useId().replaceAll(':', '')}`;
  const [wrap, { width, scale }] = useRoom(800);
  const [tip, setTip] = useState<TipAt | null>(null);
  const looks = useMemo(() => bathLooks(problem.baths, tints), [problem.baths, tints]);
  const days = useMemo(() => dayBags(problem, demand), [problem, demand]);
  const most = Math.max(4, ...days.map(({ total }) => total));
  const y = scaleLinear([0, most], [TOP + PLOT, TOP]).nice(4);
  const room = (Math.max(200, width) - LEFT - 6) / Math.max(1, days.length);
  const bar = Math.min(90, room * 0.78);
  const all = days.reduce((sum, { total }) => sum + total, 0);
  const litres = days.reduce((sum, day) => sum + day.litres, 0);
  const summary = `${countText(all, 'bag')} (${numberText(litres, 0)} L) in ${countText(days.length, 'day')}, ${numberText(all / Math.max(1, days.length))} per day.`;
  const [first, last] = [0, days.length - 1].map((day) => timeText(problem.clock, day * 1440));
  const begins = `24 h from ${first} of each day${last === first ? '' : `, from ${last} after the clock change`}`;
  return (
    <Frame
      title="Bags per day by bath"
      name="bags-per-day"
      summary={summary}
      onExport={onExport}
      legend={<Legend looks={looks} prefix={prefix} />}
    >
      <div ref={wrap}>
        {/* biome-ignore lint/a11y/useSemanticElements: an SVG picture cannot be a fieldset */}
        <svg
          width={width * scale}
          height={HEIGHT * scale}
          viewBox={`0 0 ${width} ${HEIGHT}`}
          role="group"
          aria-label={`Bags per day by bath. ${summary}`}
        >
          <LookDefs looks={looks} prefix={prefix} />
          <Scale y={y} width={width} />
          <text className="small" x={2} y={12}>
            bags
          </text>
          {days.map(({ day, bags, total, litres: dayLitres }) => {
            const middle = LEFT + room * (day + 0.5);
            let under = 0;
            const date = problem.clock.localOf(day * 1440).slice(0, 10);
            return (
              <g key={day}>
                {bags.map((count, bath) => {
                  if (count === 0) return null;
                  const from = under;
                  under += count;
                  const box = {
                    x: middle - bar / 2,
                    width: bar,
                    y: y(under),
                    height: Math.max(0.5, y(from) - y(under)),
                  };
                  const said = {
                    title: `${looks[bath]!.bath}, ${dateText(date)}`,
                    lines: [
                      `${countText(count, 'bag')} hung in the 24 h from ${whenText(problem.clock, day * 1440)}`,
                      `${numberText((count * problem.bagParts) / problem.partsPerLitre)} L of dialysate`,
                    ],
                  };
                  return (
                    <BathBar
                      key={looks[bath]!.bath}
                      look={looks[bath]!}
                      {...{ count, box, said, setTip }}
                      pattern={patternUrl(prefix, bath)}
                      onAsk={() => onAsk?.({ of: 'dayBags', bath, day })}
                    />
                  );
                })}
                <text className="strong" x={middle} y={y(total) - 14} textAnchor="middle">
                  {numberText(total)}
                  {room > 58 ? ' bags' : ''}
                </text>
                <text className="small" x={middle} y={y(total) - 3} textAnchor="middle">
                  {numberText(dayLitres, 0)} L
                </text>
                <text className="axis-day" x={middle} y={TOP + PLOT + 16} textAnchor="middle">
                  {room > 70
                    ? dateText(date)
                    : room > 40
                      ? dateText(date).replace(/ \w+$/, '')
                      : Number(date.slice(8))}
                </text>
              </g>
            );
          })}
          <line className="day" x1={LEFT} x2={width} y1={TOP + PLOT} y2={TOP + PLOT} />
          <text className="small" x={LEFT} y={HEIGHT - 3}>
            {begins}
          </text>
        </svg>
      </div>
      <Tip at={tip} />
    </Frame>
  );
}
