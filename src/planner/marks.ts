import type { State } from './book.ts';
import type { Line, Lines, Playback } from './deciders.ts';
import type { Dispatcher } from './dispatch.ts';

interface Mark {
  readonly time: number;
  readonly state: State;
  readonly at: Int32Array;
  readonly done: Int32Array;
}

/** Dispatches are cut into this many stretches; a try begins at the last cut before its first difference. */
const STRETCHES = 24;

/** First segment in which two lines differ. */
function firstDifference(a: Line, b: Line): number {
  if (a === b) return Number.POSITIVE_INFINITY;
  let i = 0;
  for (; i < a.length && i < b.length; i++) {
    const x = a[i]!;
    const y = b[i]!;
    if (
      x !== y &&
      (x.bath !== y.bath ||
        x.fills !== y.fills ||
        x.toEnd !== y.toEnd ||
        x.fresh !== y.fresh ||
        x.notBefore !== y.notBefore)
    )
      return i;
  }
  return a.length === b.length ? Number.POSITIVE_INFINITY : i;
}

/**
 * Remembers how the dispatch of the present lines stood at some moments, so that lines which differ only later need not
 * be dispatched from the beginning. The result is the same as from the beginning.
 */
export class Marks {
  private lines: Lines = [];
  private marks: Mark[] = [];
  private readonly stretch: number;
  private readonly differs: Float64Array;

  constructor(machines: number, horizon: number) {
    this.stretch = Math.max(1, Math.ceil(horizon / STRETCHES));
    this.differs = new Float64Array(machines);
  }

  private compare(lines: Lines): void {
    for (let m = 0; m < this.differs.length; m++)
      this.differs[m] = this.lines.length === 0 ? 0 : firstDifference(this.lines[m]!, lines[m]!);
  }

  /** Whether, at such a moment, no machine has begun or looked at what differs. */
  private alike(at: Int32Array): boolean {
    for (let m = 0; m < at.length; m++) if (at[m]! >= this.differs[m]!) return false;
    return true;
  }

  /** Lines to compare with from now on; marks that still hold for them stay. */
  rebase(lines: Lines): void {
    this.compare(lines);
    let kept = 0;
    while (kept < this.marks.length && this.alike(this.marks[kept]!.at)) kept++;
    this.marks.length = kept;
    this.lines = lines;
  }

  /** Dispatches lines, from the last mark that holds for them. */
  dispatch(lines: Lines, dispatcher: Dispatcher, playback: Playback): void {
    this.compare(lines);
    playback.lines = lines;
    let k = this.marks.length - 1;
    while (k >= 0 && !this.alike(this.marks[k]!.at)) k--;
    const from = this.marks[k];
    if (from) {
      playback.at.set(from.at);
      playback.done.set(from.done);
    } else playback.reset();
    const last = this.marks.at(-1);
    // New marks are set only as long as these lines have not left the present ones.
    const first = k === this.marks.length - 1 ? (last ? last.time + this.stretch : this.stretch) : 1 << 30;
    dispatcher.resume(playback, from?.state ?? null, first, (time) => {
      if (!this.alike(playback.at)) return 1 << 30;
      this.marks.push({
        time,
        state: dispatcher.capture(),
        at: playback.at.slice(),
        done: playback.done.slice(),
      });
      return time + this.stretch;
    });
  }
}
