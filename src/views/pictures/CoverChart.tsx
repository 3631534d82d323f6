import { scaleLinear } from 'd3-scale';
import { type KeyboardEvent, useId, useMemo, useState } from 'react';
import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import { type BathCover, coverSeries, type RoundCover } from '../../reports/coverSeries.ts';
import type { Said } from '../../reports/describe.ts';
import { type BathLook, bathLooks, type Tints } from '../../reports/palette.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { Frame, type OnExport } from './Frame.tsx';
import { Legend, LookDefs, patternUrl } from './Looks.tsx';
import { area, cut } from './plotLayout.ts';
import { Tip, type TipAt } from './Tip.tsx';
import { dayTicks, labelRoom } from './ticks.ts';
import { useRoom } from './useRoom.ts';

const LEFT = 104;
const NEED = 98;
const STOCK = 46;
const HEAD = 20;
const GAP = 16;
const BLOCK = NEED + STOCK + GAP;

export interface CoverChartProps {
  readonly problem: Problem;
  readonly demand: Demand;
  readonly covered: Cover;
  readonly tints?: Tints | undefined;
  /** Rounds to point out, e.g. those that the selected fill serves: [bath, round]. */
  readonly chosen?: readonly (readonly [number, number])[] | undefined;
  readonly now?: number | null | undefined;
  readonly onAsk?: ((question: Question) => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

function sayRound(problem: Problem, { bath }: BathCover, row: RoundCover): Said {
  const { clock, rules } = problem;
  const litres = (bags: number) => `${numberText((bags * problem.bagParts) / problem.partsPerLitre)} L`;
  const name = row.round === 0 ? 'opening round' : `bag round of ${whenText(clock, row.at)}`;
  return {
    title: `${bath}, ${name}`,
    lines: [
      `needs ${countText(row.need, 'bag')} of ${numberText(rules.fillLitres, 3)} L (${litres(row.need)})`,
      `for bags hung ${whenText(clock, row.from)} to ${whenText(clock, row.to)}`,
      `${numberText(row.fromStock)} from stock and deliveries, ${numberText(row.fromFills)} from fills`,
      row.unmet > 0 ? `UNMET: ${countText(row.unmet, 'bag')} (${litres(row.unmet)})` : 'all met',
    ],
  };
}

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

/** One bath: what each round needs and what covers it, above the bags in stock between rounds. */
function Block({ problem, series, bath, look, prefix, top, x, most, chosen, active }: BlockProps) {
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
        {series.unmet > 0 ? `${numberText(series.unmet)} unmet` : 'all met'}
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
      {series.rounds.map((row) => {
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
        const key = `${bath} ${row.round}`;
        return (
          <g key={row.round}>
            <rect {...bar(0, row.fromStock)} fill={look.tint} fillOpacity={0.55} className="outline-thin" />
            <rect {...bar(row.fromStock, covered)} fill={look.tint} className="outline-thin" />
            <rect {...bar(row.fromStock, covered)} fill={patternUrl(prefix, bath)} />
            {row.unmet > 0 && (
              <>
                <rect {...bar(covered, row.need)} fill={`url(#${prefix}-unmet)`} className="unmet-edge" />
                <text className="unmet-text" x={from + width / 2} y={y(row.need) - 3} textAnchor="middle">
                  −{numberText(row.unmet)}
                </text>
              </>
            )}
            {row.unmet === 0 && width > 16 && (
              <text className="small" x={from + width / 2} y={y(row.need) - 3} textAnchor="middle">
                {row.need}
              </text>
            )}
            {(chosen.has(key) || active === key) && (
              <rect {...bar(0, row.need)} className={active === key ? 'active' : 'chosen'} />
            )}
          </g>
        );
      })}
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

/** Need against cover by bath and round over the horizon, with the bags in stock and those that expire unused. */
export function CoverChart(props: CoverChartProps) {
  const { problem, demand, covered, tints, chosen, now, onAsk, onExport } = props;
  const prefix = `cc${useId().replaceAll(':', '')}`;
  const [wrap, { width, scale }] = useRoom(1000);
  const [tip, setTip] = useState<TipAt | null>(null);
  const [active, setActive] = useState<{ bath: number; round: number } | null>(null);
  const looks = useMemo(() => bathLooks(problem.baths, tints), [problem.baths, tints]);
  const all = useMemo(() => coverSeries(problem, demand, covered), [problem, demand, covered]);
  const shown = all
    .map((series, bath) => ({ series, bath }))
    .filter(({ series }) => series.need > 0 || series.stock.some(({ value }) => value > 0));
  const x = scaleLinear([0, problem.horizon], [LEFT, Math.max(LEFT + 60, width - 8)]);
  const px = x(1) - x(0);
  const need = Math.max(1, ...shown.flatMap(({ series }) => series.rounds.map((row) => row.need)));
  const stock = Math.max(1, ...shown.flatMap(({ series }) => series.stock.map(({ value }) => value)));
  const height = HEAD + shown.length * BLOCK;
  const unmet = all.reduce((sum, series) => sum + series.unmet, 0);
  const total = all.reduce((sum, series) => sum + series.need, 0);
  const summary = `${countText(total, 'bag')} of ${numberText(problem.rules.fillLitres, 3)} L needed; ${
    unmet > 0 ? `${countText(unmet, 'bag')} UNMET, hatched and marked with a minus.` : 'all met.'
  }`;

  const rowAt = (event: { clientX: number; clientY: number; currentTarget: Element }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const block = shown[Math.floor(((event.clientY - box.top) / scale - HEAD) / BLOCK)];
    const minute = x.invert((event.clientX - box.left) / scale);
    const row = block?.series.rounds.find(({ from, to }) => from <= minute && minute < to);
    return block && row ? { ...block, row } : null;
  };
  const onKey = (event: KeyboardEvent) => {
    const steps = shown.flatMap(({ series, bath }) =>
      series.rounds.filter((row) => row.need > 0).map(({ round }) => ({ bath, round })),
    );
    const at = steps.findIndex(({ bath, round }) => bath === active?.bath && round === active.round);
    const to = (index: number) => setActive(steps[Math.max(0, Math.min(steps.length - 1, index))] ?? null);
    if (event.key === 'ArrowRight') to(at + 1);
    else if (event.key === 'ArrowLeft') to(at - 1);
    else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      const order = shown.map(({ bath }) => bath);
      const next = order[order.indexOf(active?.bath ?? -1) + (event.key === 'ArrowDown' ? 1 : -1)];
      const near = steps.filter(({ bath }) => bath === next);
      if (near.length) setActive(near.findLast(({ round }) => round <= (active?.round ?? 0)) ?? near[0]!);
    } else if (event.key === 'Enter' && active) onAsk?.({ of: 'unmet', ...active });
    else return;
    event.preventDefault();
  };
  const said = active ? sayRound(problem, all[active.bath]!, all[active.bath]!.rounds[active.round]!) : null;
  const marked = new Set((chosen ?? []).map(([bath, round]) => `${bath} ${round}`));

  return (
    <Frame
      title="Need and supply by bath and bag round"
      name="cover"
      summary={summary}
      onExport={onExport}
      legend={
        <Legend
          looks={looks}
          prefix={prefix}
          more={[
            { sign: '▨', text: 'unmet (hatched, with a minus)' },
            { sign: '▬', text: 'full color: from fills; pale: from stock and deliveries' },
            { sign: '▼', text: 'bags that expire unused, counted in bags of the lot' },
          ]}
        />
      }
    >
      <div
        ref={wrap}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is one stop of the Tab key; arrows walk inside it
        tabIndex={0}
        role="application"
        aria-roledescription="chart"
        aria-label={`Need and supply. ${summary} Arrow keys go from bag round to bag round. Enter shows what a number comes from.`}
        onKeyDown={onKey}
        onBlur={() => setActive(null)}
      >
        {shown.length === 0 && <p>No bath is needed or in stock yet.</p>}
        <svg
          width={width * scale}
          height={height * scale}
          viewBox={`0 0 ${width} ${height}`}
          aria-hidden="true"
          onPointerMove={(event) => {
            const at = rowAt(event);
            setTip(
              at && at.row.need > 0
                ? { x: event.clientX, y: event.clientY, said: sayRound(problem, at.series, at.row) }
                : null,
            );
          }}
          onPointerLeave={() => setTip(null)}
          onClick={(event) => {
            const at = rowAt(event);
            if (!at || at.row.need === 0) return;
            setActive({ bath: at.bath, round: at.row.round });
            onAsk?.({ of: 'unmet', bath: at.bath, round: at.row.round });
          }}
        >
          <LookDefs looks={looks} prefix={prefix} />
          {dayTicks(problem.clock, 0, problem.horizon, px).map(({ at, label }) => (
            <g key={at}>
              {at >= 0 && <line className="hour" x1={x(at)} x2={x(at)} y1={4} y2={height} />}
              {x(Math.min(problem.horizon, at + 1440)) - x(Math.max(0, at)) > labelRoom(label) && (
                <text className="axis-day" x={x(Math.max(0, at)) + 4} y={14}>
                  {label}
                </text>
              )}
            </g>
          ))}
          {shown.map(({ series, bath }, index) => (
            <Block
              key={series.bath}
              problem={problem}
              series={series}
              bath={bath}
              look={looks[bath]!}
              prefix={prefix}
              top={HEAD + index * BLOCK}
              x={x}
              most={{ need, stock }}
              chosen={marked}
              active={active?.bath === bath ? `${bath} ${active.round}` : null}
            />
          ))}
          {now != null && now > 0 && (
            <line className="now" x1={x(now)} x2={x(now)} y1={HEAD - 4} y2={height} />
          )}
        </svg>
        <p className="spoken" aria-live="polite">
          {said ? `${said.title}. ${said.lines.join('. ')}` : ''}
        </p>
      </div>
      <Tip at={tip} />
    </Frame>
  );
}
