import { extended, type Range, type Size, type Spot, single, whole } from './range.ts';

/** A key pressed in a sheet. ctrl: or the Mac's command key. */
export interface Press {
  readonly key: string;
  readonly shift: boolean;
  readonly ctrl: boolean;
  readonly editing: boolean;
}
/** Where the cursor stands. */
export interface Standing {
  readonly range: Range | null;
  readonly focus: Spot | null;
  readonly size: Size;
}
/** page: it is the page's, and the grid leaves it alone. select: the range is drawn, the focus stays; `show`: its end comes into sight. */
export type KeyAct =
  | { readonly do: 'cancel' | 'insert' | 'remove' | 'clear' | 'duplicate' | 'fillDown' | 'page' }
  | { readonly do: 'tab'; readonly back: boolean }
  | { readonly do: 'select'; readonly range: Range; readonly show: boolean }
  | { readonly do: 'move'; readonly to: Spot };

const LEFT_TO_PAGE = ['c', 'x', 'v', 'z', 'y', 'f', 's', 'o', 'p'];

/** What a key means in a sheet; null: the grid does what it always does. */
export function keyAct(press: Press, standing: Standing): KeyAct | null {
  const { key, shift, ctrl, editing } = press;
  const letter = key.toLowerCase();
  // The grid itself ends editing a turn after Esc: what a hurried person types in that turn would be lost.
  if (editing && key === 'Escape') return { do: 'cancel' };
  if (editing) return key === 'Tab' ? { do: 'tab', back: shift } : null;
  const erases = key === 'Delete' || key === 'Backspace';
  if (key === 'Enter' && ctrl) return { do: 'insert' };
  if (erases && (ctrl || (shift && key === 'Delete'))) return { do: 'remove' };
  if (erases) return { do: 'clear' };
  if (ctrl && letter === 'd') return { do: shift ? 'duplicate' : 'fillDown' };
  if (ctrl && letter === 'a') return { do: 'select', range: whole(standing.size), show: false };
  if (ctrl && LEFT_TO_PAGE.includes(letter)) return { do: 'page' };
  return walk(press, standing);
}

function walk({ key, shift, ctrl }: Press, { range, focus, size }: Standing): KeyAct | null {
  const from = shift ? range : focus && single(focus);
  const ours = shift || key === 'Home' || key === 'End';
  const next = ours && from && extended(from, key, ctrl, size);
  if (!next) return null;
  return shift ? { do: 'select', range: next, show: true } : { do: 'move', to: next.head };
}
