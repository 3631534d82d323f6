import type { Said } from '../../reports/describe.ts';
import { type Bar, lastFrom, type TimelineData, valueAt } from '../../reports/timeline.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { BAR_HEIGHT, BAR_TOP, ELSEWHERE, type Hit, type Layout, WATER } from './plotLayout.ts';

/** Rows that the arrow keys walk on. */
export const rowsOf = (data: TimelineData): (readonly Bar[])[] => [
  ...data.machines.map(({ bars }) => bars),
  ...data.elsewhere,
  ...data.water.map(({ bars }) => bars),
];

/** The bar that an arrow key leads to; the nearest in time on another row. */
export function neighbour(rows: (readonly Bar[])[], from: number | null, key: string): Bar | null {
  const row = rows.findIndex((bars) => bars.some(({ index }) => index === from));
  if (row < 0) return rows.find((bars) => bars.length)?.[0] ?? null;
  const bars = rows[row]!;
  const place = bars.findIndex(({ index }) => index === from);
  if (key === 'ArrowRight') return bars[place + 1] ?? null;
  if (key === 'ArrowLeft') return bars[place - 1] ?? null;
  if (key === 'Home') return bars[0]!;
  if (key === 'End') return bars.at(-1)!;
  const step = key === 'ArrowDown' ? 1 : -1;
  for (let other = row + step; other >= 0 && other < rows.length; other += step) {
    const list = rows[other]!;
    if (list.length)
      return list[
        Math.max(
          0,
          lastFrom(list, (bar) => bar.from, bars[place]!.from),
        )
      ]!;
  }
  return null;
}

/** Where an activity stands in the picture. */
export function place(data: TimelineData, layout: Layout, index: number | null) {
  if (index === null) return null;
  for (const [lane, { bars }] of data.machines.entries()) {
    const bar = bars.find((candidate) => candidate.index === index);
    if (bar) return { bar, y: layout.machineTop(lane) + BAR_TOP, height: BAR_HEIGHT };
  }
  for (const [row, bars] of data.elsewhere.entries()) {
    const bar = bars.find((candidate) => candidate.index === index);
    if (bar) return { bar, y: layout.elsewhereTop(row) + 1, height: ELSEWHERE - 3 };
  }
  for (const [lane, { bars }] of data.water.entries()) {
    const bar = bars.find((candidate) => candidate.index === index);
    if (bar) return { bar, y: layout.waterTop(lane) + WATER - 17, height: 14 };
  }
  return null;
}

/** What a minute of the technicians' or a water source's lane says. */
export function sayMinute(data: TimelineData, problem: Problem, hit: Hit): Said | null {
  const when = whenText(problem.clock, Math.floor(hit.minute));
  if (hit.part === 'load') {
    const [atWork, placed, held] = [data.atWork, data.placed, data.load].map((steps) =>
      valueAt(steps, hit.minute),
    ) as [number, number, number];
    return {
      title: `Technicians, ${when}`,
      lines: [
        `${atWork} at work`,
        ...(placed > atWork ? [`${placed - atWork} on a break or elsewhere`] : []),
        ...(held > placed ? [`${held - placed} walking`] : []),
        `${valueAt(data.staff, hit.minute)} on shift`,
      ],
    };
  }
  if (hit.part !== 'water') return null;
  const source = data.water[hit.lane]!;
  return {
    title: `Water of ${source.id}, ${when}`,
    lines: [
      `${numberText(valueAt(source.use, hit.minute), 0)} of ${numberText(valueAt(source.capacity, hit.minute), 0)} mL/min drawn`,
    ],
  };
}
