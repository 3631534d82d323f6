import { memo } from 'react';
import type { Clock } from '../../calendar/clock.ts';
import type { BathLook } from '../../sheets/palette.ts';
import type { Bar, TimelineData } from '../../sheets/timeline.ts';
import { numberText, timeText } from '../../sheets/words.ts';
import { LookDefs, patternUrl } from './Looks.tsx';
import {
  area,
  BAR_HEIGHT,
  BAR_TOP,
  boxes,
  cut,
  FOOT,
  GUTTER,
  HEAD,
  LANE,
  type Layout,
  LOAD,
  twoLines,
  visible,
  WATER,
} from './plotLayout.ts';
import { dayTicks, hourTicks } from './ticks.ts';
import type { Viewport } from './viewport.ts';

const SIGNS = { circuit: 'C', bath: 'B', swap: 'S', test: 'T', fill: '' } as const;
/** Up to this many bars each is drawn with its own text; above, bars of a kind are one path. */
const EACH = 400;

export interface PlotProps {
  readonly data: TimelineData;
  readonly clock: Clock;
  readonly view: Viewport;
  readonly layout: Layout;
  readonly looks: readonly BathLook[];
  readonly prefix: string;
  readonly now?: number | null | undefined;
  readonly moved?: ReadonlySet<number> | undefined;
}

