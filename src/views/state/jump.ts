import type { Place } from '../../grid/where.ts';
import { useStore } from './store.ts';

type Listener = (place: Place) => void;
let listener: Listener | null = null;
let waiting: Place | null = null;

/** Shows a cell: its sheet comes up, the cell takes the focus. */
export function jumpTo(place: Place): void {
  const { view, show } = useStore.getState();
  waiting = place;
  if (view.sheet === place.sheet && listener) {
    waiting = null;
    listener(place);
  } else show({ sheet: place.sheet, split: Math.max(0.4, view.split) });
}

/** The sheet on screen hears of jumps to its cells, also of the one that brought it up. Returns how to stop. */
export function onJump(sheet: string, heard: Listener): () => void {
  listener = heard;
  if (waiting?.sheet === sheet) {
    const place = waiting;
    waiting = null;
    heard(place);
  }
  return () => {
    listener = null;
  };
}
