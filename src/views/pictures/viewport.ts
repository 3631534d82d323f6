/** The part of the horizon on screen, in minutes; may be fractional while zooming. */
export interface Viewport {
  readonly from: number;
  readonly to: number;
}
/** Two hours: one minute is then about 10 px wide. */
const CLOSEST = 120;

const clamped = (from: number, length: number, horizon: number): Viewport => {
  const size = Math.min(horizon, Math.max(Math.min(CLOSEST, horizon), length));
  const start = Math.min(Math.max(0, from), horizon - size);
  return { from: start, to: start + size };
};

/** Shows `length` minutes around a minute that keeps its place on screen. */
export function zoomTo(view: Viewport, length: number, around: number, horizon: number): Viewport {
  const share = (around - view.from) / (view.to - view.from);
  const size = Math.min(horizon, Math.max(Math.min(CLOSEST, horizon), length));
  return clamped(around - share * size, size, horizon);
}
export const zoomBy = (view: Viewport, factor: number, around: number, horizon: number): Viewport =>
  zoomTo(view, (view.to - view.from) * factor, around, horizon);
export const panBy = (view: Viewport, minutes: number, horizon: number): Viewport =>
  clamped(view.from + minutes, view.to - view.from, horizon);
/** Moves as little as needed for from..to to be on screen. */
export function reveal(view: Viewport, from: number, to: number, horizon: number): Viewport {
  if (from >= view.from && to <= view.to) return view;
  const length = view.to - view.from;
  const margin = length * 0.1;
  return clamped(from < view.from ? from - margin : Math.min(from, to - length) + margin, length, horizon);
}
/** The minute that keeps its place when zooming: the first of the given ones that is on screen, else the middle. */
export const zoomFocus = (view: Viewport, minutes: readonly (number | null | undefined)[]): number =>
  minutes.find((minute): minute is number => minute != null && minute >= view.from && minute <= view.to) ??
  (view.from + view.to) / 2;
/** Where there is nothing to move, going to a minute comes closer: half a day around it. */
const CLOSER = 720;
/** Shows a minute with what follows it, a third from the left where there is room. */
export function goTo(view: Viewport, minute: number, horizon: number): Viewport {
  const all = view.to - view.from >= horizon;
  const length = all ? Math.min(CLOSER, horizon) : view.to - view.from;
  return clamped(minute - length / 3, length, horizon);
}
