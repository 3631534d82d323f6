import { type RefObject, useEffect, useRef } from 'react';
import { GUTTER, type Layout } from './plotLayout.ts';
import { panBy, type Viewport, zoomBy } from './viewport.ts';

/** What a timeline shows at the moment. */
interface Live {
  readonly view: Viewport;
  readonly layout: Pick<Layout, 'pxPerMinute'>;
  /** min */
  readonly horizon: number;
  /** px on screen of one px of the picture */
  readonly scale: number;
}

/** The wheel zooms around the pointer, sideways it pans; many events of a frame become one change of the picture. */
export function useWheel(
  wrap: RefObject<HTMLElement | null>,
  live: RefObject<Live>,
  change: (by: (view: Viewport) => Viewport) => void,
): void {
  const changed = useRef(change);
  changed.current = change;
  useEffect(() => {
    const element = wrap.current;
    if (!element) return;
    let frame = 0;
    let next: ((view: Viewport) => Viewport) | null = null;
    // Not passive, so that the page stays where it is while the picture zooms.
    const onWheel = (event: WheelEvent) => {
      const px = (event.clientX - element.getBoundingClientRect().left) / live.current.scale;
      const turn = turned(event, px, live.current);
      if (!turn) return;
      event.preventDefault();
      const before = next ?? ((view: Viewport) => view);
      next = (view) => turn(before(view));
      if (!frame)
        frame = requestAnimationFrame(() => {
          frame = 0;
          const all = next!;
          next = null;
          changed.current(all);
        });
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => {
      cancelAnimationFrame(frame);
      element.removeEventListener('wheel', onWheel);
    };
  }, [wrap, live]);
}

/** What a turn of the wheel does to the view; null: over the names, or with nothing more to zoom out of, the page scrolls on. */
function turned(event: WheelEvent, px: number, { view: seen, layout, horizon, scale }: Live) {
  const sideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
  if (px < GUTTER || (!sideways && event.deltaY > 0 && seen.to - seen.from >= horizon)) return null;
  const delta = event.deltaX || event.deltaY;
  if (sideways) return (view: Viewport) => panBy(view, delta / scale / layout.pxPerMinute, horizon);
  const at = seen.from + Math.max(0, px - GUTTER) / layout.pxPerMinute;
  return (view: Viewport) => zoomBy(view, 1.0015 ** event.deltaY, at, horizon);
}
