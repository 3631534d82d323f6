import { scaleLinear } from 'd3-scale';
import type { BathCover, RoundCover } from '../../reports/coverSeries.ts';
import type { BathLook } from '../../reports/palette.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { bagsMissing, countText, numberText } from '../../words/numbers.ts';
import { patternUrl } from './Looks.tsx';
import { area, cut } from './plotLayout.ts';

export const LEFT = 104;
const NEED = 98;
const STOCK = 46;
const GAP = 16;
/** px, height of one bath. */
export const BLOCK = NEED + STOCK + GAP;

interface BlockProps {
  readonly problem: Problem;
  readonly series: BathCover;
  readonly bath: number;
  readonly look: BathLook;
  readonly prefix: string;
  readonly top: number;
  readonly x: (minute: number) => number;
  readonly most: { readonly need: number; readonly stock: number };
  readonly chosen: ReadonlySet<string>;
  readonly active: string | null;
}

interface BarProps extends Pick<BlockProps, 'bath' | 'look' | 'prefix' | 'x'> {
  readonly row: RoundCover;
  readonly y: (bags: number) => number;
  readonly mark: 'active' | 'chosen' | null;
}

/** One round: from stock, from fills, and what stays unmet. */
function RoundBar({ row, bath, look, prefix, x, y, mark }: BarProps) {
  if (row.need === 0) return null;
  const from = x(row.from) + 1;
  const width = Math.max(1, x(row.to) - x(row.from) - 2);
  const bar = (low: number, high: number) => ({
    x: from,
    width,
    y: y(high),
    height: Math.max(0, y(low) - y(high)),
  });
  const covered = row.fromStock + row.fromFills;
  return (
    <g>
      <rect {...bar(0, row.fromStock)} fill={look.tint} fillOpacity={0.55} className="outline-thin" />
      <rect {...bar(row.fromStock, covered)} fill={look.tint} className="outline-thin" />
      <rect {...bar(row.fromStock, covered)} fill={patternUrl(prefix, bath)} />
      {row.unmet > 0 && (
        <>
          <rect {...bar(covered, row.need)} fill={`url(#${prefix}-unmet)`} className="unmet-edge" />
          <text className="unmet-text" x={from + width / 2} y={y(row.need) - 3} textAnchor="middle">
            −{bagsMissing(row.unmet, 1)}
          </text>
        </>
      )}
      {row.unmet === 0 && width > 16 && (
        <text className="small" x={from + width / 2} y={y(row.need) - 3} textAnchor="middle">
          {row.need}
        </text>
      )}
      {mark && <rect {...bar(0, row.need)} className={mark} />}
    </g>
  );
}

/** One bath: what each round needs and what covers it, above the bags in stock between rounds. */
export function Block({ problem, series, bath, look, prefix, top, x, most, chosen, active }: BlockProps) {
  const base = top + NEED;
  const floor = base + STOCK;
  const y = scaleLinear([0, most.need], [base, top + 24]);
  const s = scaleLinear([0, most.stock], [floor, base + 12]);
  const end = x(problem.horizon);
  return (
    <g>
      <text className="strong" x={6} y={top + 12}>
        {cut(look.bath, 14)}
      </text>
      <text className="small" x={6} y={top + 40}>
        {countText(series.need, 'bag')} needed
      </text>
      <text className={series.unmet > 0 ? 'unmet-text' : 'small'} x={6} y={top + 54}>
        {series.unmet > 0 ? `${countText(bagsMissing(series.unmet, 1), 'bag')} unmet` : 'all met'}
      </text>
      <text className="small" x={6} y={floor - 10}>
        in stock
      </text>
      <text className="small" x={LEFT - 4} y={y(most.need) + 4} textAnchor="end">
        {numberText(most.need, 0)} bags
      </text>
      <text className="small" x={LEFT - 4} y={s(most.stock) + 6} textAnchor="end">
        {numberText(most.stock, 0)} bags
      </text>
      <path d={area(series.stock, { from: 0, to: problem.horizon }, x, s)} className="stock" />
      {series.rounds.map((row) => (
        <RoundBar
          key={row.round}
          row={row}
          {...{ bath, look, prefix, x, y }}
          mark={
            active === `${bath} ${row.round}`
              ? 'active'
              : chosen.has(`${bath} ${row.round}`)
                ? 'chosen'
                : null
          }
        />
      ))}
      <line className="day" x1={LEFT} x2={end} y1={base} y2={base} />
      <line className="lane" x1={LEFT} x2={end} y1={floor} y2={floor} />
      {series.expiries.map(({ at, lot, bags }, index) => (
        <g key={`${lot} ${at}`}>
          <path className="expiry" d={`M${x(at) - 4},${base + 4}h8l-4,8z`} />
          <line className="expiry-line" x1={x(at)} x2={x(at)} y1={base + 12} y2={floor} />
          <text
            className="small"
            x={x(at) + (x(at) > end - 60 ? -7 : 7)}
            y={base + 12}
            textAnchor={x(at) > end - 60 ? 'end' : 'start'}
          >
            {numberText(bags)}
            {x(series.expiries[index + 1]?.at ?? Number.POSITIVE_INFINITY) - x(at) > 60 && ' expire'}
          </text>
        </g>
      ))}
    </g>
  );
}
