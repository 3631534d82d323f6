import type { Bar, Step, TimelineData } from '../../reports/timeline.ts';
import { lastFrom } from '../../reports/timeline.ts';
import type { Viewport } from './viewport.ts';

export const GUTTER = 104;
export const HEAD = 48;
export const LANE = 36;
export const LOAD = 60;
export const WATER = 52;
/** A row of breaks and work elsewhere. */
export const ELSEWHERE = 19;
const GAP = 6;
export const FOOT = 4;
/** In a lane: the campaign's name above, the bars below. */
export const BAR_TOP = 14;
export const BAR_HEIGHT = 19;

export interface Layout {
  readonly width: number;
  readonly height: number;
  readonly pxPerMinute: number;
  readonly x: (minute: number) => number;
  readonly machineTop: (lane: number) => number;
  readonly loadTop: number;
  readonly elsewhereTop: (row: number) => number;
  readonly waterTop: (lane: number) => number;
}

export function layoutOf(data: TimelineData, view: Viewport, width: number): Layout {
  const plot = Math.max(60, width - GUTTER - 8);
  const pxPerMinute = plot / (view.to - view.from);
  const loadTop = HEAD + data.machines.length * LANE + GAP;
  const elsewhereTop = loadTop + LOAD + (data.elsewhere.length > 0 ? 2 : 0);
  const waterTop = elsewhereTop + data.elsewhere.length * ELSEWHERE + GAP;
  return {
    width,
    height: waterTop + data.water.length * (WATER + GAP) + FOOT,
    pxPerMinute,
    x: (minute) => GUTTER + (minute - view.from) * pxPerMinute,
    machineTop: (lane) => HEAD + lane * LANE,
    loadTop,
    elsewhereTop: (row) => elsewhereTop + row * ELSEWHERE,
    waterTop: (lane) => waterTop + lane * (WATER + GAP),
  };
}

/** The bars of a lane that the view touches; bars of a lane are sorted and do not overlap in a valid plan. */
export function visible<T extends { readonly from: number; readonly to: number }>(
  bars: readonly T[],
  view: Viewport,
): readonly T[] {
  // A plan that failed its audit may overlap: look back a little further than one bar.
  const first = Math.max(0, lastFrom(bars, ({ from }) => from, view.from) - 4);
  const last = lastFrom(bars, ({ from }) => from, view.to);
  return bars.slice(first, last + 1).filter(({ to, from }) => to > view.from && from < view.to);
}

const round = (value: number): number => Math.round(value * 10) / 10;

/** Many rectangles as one path: thousands of bars cost a few nodes. */
export const boxes = (list: readonly { x: number; y: number; w: number; h: number }[]): string =>
  list
    .map(
      ({ x, y, w, h }) =>
        `M${round(x)},${round(y)}h${round(Math.max(0.6, w))}v${h}h${-round(Math.max(0.6, w))}z`,
    )
    .join('');

/**
 * Steps as the outline of an area over the view. Where many fall on one pixel the highest stands for all, so a peak is
 * never lost.
 */
export function area(
  steps: readonly Step[],
  view: Viewport,
  x: (minute: number) => number,
  y: (value: number) => number,
): string {
  const first = Math.max(
    0,
    lastFrom(steps, ({ at }) => at, view.from),
  );
  const last = lastFrom(steps, ({ at }) => at, view.to);
  let path = `M${round(x(view.from))},${y(0)}`;
  let column = Number.NEGATIVE_INFINITY;
  let top = 0;
  for (let index = first; index <= last; index++) {
    const { at, value } = steps[index]!;
    const px = Math.max(x(view.from), x(at));
    if (px - column < 1) {
      if (value <= top) {
        // Falls within the pixel of a peak: drawn one pixel later.
        const next = steps[index + 1];
        if (next && x(next.at) - column < 1) continue;
        path += `H${round(column + 1)}V${round(y(value))}`;
        column += 1;
        top = value;
        continue;
      }
    } else column = px;
    path += `H${round(px)}V${round(y(value))}`;
    top = value;
  }
  return `${path}H${round(x(view.to))}V${y(0)}Z`;
}

/** What lies under a point of the picture. */
export interface Hit {
  readonly part: 'machine' | 'load' | 'elsewhere' | 'water';
  readonly lane: number;
  readonly minute: number;
  readonly bar: Bar | null;
}

export function hitAt(
  data: TimelineData,
  layout: Layout,
  view: Viewport,
  px: number,
  py: number,
): Hit | null {
  if (px < GUTTER || px > layout.width) return null;
  const minute = view.from + (px - GUTTER) / layout.pxPerMinute;
  const slack = 3 / layout.pxPerMinute;
  const nearest = (bars: readonly Bar[]): Bar | null => {
    const near = visible(bars, { from: minute - slack, to: minute + slack });
    return near.find(({ from, to }) => from <= minute && minute < to) ?? near[0] ?? null;
  };
  const lane = Math.floor((py - HEAD) / LANE);
  if (lane >= 0 && lane < data.machines.length)
    return { part: 'machine', lane, minute, bar: nearest(data.machines[lane]!.bars) };
  if (py >= layout.loadTop && py < layout.loadTop + LOAD) return { part: 'load', lane: 0, minute, bar: null };
  const row = Math.floor((py - layout.elsewhereTop(0)) / ELSEWHERE);
  if (row >= 0 && row < data.elsewhere.length)
    return { part: 'elsewhere', lane: row, minute, bar: nearest(data.elsewhere[row]!) };
  const water = Math.floor((py - layout.waterTop(0)) / (WATER + GAP));
  if (water >= 0 && water < data.water.length)
    return { part: 'water', lane: water, minute, bar: nearest(data.water[water]!.bars) };
  return null;
}

/** A name cut to what a gutter holds; the whole name stays in the tooltip and for screen readers. */
export const cut = (name: string, characters: number): string =>
  name.length <= characters ? name : `${name.slice(0, characters - 1)}…`;

/** A long name on two lines of a gutter, broken between words where it can be. */
export function twoLines(name: string, characters: number): readonly [string, string] {
  if (name.length <= characters) return [name, ''];
  const space = name.lastIndexOf(' ', characters);
  const at = space > 2 ? space : characters;
  return [name.slice(0, at), cut(name.slice(at).trim(), characters)];
}