function Axis({ data, clock, view, layout }: PlotProps) {
  const bottom = layout.height - FOOT;
  const shown = data.bands.filter(({ from, to }) => to > view.from && from < view.to);
  const names = [...new Set(data.bands.map(({ shift }) => shift))];
  const left = (minute: number) => Math.max(GUTTER, layout.x(minute));
  const right = (minute: number) => Math.min(layout.width - 8, layout.x(minute));
  return (
    <g>
      {shown.map((band) => (
        <g key={`${band.shift} ${band.from}`}>
          <rect
            className={names.indexOf(band.shift) % 2 ? 'band odd' : 'band'}
            x={left(band.from)}
            width={Math.max(0, right(band.to) - left(band.from))}
            y={HEAD - 14}
            height={bottom - HEAD + 14}
          />
          {right(band.to) - left(band.from) > 30 && (
            <text className="small" x={left(band.from) + 3} y={HEAD - 4}>
              {cut(
                right(band.to) - left(band.from) > 100
                  ? `${band.shift}: ${band.technicians} technician${band.technicians === 1 ? '' : 's'}`
                  : `${band.shift} ${band.technicians}`,
                Math.floor((right(band.to) - left(band.from)) / 5.6),
              )}
            </text>
          )}
        </g>
      ))}
      {hourTicks(clock, view.from, view.to, layout.pxPerMinute).map(({ at, label }) => (
        <g key={at}>
          <line className="hour" x1={layout.x(at)} x2={layout.x(at)} y1={HEAD - 16} y2={bottom} />
          {layout.x(at) < layout.width - 18 && (
            <text className="small" x={layout.x(at)} y={28} textAnchor="middle">
              {label}
            </text>
          )}
        </g>
      ))}
      {dayTicks(clock, view.from, view.to, layout.pxPerMinute).map(({ at, label }) => {
        const room = Math.min(layout.width - 4, layout.x(at + 1440)) - left(at) - 8;
        const text = [label, label.replace(/ \D+$/, '')].find((option) => option.length * 7.4 < room);
        return (
          <g key={at}>
            {at >= view.from && (
              <line className="day" x1={layout.x(at)} x2={layout.x(at)} y1={2} y2={bottom} />
            )}
            {text && (
              <text className="axis-day" x={left(at) + 4} y={14}>
                {text}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

interface Placed extends Bar {
  readonly lane: number;
}

function barBox({ from, to, lane }: Placed, layout: Layout) {
  const x = Math.max(GUTTER, layout.x(from));
  return {
    x,
    y: layout.machineTop(lane) + BAR_TOP,
    w: Math.min(layout.width - 8, layout.x(to)) - x,
    h: BAR_HEIGHT,
  };
}

/** Between the shortest and the longest fill: somebody must come. A bracket under the bar, as the swap lies over it. */
function windowBoxes(bars: readonly Placed[], layout: Layout) {
  return bars.flatMap((bar) => {
    if (bar.shortestAt === undefined || bar.longestAt === undefined) return [];
    const from = Math.max(GUTTER, layout.x(bar.shortestAt));
    const to = Math.min(layout.width - 8, layout.x(bar.longestAt));
    return to - from < 6
      ? []
      : { x: from, y: layout.machineTop(bar.lane) + BAR_TOP + BAR_HEIGHT - 4, w: to - from, h: 6 };
  });
}

function EachBar({ bar, layout, looks, prefix, clock }: { bar: Placed } & Omit<PlotProps, 'data' | 'view'>) {
  const box = barBox(bar, layout);
  const look = looks[bar.bath];
  const at = { x: box.x, y: box.y, width: Math.max(0.8, box.w), height: box.h };
  const text = (() => {
    if (bar.kind !== 'fill') {
      const sign = bar.kind === 'swap' || !look ? SIGNS[bar.kind] : `${SIGNS[bar.kind]} ${look.mark}`;
      return box.w > sign.length * 6.5 + 4 ? sign : box.w > 10 ? SIGNS[bar.kind] : '';
    }
    const mark = look?.mark ?? '?';
    if (box.w > 130) return `${mark}  ${timeText(clock, bar.from)}-${timeText(clock, bar.to)}`;
    return box.w > mark.length * 6.5 + 6 ? mark : '';
  })();
  return (
    <g>
      <rect
        {...at}
        fill={bar.kind === 'fill' ? (look?.tint ?? '#999999') : undefined}
        className={`bar ${bar.kind}`}
      />
      {bar.kind === 'fill' && <rect {...at} fill={patternUrl(prefix, bar.bath)} />}
      {text && bar.kind === 'fill' && (
        <rect
          x={box.x + box.w / 2 - text.length * 3.2 - 3}
          y={box.y + 3}
          width={text.length * 6.4 + 6}
          height={box.h - 8}
          fill={look?.tint}
        />
      )}
      {text && (
        <text
          x={box.x + box.w / 2}
          y={box.y + box.h / 2 + (bar.kind === 'fill' ? 3 : 4)}
          textAnchor="middle"
          className="bar-text"
          fill={bar.kind === 'fill' ? look?.ink : undefined}
          data-kind={bar.kind}
        >
          {text}
        </text>
      )}
    </g>
  );
}

/** All bars of a kind and bath as one path each. */
function ManyBars({
  bars,
  layout,
  looks,
  prefix,
}: { bars: readonly Placed[] } & Pick<PlotProps, 'layout' | 'looks' | 'prefix'>) {
  const of = (kind: Bar['kind'], bath?: number) =>
    boxes(
      bars
        .filter((bar) => bar.kind === kind && (bath === undefined || bar.bath === bath))
        .map((bar) => barBox(bar, layout)),
    );
  return (
    <g>
      {looks.map(({ tint, bath }, index) => {
        const path = of('fill', index);
        return (
          <g key={bath}>
            <path d={path} fill={tint} className="bar fill" />
            <path d={path} fill={patternUrl(prefix, index)} />
          </g>
        );
      })}
      <path d={of('swap')} className="bar swap" />
      <path d={of('bath')} className="bar bath" />
      <path d={of('circuit')} className="bar circuit" />
    </g>
  );
}

/** The name of each run of fills above its bars, where there is room for it, and a line as long as the run. */
function Campaigns({ data, view, layout, looks }: PlotProps) {
  const runs = data.machines.flatMap(({ campaigns }, lane) =>
    visible(campaigns, view).map((campaign) => {
      const x = Math.max(GUTTER, layout.x(campaign.from));
      const room = Math.min(layout.width - 8, layout.x(campaign.to)) - x;
      return { ...campaign, x, w: room, y: layout.machineTop(lane) + BAR_TOP - 3, h: 2.5 };
    }),
  );
  return (
    <g>
      {looks.map(({ bath, tint }, index) => (
        <path
          key={bath}
          className="campaign"
          fill={tint}
          d={boxes(runs.filter((run) => run.bath === index))}
        />
      ))}
      {runs.map(({ bath, fills, bags, x, y, w }) => {
        const mark = looks[bath]?.mark ?? '?';
        const long = `${mark} ${fills} fill${fills === 1 ? '' : 's'}, ${bags} bags`;
        const middle = `${mark} ×${fills}`;
        const text =
          w > long.length * 6.6
            ? long
            : w > middle.length * 7 + 6
              ? middle
              : w > mark.length * 7.4 + 7
                ? mark
                : '';
        return (
          text && (
            <text key={`${x} ${y}`} className="campaign-text" x={x + 1} y={y - 1}>
              {text}
            </text>
          )
        );
      })}
    </g>
  );
}

function Name({ name, y }: { name: string; y: number }) {
  const [first, second] = twoLines(name, 15);
  return (
    <text
      className={second || first.length > 13 ? 'lane-name narrow' : 'lane-name'}
      x={4}
      y={second ? y - 6 : y}
    >
      {first}
      {second && (
        <tspan x={4} dy={12}>
          {second}
        </tspan>
      )}
    </text>
  );
}

function Machines(props: PlotProps) {
  const { data, view, layout, looks, prefix, moved } = props;
  const bars = data.machines.flatMap(({ bars: all }, lane) =>
    visible(all, view).map((bar): Placed => ({ ...bar, lane })),
  );
  return (
    <g>
      {data.machines.map((lane, index) => {
        const top = layout.machineTop(index);
        return (
          <g key={lane.id}>
            <line className="lane" x1={0} x2={layout.width} y1={top + LANE} y2={top + LANE} />
            <Name name={lane.id} y={top + 24} />
            {visible(lane.away, view).map(({ from, to }) => {
              const x = Math.max(GUTTER, layout.x(from));
              return (
                <rect
                  key={from}
                  x={x}
                  y={top + 1}
                  width={Math.max(0, Math.min(layout.width - 8, layout.x(to)) - x)}
                  height={LANE - 2}
                  fill={`url(#${prefix}-away)`}
                />
              );
            })}
          </g>
        );
      })}
      <Campaigns {...props} />
      {bars.length <= EACH ? (
        bars.map((bar) => <EachBar key={bar.index} {...props} bar={bar} />)
      ) : (
        <ManyBars bars={bars} layout={layout} looks={looks} prefix={prefix} />
      )}
      <path className="window" d={boxes(windowBoxes(bars, layout))} />
      {moved && (
        <path
          className="moved"
          d={bars
            .filter(({ index }) => moved.has(index))
            .map((bar) => `M${barBox(bar, layout).x},${layout.machineTop(bar.lane) + BAR_TOP}h7l-7,7z`)
            .join('')}
        />
      )}
    </g>
  );
}

/** Technicians at work against technicians on shift; what is above is hatched. */
function Load({ data, view, layout, prefix }: PlotProps) {
  const most = Math.max(1, ...data.staff.map(({ value }) => value), ...data.load.map(({ value }) => value));
  const base = layout.loadTop + LOAD - 2;
  const y = (value: number) => base - (value / most) * (LOAD - 16);
  return (
    <g>
      <text className="lane-name" x={6} y={layout.loadTop + 16}>
        Technicians
      </text>
      <text className="small" x={6} y={layout.loadTop + 31}>
        at work (filled)
      </text>
      <text className="small" x={6} y={layout.loadTop + 43}>
        on shift (line)
      </text>
      <path d={area(data.load, view, layout.x, y)} className="load" />
      <path d={area(data.staff, view, layout.x, y)} className="limit" />
      <text className="small" x={GUTTER - 4} y={y(most) + 4} textAnchor="end">
        {most}
      </text>
      <text className="small" x={GUTTER - 4} y={base} textAnchor="end">
        0
      </text>
      <path
        d={boxes(
          visible(data.over, view).map(({ from, to, load, staff }) => {
            const x = Math.max(GUTTER, layout.x(from));
            return {
              x,
              y: y(load),
              w: Math.min(layout.width - 8, layout.x(to)) - x,
              h: Math.round(y(staff) - y(load)),
            };
          }),
        )}
        fill={`url(#${prefix}-unmet)`}
      />
      <line className="lane" x1={0} x2={layout.width} y1={base} y2={base} />
    </g>
  );
}

function Water({ data, view, layout }: PlotProps) {
  return data.water.map((source, index) => {
    const top = layout.waterTop(index);
    const base = top + WATER - 2;
    const most = Math.max(source.capacity, ...source.use.map(({ value }) => value));
    const y = (value: number) => base - (value / most) * (WATER - 14);
    const tests = visible(source.tests, view);
    return (
      <g key={source.id}>
        <text className="lane-name" x={6} y={top + 16}>
          {cut(source.id, 13)}
        </text>
        <text className="small" x={6} y={top + 30}>
          water drawn,
        </text>
        <text className="small" x={6} y={top + 42}>
          of {numberText(source.capacity, 0)} mL/min
        </text>
        <path d={area(source.use, view, layout.x, y)} className="water" />
        <line
          className="limit"
          x1={GUTTER}
          x2={layout.width - 8}
          y1={y(source.capacity)}
          y2={y(source.capacity)}
        />
        <path
          className="bar test"
          d={boxes(
            tests.map(({ from, to }) => ({
              x: Math.max(GUTTER, layout.x(from)),
              y: base - 15,
              w: Math.min(layout.width - 8, layout.x(to)) - Math.max(GUTTER, layout.x(from)),
              h: 14,
            })),
          )}
        />
        {tests.length * 14 < layout.width &&
          tests.map(({ from, index: key }) => (
            <text
              key={key}
              className="small test-sign"
              x={Math.max(GUTTER, layout.x(from)) + 1}
              y={base - 18}
            >
              T
            </text>
          ))}
        <line className="lane" x1={0} x2={layout.width} y1={base} y2={base} />
      </g>
    );
  });
}

/** The picture itself, without interaction: also what paper and exports show. */
export const TimelinePlot = memo(function TimelinePlot(props: PlotProps) {
  const { view, layout, looks, prefix, now } = props;
  return (
    <>
      <LookDefs looks={looks} prefix={prefix} />
      <Axis {...props} />
      <Machines {...props} />
      <Load {...props} />
      <Water {...props} />
      {now != null && now >= view.from && now <= view.to && (
        <g>
          <line
            className="now"
            x1={layout.x(now)}
            x2={layout.x(now)}
            y1={HEAD - 16}
            y2={layout.height - FOOT}
          />
          <text className="now-text" x={layout.x(now) + 3} y={layout.loadTop + 10}>
            now
          </text>
        </g>
      )}
    </>
  );
});
