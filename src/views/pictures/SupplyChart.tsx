import { scaleLinear } from 'd3-scale';
import { useMemo } from 'react';
import type { Activity } from '../../plan/plan.ts';
import { type SupplySeries, supplyAccount, supplySeries } from '../../reports/supplySeries.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { DayGrid } from './DayGrid.tsx';
import { Frame, type OnExport } from './Frame.tsx';
import { area, cut } from './plotLayout.ts';
import { useRoom } from './useRoom.ts';

const LEFT = 176;
const ROW = 62;
const HEAD = 20;
const RIGHT = 150;

interface SupplyChartProps {
  readonly problem: Problem;
  readonly activities: readonly Activity[];
  readonly onAsk?: ((question: Question) => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

/** Says from when a supply is too little to go on, or how long the rest lasts. */
export function supplyFate(problem: Problem, series: SupplySeries): { text: string; bad: boolean } {
  const little = series.forFills ? 'too little for a fill' : 'too little for one use';
  if (series.leastToStart === 0) return { text: 'not used', bad: false };
  if (series.runsOut !== null)
    return { text: `${little} from ${whenText(problem.clock, series.runsOut)}`, bad: true };
  if (series.firstShort !== null)
    return {
      text: `${little} from ${whenText(problem.clock, series.firstShort)} until the next delivery`,
      bad: true,
    };
  if (series.lastsDays === null) return { text: 'not used by this plan', bad: false };
  return { text: `then lasts ${countText(series.lastsDays, 'more day')}`, bad: false };
}

interface RowProps {
  readonly problem: Problem;
  readonly series: SupplySeries;
  readonly index: number;
  readonly x: (minute: number) => number;
  /** px, of the picture */
  readonly width: number;
  readonly onAsk: () => void;
}

/** One supply: what is left of it, its deliveries, and when it runs out. */
function SupplyRow({ problem, series, index, x, width, onAsk }: RowProps) {
  const top = HEAD + index * ROW;
  const base = top + ROW - 8;
  const most = Math.max(1e-9, ...series.left.map(({ value }) => value));
  const y = scaleLinear([0, most], [base, top + 12]);
  const { text, bad } = supplyFate(problem, series);
  const short = series.runsOut ?? series.firstShort;
  const unit = /\((.+)\)\s*$/.exec(series.item)?.[1] ?? 'pieces';
  const { digits, ...account } = supplyAccount(series);
  const count = (value: number) => numberText(value, digits);
  const words = `${series.item}: ${count(account.start)} ${unit} at the start, ${count(account.delivered)} delivered, ${count(account.used)} used, ${count(account.left)} left; ${text}`;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a part of an SVG picture cannot be a button element
    <g
      role="button"
      tabIndex={0}
      aria-label={words}
      className="part"
      onClick={onAsk}
      onKeyDown={(event) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        onAsk();
      }}
    >
      <title>{words}</title>
      <rect className="hit" x={0} y={top} width={width} height={ROW} />
      <text className="strong" x={6} y={top + 22}>
        {cut(series.item, 20)}
      </text>
      <text className="small" x={6} y={top + 36}>
        {numberText(series.used)} used, {numberText(series.atEnd)} left ({unit})
      </text>
      <text className="small" x={LEFT - 4} y={y(most) + 4} textAnchor="end">
        {numberText(most)}
      </text>
      <path
        d={area(
          series.left.map(({ at, value }) => ({ at, value: Math.max(0, value) })),
          { from: 0, to: problem.horizon },
          x,
          y,
        )}
        className="stock"
      />
      {series.deliveries
        .filter(({ at }) => at >= 0 && at < problem.horizon)
        .map(({ at, quantity }) => (
          <g key={at}>
            <path className="expiry" d={`M${x(at) - 4},${top + 10}h8l-4,-8z`} />
            <text className="small" x={x(at) + 6} y={top + 10}>
              +{numberText(quantity)}
            </text>
          </g>
        ))}
      <line className="lane" x1={LEFT} x2={x(problem.horizon)} y1={base} y2={base} />
      {short !== null && (
        <g>
          <line className="now" x1={x(short)} x2={x(short)} y1={top + 10} y2={base} />
          <text className="unmet-text" x={x(short)} y={base + 1} textAnchor="middle">
            ✕
          </text>
        </g>
      )}
      <text className={bad ? 'unmet-text' : 'small'} x={x(problem.horizon) + 6} y={base - 14}>
        {text.length > 20 ? text.slice(0, text.lastIndexOf(' ', 19)) : text}
      </text>
      {text.length > 20 && (
        <text className={bad ? 'unmet-text' : 'small'} x={x(problem.horizon) + 6} y={base - 1}>
          {text.slice(text.lastIndexOf(' ', 19) + 1)}
        </text>
      )}
    </g>
  );
}

/** Supplies running down under the plan, with deliveries and the time each runs out. */
export function SupplyChart({ problem, activities, onAsk, onExport }: SupplyChartProps) {
  const [wrap, { width, scale }] = useRoom(900);
  const all = useMemo(() => supplySeries(problem, activities), [problem, activities]);
  const x = scaleLinear([0, problem.horizon], [LEFT, Math.max(LEFT + 80, width - RIGHT)]);
  const height = HEAD + all.length * ROW + 4;
  const short = all
    .map((series) => ({ item: series.item, ...supplyFate(problem, series) }))
    .filter(({ bad }) => bad);
  const summary =
    all.length === 0
      ? 'No supplies are listed.'
      : short.length
        ? `${short.map(({ item, text }) => `${item} ${text}`).join('; ')}.`
        : 'To the end of the plan, each supply is enough for another fill.';
  return (
    <Frame title="Supplies running down" name="supplies" summary={summary} onExport={onExport}>
      <div ref={wrap}>
        {/* biome-ignore lint/a11y/useSemanticElements: an SVG picture cannot be a fieldset */}
        <svg
          width={width * scale}
          height={height * scale}
          viewBox={`0 0 ${width} ${height}`}
          role="group"
          aria-label={`Supplies running down. ${summary}`}
        >
          <DayGrid clock={problem.clock} horizon={problem.horizon} x={x} height={height} />
          {all.map((series, index) => (
            <SupplyRow
              key={series.item}
              {...{ problem, series, index, x, width }}
              onAsk={() => onAsk?.({ of: 'supply', supply: index, minute: problem.horizon - 1 })}
            />
          ))}
        </svg>
      </div>
    </Frame>
  );
}
