import { scaleLinear } from 'd3-scale';
import { type KeyboardEvent, useId, useMemo, useState } from 'react';
import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import { type BathCover, coverSeries, type RoundCover } from '../../reports/coverSeries.ts';
import type { Said } from '../../reports/describe.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, missingText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { BLOCK, Block, LEFT } from './CoverBlock.tsx';
import { DayGrid } from './DayGrid.tsx';
import { Frame, type OnExport } from './Frame.tsx';
import { Legend, LookDefs } from './Looks.tsx';
import { Tip, type TipAt } from './Tip.tsx';
import { useRoom } from './useRoom.ts';

const HEAD = 20;

interface CoverChartProps {
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
  const name =
    row.round === 0
      ? row.at > 0
        ? 'bags due now'
        : 'opening round'
      : `bag round of ${whenText(clock, row.at)}`;
  return {
    title: `${bath}, ${name}`,
    lines: [
      `needs ${countText(row.need, 'bag')} of ${numberText(rules.fillLitres, 3)} L (${litres(row.need)})`,
      `for bags hung ${whenText(clock, row.from)} to ${whenText(clock, row.to)}`,
      `${numberText(row.fromStock)} from stock and deliveries, ${numberText(row.fromFills)} from fills`,
      row.unmet > 0 ? `UNMET: ${missingText(row.unmet * rules.fillLitres, rules.fillLitres)}` : 'all met',
    ],
  };
}

const SIGNS = [
  { sign: '▨', text: 'unmet (hatched, with a minus)' },
  { sign: '▬', text: 'full color: from fills; pale: from stock and deliveries' },
  { sign: '▼', text: 'bags that expire unused, counted in bags of the lot' },
];

interface Shown {
  readonly series: BathCover;
  readonly bath: number;
}
interface At {
  readonly bath: number;
  readonly round: number;
}

/** The round that an arrow key leads to; undefined: the key is no arrow. */
function stepTo(shown: readonly Shown[], active: At | null, key: string): At | null | undefined {
  const steps = shown.flatMap(({ series, bath }) =>
    series.rounds.filter((row) => row.need > 0).map(({ round }) => ({ bath, round })),
  );
  const at = steps.findIndex(({ bath, round }) => bath === active?.bath && round === active.round);
  const to = (index: number) => steps[Math.max(0, Math.min(steps.length - 1, index))] ?? null;
  if (key === 'ArrowRight') return to(at + 1);
  if (key === 'ArrowLeft') return to(at - 1);
  if (key !== 'ArrowDown' && key !== 'ArrowUp') return undefined;
  const order = shown.map(({ bath }) => bath);
  const next = order[order.indexOf(active?.bath ?? -1) + (key === 'ArrowDown' ? 1 : -1)];
  const near = steps.filter(({ bath }) => bath === next);
  return near.findLast(({ round }) => round <= (active?.round ?? 0)) ?? near[0] ?? active;
}

/** The baths that are needed or in stock, and the most of any of them. */
function shownOf(all: readonly BathCover[]) {
  const shown = all
    .map((series, bath) => ({ series, bath }))
    .filter(({ series }) => series.need > 0 || series.stock.some(({ value }) => value > 0));
  const need = Math.max(1, ...shown.flatMap(({ series }) => series.rounds.map((row) => row.need)));
  const stock = Math.max(1, ...shown.flatMap(({ series }) => series.stock.map(({ value }) => value)));
  return { shown, most: { need, stock } };
}

/** What the picture says in a sentence. */
function summaryOf(problem: Problem, all: readonly BathCover[]): string {
  const unmet = all.reduce((sum, series) => sum + series.unmet, 0);
  const total = all.reduce((sum, series) => sum + series.need, 0);
  return `${countText(total, 'bag')} of ${numberText(problem.rules.fillLitres, 3)} L needed; ${
    unmet > 0
      ? `${missingText(unmet * problem.rules.fillLitres, problem.rules.fillLitres)} UNMET, hatched and marked with a minus.`
      : 'all met.'
  }`;
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
  const { shown, most } = shownOf(all);
  const x = scaleLinear([0, problem.horizon], [LEFT, Math.max(LEFT + 60, width - 8)]);
  const height = HEAD + shown.length * BLOCK;
  const summary = summaryOf(problem, all);

  const rowAt = (event: { clientX: number; clientY: number; currentTarget: Element }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const block = shown[Math.floor(((event.clientY - box.top) / scale - HEAD) / BLOCK)];
    const minute = x.invert((event.clientX - box.left) / scale);
    const row = block?.series.rounds.find(({ from, to }) => from <= minute && minute < to);
    return block && row ? { ...block, row } : null;
  };
  const onKey = (event: KeyboardEvent) => {
    const next = stepTo(shown, active, event.key);
    if (next !== undefined) setActive(next);
    else if (event.key === 'Enter' && active) onAsk?.({ of: 'unmet', ...active });
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
      legend={<Legend looks={looks} prefix={prefix} more={SIGNS} />}
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
          <DayGrid clock={problem.clock} horizon={problem.horizon} x={x} height={height} />
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
              most={most}
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
