import { goTo, panBy, type Viewport, zoomBy, zoomTo } from './viewport.ts';

const LENGTHS = [
  ['2 h', 120],
  ['12 h', 720],
  ['1 d', 1440],
  ['3 d', 4320],
  ['7 d', 10_080],
  ['all', Number.POSITIVE_INFINITY],
] as const;

interface ToolsProps {
  readonly view: Viewport;
  readonly setView: (view: Viewport) => void;
  /** min */
  readonly horizon: number;
  /** Minute that zooming keeps in place. */
  readonly focus: number;
  readonly now?: number | null | undefined;
}

/** Buttons that zoom and pan a timeline. */
export function TimelineTools({ view, setView, horizon, focus, now }: ToolsProps) {
  return (
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
      <button type="button" aria-label="Zoom in" onClick={() => setView(zoomBy(view, 0.6, focus, horizon))}>
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
  );
}
