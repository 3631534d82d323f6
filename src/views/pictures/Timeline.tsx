import {
  type KeyboardEvent,
  type MouseEvent,
  type PointerEvent,
  useCallback,
  useId,
  useMemo,
  useRef,
  useState,
} from 'react';
import type { Cover } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import { describeActivity, type Said } from '../../reports/describe.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { timelineOf } from '../../reports/timeline.ts';
import type { Question } from '../../reports/trace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import type { Marked } from './changeSigns.ts';
import { Frame, type OnExport } from './Frame.tsx';
import { Legend } from './Looks.tsx';
import { GUTTER, hitAt, layoutOf } from './plotLayout.ts';
import { TimelinePlot } from './TimelinePlot.tsx';
import { TimelineTools } from './TimelineTools.tsx';
import { Tip, type TipAt } from './Tip.tsx';
import { CHANGE_SIGNS, timelineSigns } from './timelineSigns.ts';
import { neighbour, place, rowsOf, sayMinute } from './timelineWalk.ts';
import { useRoom } from './useRoom.ts';
import { useWheel } from './useWheel.ts';
import { panBy, reveal, type Viewport, zoomBy, zoomFocus } from './viewport.ts';

interface TimelineProps {
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
  /** min on either side of now to begin with, which go along as the time does; absent: the whole plan. */
  readonly around?: number | undefined;
  /** Activities that the plan before did not have, or had at another minute; by index. */
  readonly marked?: Marked | undefined;
  /** Asked for the trace of a number (water drawn, technicians). */
  readonly onAsk?: ((question: Question) => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

/** What is drawn of a plan, how much of it, and what is pointed at. */
function useTimeline(props: TimelineProps) {
  const { problem, activities, covered, tints, selected, now, marked, around } = props;
  const { horizon } = problem;
  const data = useMemo(() => timelineOf(problem, activities), [problem, activities]);
  const looks = useMemo(() => bathLooks(problem.baths, tints), [problem.baths, tints]);
  const [wrap, { width, scale }] = useRoom(1100);
  const [wanted, setView] = useState<Viewport | null>(null);
  const view = useMemo(() => {
    if (wanted && wanted.to > wanted.from) return panBy(wanted, 0, horizon);
    const middle = around !== undefined && now != null ? { from: now - around, to: now + around } : null;
    return panBy(middle ?? { from: 0, to: horizon }, 0, horizon);
  }, [wanted, horizon, around, now]);
  const layout = useMemo(() => layoutOf(data, view, width), [data, view, width]);
  const [tip, setTip] = useState<TipAt | null>(null);
  const [active, setActive] = useState<number | null>(null);
  const live = useRef({ view, layout, horizon, scale });
  live.current = { view, layout, horizon, scale };
  useWheel(wrap, live, (change) => {
    setTip(null);
    setView(change(live.current.view));
  });
  const describe = useCallback(
    (index: number): Said => {
      const { title, lines } = describeActivity(problem, activities, covered, index);
      const change = marked?.get(index);
      return { title: change ? `${title} (${change})` : title, lines };
    },
    [problem, activities, covered, marked],
  );
  const mark = place(data, layout, active !== null && active < activities.length ? active : null);
  const chosen = place(data, layout, selected);
  const focus = zoomFocus(view, [mark?.bar.from, chosen?.bar.from, now]);
  const drawn = { data, looks, wrap, scale, view, layout, tip, active, mark, chosen, focus };
  return { ...drawn, setView, setTip, setActive, describe };
}
type Timed = ReturnType<typeof useTimeline>;

/** Keys on a timeline; false: the key is none of ours. */
function pressed(key: string, timed: Timed, { problem, selected, onSelect }: TimelineProps): boolean {
  const { view, setView, focus, active, setActive, setTip, data } = timed;
  const { horizon } = problem;
  const length = view.to - view.from;
  if (key === '+' || key === '=') setView(zoomBy(view, 0.6, focus, horizon));
  else if (key === '-') setView(zoomBy(view, 1 / 0.6, focus, horizon));
  else if (key === '0') setView({ from: 0, to: horizon });
  else if (key === 'PageDown') setView(panBy(view, length * 0.8, horizon));
  else if (key === 'PageUp') setView(panBy(view, -length * 0.8, horizon));
  else if (key === 'Escape') {
    setTip(null);
    onSelect(null);
  } else if (key === 'Enter' || key === ' ') {
    if (active !== null) onSelect(active === selected ? null : active);
  } else if (/^(Arrow|Home|End)/.test(key)) {
    const next = neighbour(rowsOf(data), active ?? selected, key);
    if (next) {
      setActive(next.index);
      setView(reveal(view, next.from, next.to, horizon));
    }
  } else return false;
  return true;
}

/** What the mouse does on a timeline: dragging pans, hovering tells, a click selects or asks. */
function useMouse(timed: Timed, { problem, onSelect, onAsk }: TimelineProps) {
  const { data, layout, view, scale, setView, setTip, setActive, describe } = timed;
  const drag = useRef<{ x: number; view: Viewport; moved: boolean } | null>(null);
  const hitOf = (event: { clientX: number; clientY: number; currentTarget: Element }) => {
    const box = event.currentTarget.getBoundingClientRect();
    // A move tells fractions of a pixel, a click does not: whole pixels, so that a click selects what the tip named.
    const x = (Math.floor(event.clientX) - box.left) / scale;
    return hitAt(data, layout, view, x, (Math.floor(event.clientY) - box.top) / scale);
  };
  return {
    onPointerDown(event: PointerEvent) {
      if (event.button === 0) drag.current = { x: event.clientX, view, moved: false };
    },
    onPointerMove(event: PointerEvent) {
      const held = drag.current;
      if (held && event.buttons & 1) {
        if (Math.abs(event.clientX - held.x) > 3) held.moved = true;
        if (!held.moved) return;
        setTip(null);
        setView(panBy(held.view, (held.x - event.clientX) / scale / layout.pxPerMinute, problem.horizon));
        return;
      }
      const hit = hitOf(event);
      const said = hit?.bar ? describe(hit.bar.index) : hit ? sayMinute(data, problem, hit) : null;
      setTip(said ? { x: event.clientX, y: event.clientY, said } : null);
    },
    onPointerLeave: () => setTip(null),
    onClick(event: MouseEvent) {
      const held = drag.current;
      drag.current = null;
      if (held?.moved) return;
      const hit = hitOf(event);
      const minute = Math.floor(hit?.minute ?? 0);
      if (hit?.bar) {
        setActive(hit.bar.index);
        onSelect(hit.bar.index);
      } else if (hit?.part === 'water') onAsk?.({ of: 'water', source: hit.lane, minute });
      else if (hit?.part === 'load') onAsk?.({ of: 'load', minute });
      else onSelect(null);
    },
  };
}

/** The frame around a bar; null while it is out of sight. */
function Around({ at, timed, className }: { at: Timed['mark']; timed: Timed; className: string }) {
  const { view, layout } = timed;
  if (!at || at.bar.to <= view.from || at.bar.from >= view.to) return null;
  const left = Math.max(GUTTER, layout.x(at.bar.from));
  const width = Math.max(4, Math.min(layout.width - 8, layout.x(at.bar.to)) - left + 3);
  return <rect className={className} x={left - 1.5} y={at.y - 1.5} width={width} height={at.height + 3} />;
}

/** The picture itself. */
function Stage({ timed, props, prefix }: { timed: Timed; props: TimelineProps; prefix: string }) {
  const { data, view, layout, looks, scale } = timed;
  const mouse = useMouse(timed, props);
  return (
    <svg
      width={layout.width * scale}
      height={layout.height * scale}
      viewBox={`0 0 ${layout.width} ${layout.height}`}
      aria-hidden="true"
      {...mouse}
    >
      <TimelinePlot
        data={data}
        clock={props.problem.clock}
        view={view}
        layout={layout}
        looks={looks}
        prefix={prefix}
        now={props.now}
        marked={props.marked}
      />
      <Around at={timed.chosen} timed={timed} className="chosen" />
      <g data-screen-only="">
        <Around at={timed.mark} timed={timed} className="active" />
      </g>
    </svg>
  );
}

/**
 * The plan by machine and minute, from the whole horizon down to two hours. Wheel, buttons, keys: + and - zoom, Page
 * Up and Down pan, arrows walk from activity to activity, Enter selects.
 */
export function Timeline(props: TimelineProps) {
  const { problem, activities, now, marked, onExport } = props;
  const { clock } = problem;
  const prefix = `tl${useId().replaceAll(':', '')}`;
  const timed = useTimeline(props);
  const { view, setView, focus, looks, mark, tip, wrap } = timed;
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (pressed(event.key, timed, props)) event.preventDefault();
  };
  const said = mark ? timed.describe(mark.bar.index) : null;
  const fills = activities.filter(({ kind }) => kind === 'fill').length;
  const summary = `${countText(fills, 'fill')}, ${countText(problem.machines.length, 'machine')}; ${whenText(clock, Math.round(view.from))} to ${whenText(clock, Math.round(view.to))} (${lengthText(view.to - view.from)})`;
  return (
    <Frame
      title="Timeline"
      name="timeline"
      summary={summary}
      onExport={onExport}
      legend={
        <Legend
          looks={looks}
          prefix={prefix}
          more={[...timelineSigns(problem), ...(marked?.size ? CHANGE_SIGNS : [])]}
        />
      }
      tools={
        <TimelineTools view={view} setView={setView} horizon={problem.horizon} focus={focus} now={now} />
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
        onBlur={() => timed.setActive(null)}
      >
        <Stage timed={timed} props={props} prefix={prefix} />
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
