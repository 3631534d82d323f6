import type { Clock } from '../../calendar/clock.ts';
import type { BathLook } from '../../reports/palette.ts';
import type { Bar, TimelineData } from '../../reports/timeline.ts';
import { WORK } from '../../words/activities.ts';
import { countText } from '../../words/numbers.ts';
import { timeText } from '../../words/times.ts';
import { changeSigns, type Marked } from './changeSigns.ts';
import { patternUrl } from './Looks.tsx';
import { BAR_HEIGHT, BAR_TOP, boxes, GUTTER, LANE, type Layout, twoLines, visible } from './plotLayout.ts';
import type { Viewport } from './viewport.ts';

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
  readonly marked?: Marked | undefined;
}

interface Placed extends Bar {
  readonly lane: number;
}

const placed = new WeakMap<TimelineData, Placed[][]>();

/** The bars with their lanes, made once for a plan. */
function placedOf(data: TimelineData): Placed[][] {
  const known =
    placed.get(data) ?? data.machines.map(({ bars }, lane) => bars.map((bar) => ({ ...bar, lane })));
  placed.set(data, known);
  return known;
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

/** The mark of a duty, with its name where there is room for it. */
export function dutyText(name: string, width: number): string {
  const full = `${WORK.duty.mark} ${name}`;
  return width > full.length * 6.3 + 6 ? full : width > 10 ? WORK.duty.mark : '';
}

function EachBar({ bar, layout, looks, prefix, clock }: { bar: Placed } & Omit<PlotProps, 'data' | 'view'>) {
  const box = barBox(bar, layout);
  const look = looks[bar.bath];
  const at = { x: box.x, y: box.y, width: Math.max(0.8, box.w), height: box.h };
  const text = (() => {
    if (bar.kind === 'duty') return dutyText(bar.duty ?? '', box.w);
    if (bar.kind !== 'fill') {
      const sign = bar.kind === 'swap' || !look ? WORK[bar.kind].mark : `${WORK[bar.kind].mark} ${look.mark}`;
      return box.w > sign.length * 6.5 + 4 ? sign : box.w > 10 ? WORK[bar.kind].mark : '';
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

/** All bars of a kind and bath as one path each, written in one pass: this runs at every frame of a zoom. */
function ManyBars({
  bars,
  layout,
  looks,
  prefix,
}: { bars: readonly Placed[] } & Pick<PlotProps, 'layout' | 'looks' | 'prefix'>) {
  const groups = new Map<string, ReturnType<typeof barBox>[]>();
  for (const bar of bars) {
    const key = bar.kind === 'fill' ? `fill ${bar.bath}` : bar.kind;
    const group = groups.get(key);
    if (group) group.push(barBox(bar, layout));
    else groups.set(key, [barBox(bar, layout)]);
  }
  const path = (key: string) => boxes(groups.get(key) ?? []);
  return (
    <g>
      {looks.map(({ tint, bath }, index) => {
        const fills = path(`fill ${index}`);
        return (
          <g key={bath}>
            <path d={fills} fill={tint} className="bar fill" />
            <path d={fills} fill={patternUrl(prefix, index)} />
          </g>
        );
      })}
      <path d={path('swap')} className="bar swap" />
      <path d={path('bath')} className="bar bath" />
      <path d={path('circuit')} className="bar circuit" />
      <path d={path('duty')} className="bar duty" />
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
        const long = `${mark} ${countText(fills, 'fill')}, ${countText(bags, 'bag')}`;
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

/** The lanes of the machines: runs, fills with their windows, hands-on work, times away. */
export function Machines(props: PlotProps) {
  const { data, view, layout, looks, prefix, marked } = props;
  const bars = placedOf(data).flatMap((lane) => visible(lane, view));
  const signed = bars.map((bar) => ({ index: bar.index, ...barBox(bar, layout) }));
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
      {marked && <path className="moved" d={changeSigns(signed, marked)} />}
    </g>
  );
}
