import { type KeyboardEvent, useCallback, useEffect, useId, useMemo, useRef, useState } from 'react';
import type { Cover } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import { describeActivity, type Said } from '../../reports/describe.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { timelineOf } from '../../reports/timeline.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { WORK_SIGNS } from '../../words/activities.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import type { Marked } from './changeSigns.ts';
import { Frame, type OnExport } from './Frame.tsx';
import { Legend } from './Looks.tsx';
import { GUTTER, hitAt, layoutOf } from './plotLayout.ts';
import { TimelinePlot } from './TimelinePlot.tsx';
import { Tip, type TipAt } from './Tip.tsx';
import { neighbour, place, rowsOf, sayMinute } from './timelineWalk.ts';
import { useRoom } from './useRoom.ts';
import { goTo, panBy, reveal, type Viewport, zoomBy, zoomFocus, zoomTo } from './viewport.ts';

export interface TimelineProps {
  readonly problem: Problem;
  readonly activities: readonly Activity[];
  /** Of these activities, in this order. */
  readonly covered: Cover | null;
  readonly tints?: Tints | undefined;
  /** Index of the selected activity. */
  readonly selected: number | null;
  readonly onSelect: (index: number | null) => void;
  /** Minute from the start. */
  readonly now?: number | null | undefined;
  /** Activities that the plan before did not have, or had at another minute; by index. */
  readonly marked?: Marked | undefined;
  /** Asked for the trace of a number (water drawn, technicians). */
  readonly onAsk?: ((question: Question) => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

const LENGTHS = [
  ['2 h', 120],
  ['12 h', 720],
  ['1 d', 1440],
  ['3 d', 4320],
  ['7 d', 10_080],
  ['all', Number.POSITIVE_INFINITY],
] as const;
const SIGNS = [
  ...WORK_SIGNS,
  { sign: '⊔', text: 'swap window: not before, not after' },
  { sign: '▨', text: 'machine unavailable' },
];
const CHANGE_SIGNS = [
  { sign: '◤', text: 'new' },
  { sign: '▶', text: 'moved' },
];

/**
 * The plan by machine and minute, from the whole horizon down to two hours. Wheel, buttons, keys: + and - zoom, Page
 * Up and Down pan, arrows walk from activity to activity, Enter selects.
 */
export function Timeline(props: TimelineProps) {
  const { problem, activities, covered, tints, selected, onSelect, now, marked, onAsk, onExport } = props;
  const { horizon, clock } = problem;
  const prefix = `tl${useId().replaceAll(':', '')}`;
  const data = useMemo(() => timelineOf(problem, activities), [problem, activities]);
  const looks = useMemo(() => bathLooks(problem.baths, tints), [problem.baths, tints]);
  const [wrap, { width, scale }] = useRoom(1100);
  const [wanted, setView] = useState<Viewport>({ from: 0, to: horizon });
  const view = useMemo(
    () => panBy(wanted.to > wanted.from ? wanted : { from: 0, to: horizon }, 0, horizon),
    [wanted, horizon],
  );
  const layout = useMemo(() => layoutOf(data, view, width), [data, view, width]);
  const [tip, setTip] = useState<TipAt | null>(null);
  const [active, setActive] = useState<number | null>(null);
  const drag = useRef<{ x: number; view: Viewport; moved: boolean } | null>(null);
  const live = useRef({ view, layout, horizon, scale });
  live.current = { view, layout, horizon, scale };

  useEffect(() => {
    const element = wrap.current;
    if (!element) return;
    let frame = 0;
    let next: ((view: Viewport) => Viewport) | null = null;
    // Not passive, so that the page stays where it is while the picture zooms.
    const onWheel = (event: WheelEvent) => {
      const { view: seen, layout: drawn, horizon: length, scale: unit } = live.current;
      const px = (event.clientX - element.getBoundingClientRect().left) / unit;
      const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
      // Over the names, and when there is nothing more to zoom out of, the page scrolls on.
      if (px < GUTTER || (!sideways && event.deltaY > 0 && seen.to - seen.from >= length)) return;
      event.preventDefault();
      const before = next ?? ((value: Viewport) => value);
      const delta = event.deltaX || event.deltaY;
      next = sideways
        ? (value) => panBy(before(value), delta / unit / drawn.pxPerMinute, length)
        : (value) =>
            zoomBy(
              before(value),
              1.0015 ** event.deltaY,
              seen.from + Math.max(0, px - GUTTER) / drawn.pxPerMinute,
              length,
            );
      // Many wheel events a frame become one change of the picture.
      if (!frame)
        frame = requestAnimationFrame(() => {
          frame = 0;
          const change = next!;
          next = null;
          setTip(null);
          setView(change(live.current.view));
        });
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => {
      cancelAnimationFrame(frame);
      element.removeEventListener('wheel', onWheel);
    };
  }, [wrap]);

  const describe = useCallback(
    (index: number): Said => {
      const { title, lines } = describeActivity(problem, activities, covered, index);
      const change = marked?.get(index);
      return { title: change ? `${title} (${change})` : title, lines };
    },
    [problem, activities, covered, marked],
  );
  const hitOf = (event: { clientX: number; clientY: number; currentTarget: Element }) => {
    const box = event.currentTarget.getBoundingClientRect();
    // A move tells fractions of a pixel, a click does not: whole pixels, so that a click selects what the tip named.
    const x = (Math.floor(event.clientX) - box.left) / scale;
    return hitAt(data, layout, view, x, (Math.floor(event.clientY) - box.top) / scale);
  };
  const mark = place(data, layout, active !== null && active < activities.length ? active : null);
  const chosen = place(data, layout, selected);
  const focus = zoomFocus(view, [mark?.bar.from, chosen?.bar.from, now]);
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const length = view.to - view.from;
    if (event.key === '+' || event.key === '=') setView(zoomBy(view, 0.6, focus, horizon));
    else if (event.key === '-') setView(zoomBy(view, 1 / 0.6, focus, horizon));
    else if (event.key === '0') setView({ from: 0, to: horizon });
    else if (event.key === 'PageDown') setView(panBy(view, length * 0.8, horizon));
    else if (event.key === 'PageUp') setView(panBy(view, -length * 0.8, horizon));
    else if (event.key === 'Escape') {
      setTip(null);
      onSelect(null);
    } else if (event.key === 'Enter' || event.key === ' ') {
      if (active !== null) onSelect(active === selected ? null : active);
    } else if (/^(Arrow|Home|End)/.test(event.key)) {
      const next = neighbour(rowsOf(data), active ?? selected, event.key);
      if (next) {
        setActive(next.index);
        setView(reveal(view, next.from, next.to, horizon));
      }
    } else return;
    event.preventDefault();
  };

  const said = mark ? describe(mark.bar.index) : null;
  const box = (at: NonNullable<ReturnType<typeof place>>) => ({
    x: Math.max(GUTTER, layout.x(at.bar.from)) - 1.5,
    y: at.y - 1.5,
    width: Math.max(
      4,
      Math.min(layout.width - 8, layout.x(at.bar.to)) - Math.max(GUTTER, layout.x(at.bar.from)) + 3,
    ),
    height: at.height + 3,
  });
  const onScreen = (at: ReturnType<typeof place>) => at && at.bar.to > view.from && at.bar.from < view.to;
  const fills = activities.filter(({ kind }) => kind === 'fill').length;
  const summary = `${countText(fills, 'fill')}, ${countText(problem.machines.length, 'machine')}; ${whenText(clock, Math.round(view.from))} to ${whenText(clock, Math.round(view.to))} (${lengthText(view.to - view.from)})`;

  return (
    <Frame
      title="Timeline"
      name="timeline"
      summary={summary}
      onExport={onExport}
      legend={
        <Legend looks={looks} prefix={prefix} more={marked?.size ? [...SIGNS, ...CHANGE_SIGNS] : SIGNS} />
      }
      tools={
        <fieldset className="picture-tools" aria-label="Zoom and pan">
          <button
            type="button"
            aria-label="Earlier"
            onClick={() => setView(panBy(view, -(view.to - view.from) / 2, horizon))}
          >
            ◀
          </button>
          <button
            type="button"
            aria-label="Later"
            onClick={() => setView(panBy(view, (view.to - view.from) / 2, horizon))}
          >
            ▶
          </button>
          <button
            type="button"
            aria-label="Zoom in"
            onClick={() => setView(zoomBy(view, 0.6, focus, horizon))}
          >
            +
          </button>
          <button
            type="button"
            aria-label="Zoom out"
            onClick={() => setView(zoomBy(view, 1 / 0.6, focus, horizon))}
          >
            −
          </button>
          {LENGTHS.filter(([, length]) => length < horizon || length === Number.POSITIVE_INFINITY).map(
            ([label, length]) => (
              <button
                key={label}
                type="button"
                aria-label={`Show ${label === 'all' ? 'the whole plan' : label}`}
                onClick={() => setView(zoomTo(view, length, focus, horizon))}
              >
                {label}
              </button>
            ),
          )}
          {now != null && (
            <button type="button" aria-label="Go to now" onClick={() => setView(goTo(view, now, horizon))}>
              now
            </button>
          )}
        </fieldset>
      }
    >
      <div
        ref={wrap}
        className="timeline"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is one stop of the Tab key; arrows walk inside it
        tabIndex={0}
        role="application"
        aria-roledescription="timeline"
        aria-label={`Timeline. ${summary}. Arrow keys go from task to task. Enter selects. Plus and minus zoom. Page Up and Page Down move.`}
        onKeyDown={onKey}
        onBlur={() => setActive(null)}
      >
        <svg
          width={layout.width * scale}
          height={layout.height * scale}
          viewBox={`0 0 ${layout.width} ${layout.height}`}
          aria-hidden="true"
          onPointerDown={(event) => {
            if (event.button !== 0) return;
            drag.current = { x: event.clientX, view, moved: false };
          }}
          onPointerMove={(event) => {
            const held = drag.current;
            if (held && event.buttons & 1) {
              if (Math.abs(event.clientX - held.x) > 3) held.moved = true;
              if (held.moved) {
                setTip(null);
                setView(panBy(held.view, (held.x - event.clientX) / scale / layout.pxPerMinute, horizon));
              }
              return;
            }
            const hit = hitOf(event);
            const lines = hit?.bar ? describe(hit.bar.index) : hit ? sayMinute(data, problem, hit) : null;
            setTip(lines ? { x: event.clientX, y: event.clientY, said: lines } : null);
          }}
          onPointerLeave={() => setTip(null)}
          onClick={(event) => {
            const held = drag.current;
            drag.current = null;
            if (held?.moved) return;
            const hit = hitOf(event);
            if (hit?.bar) {
              setActive(hit.bar.index);
              onSelect(hit.bar.index);
            } else if (hit?.part === 'water')
              onAsk?.({ of: 'water', source: hit.lane, minute: Math.floor(hit.minute) });
            else if (hit?.part === 'load') onAsk?.({ of: 'load', minute: Math.floor(hit.minute) });
            else onSelect(null);
          }}
        >
          <TimelinePlot
            data={data}
            clock={clock}
            view={view}
            layout={layout}
            looks={looks}
            prefix={prefix}
            now={now}
            marked={marked}
          />
          {chosen && onScreen(chosen) && <rect className="chosen" {...box(chosen)} />}
          {mark && onScreen(mark) && <rect className="active" data-screen-only="" {...box(mark)} />}
        </svg>
        <p className="spoken" aria-live="polite">
          {said ? `${said.title}. ${said.lines.join('. ')}` : ''}
        </p>
        {said && mark && !tip && (
          <p className="timeline-said">
            <b>{said.title}</b> {said.lines.join(' · ')}
          </p>
        )}
      </div>
      <Tip at={tip} />
    </Frame>
  );
}
