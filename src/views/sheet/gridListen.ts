import type { GridCursor } from './gridCursor.ts';
import type { GridDesk } from './gridDesk.ts';
import { type Spot, single } from './range.ts';

/** The grid lets one of its two scroll bars lead for 150 ms. */
const LED_MS = 200;

/** The cell under the mouse, unless it is being edited. */
function hit(cursor: GridCursor, event: PointerEvent): Spot | null {
  const cell = (event.target as Element).closest('.ag-cell');
  const row = cell?.closest('[row-index]')?.getAttribute('row-index');
  const id = cell?.getAttribute('col-id');
  if (!cell || row == null || !id || cell.classList.contains('ag-cell-inline-editing')) return null;
  return { row: Number(row), column: cursor.columnOf(id) };
}

/** The mouse draws the range. */
function drawing(cursor: GridCursor) {
  return {
    pointerdown(event: PointerEvent) {
      const spot = hit(cursor, event);
      if (!spot || event.button !== 0) return;
      cursor.byMouse = true;
      const { range } = cursor;
      cursor.setRange(event.shiftKey && range ? { anchor: range.anchor, head: spot } : single(spot));
    },
    pointermove(event: PointerEvent) {
      const spot = event.buttons === 1 && cursor.range && cursor.byMouse ? hit(cursor, event) : null;
      if (!spot || !cursor.range) return;
      const { anchor, head } = cursor.range;
      if (spot.row !== head.row || spot.column !== head.column) cursor.setRange({ anchor, head: spot });
    },
  };
}

/** Listens to mouse and clipboard on the grid's element; returns how to stop. */
export function listenTo(element: HTMLElement, desk: GridDesk): () => void {
  let led = 0;
  /** On a busy page the grid may take its own bar's echo for the leader and leave a scroll undrawn: it is told again. */
  const scroll = ({ target, isTrusted }: Event) => {
    if (!isTrusted || !(target instanceof Element) || !target.matches('.ag-grid-viewport')) return;
    window.clearTimeout(led);
    led = window.setTimeout(() => {
      if (target.scrollTop !== desk.drawnTop) target.dispatchEvent(new Event('scroll'));
    }, LED_MS);
  };
  const listeners = {
    ...drawing(desk.cursor),
    copy: (event: ClipboardEvent) => desk.copy(event),
    cut: (event: ClipboardEvent) => {
      if (desk.copy(event)) desk.clear();
    },
    paste: (event: ClipboardEvent) => desk.paste(event),
    scroll,
  };
  const ended = new AbortController();
  // The press is heard before the grid hears it, so that its focus finds the range drawn. A scroll does not bubble.
  for (const [name, listener] of Object.entries(listeners))
    element.addEventListener(name, listener as (event: Event) => void, {
      capture: name === 'pointerdown' || name === 'scroll',
      signal: ended.signal,
    });
  return () => {
    window.clearTimeout(led);
    ended.abort();
  };
}
