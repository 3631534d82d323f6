import { type Dispatcher, GIVE_UP } from '../schedule/dispatch.ts';
import type { Evaluator, Judged } from '../schedule/evaluate.ts';
import type { State } from '../schedule/floor.ts';
import type { Playback } from '../schedule/playback.ts';
import type { Line, Lines, Segment } from '../schedule/segment.ts';
import { NEVER } from '../schedule/work.ts';

const alikeButFills = (x: Segment, y: Segment): boolean =>
  x.bath === y.bath &&
  x.toEnd === y.toEnd &&
  x.fresh === y.fresh &&
  x.notBefore === y.notBefore &&
  (x.hold ?? 0) === (y.hold ?? 0);

interface Mark {
  time: number;
  readonly state: State;
  judged: Judged;
  readonly at: Int32Array;
  readonly done: Int32Array;
}

/** Dispatches are cut into this many stretches; a try begins at the last cut before its first difference. */
const STRETCHES = 24;

/**
 * Remembers how the dispatch of the present lines stood at some moments, and its judgement, so that lines which differ
 * only later need not be dispatched and judged from the beginning. The result is the same as from the beginning.
 */
export class Marks {
  private lines: Lines = [];
  private marks: Mark[] = [];
  /** Marks that hold no more, to be written anew. */
  private readonly old: Mark[] = [];
  private readonly dispatcher: Dispatcher;
  private readonly playback: Playback;
  private readonly evaluator: Evaluator;
  private readonly stretch: number;
  /** By machine: first segment in which lines differ, and fills of it that they begin with alike. */
  private readonly differs: Float64Array;
  private readonly shared: Float64Array;

  constructor(dispatcher: Dispatcher, playback: Playback, evaluator: Evaluator) {
    this.dispatcher = dispatcher;
    this.playback = playback;
    this.evaluator = evaluator;
    const { problem } = dispatcher.floor;
    const machines = problem.machines.length;
    this.stretch = Math.max(1, Math.ceil(problem.horizon / STRETCHES));
    this.differs = new Float64Array(machines);
    this.shared = new Float64Array(machines);
  }

  private compare(lines: Lines): void {
    for (let m = 0; m < this.differs.length; m++) {
      this.differs[m] = 0;
      this.shared[m] = 0;
      if (this.lines.length > 0) this.compareLine(m, this.lines[m]!, lines[m]!);
    }
  }

  private compareLine(m: number, before: Line, after: Line): void {
    let i = before === after ? before.length : 0;
    for (; i < before.length && i < after.length; i++) {
      const x = before[i]!;
      const y = after[i]!;
      if (x === y) continue;
      if (alikeButFills(x, y)) {
        if (x.fills === y.fills) continue;
        this.shared[m] = Math.min(x.fills, y.fills);
      } else this.shared[m] = x.notBefore > 0 || y.notBefore > 0 ? 0 : 1;
      break;
    }
    this.differs[m] = i === before.length && i === after.length ? Number.POSITIVE_INFINITY : i;
  }

  /** Whether, at such a moment, no machine has done, or looked at, what differs. */
  private alike(at: Int32Array, done: Int32Array): boolean {
    for (let m = 0; m < at.length; m++)
      if (at[m]! > this.differs[m]! || (at[m]! === this.differs[m]! && done[m]! >= this.shared[m]!))
        return false;
    return true;
  }

  /** Lines to compare with from now on; marks that still hold for them stay. */
  rebase(lines: Lines): void {
    this.compare(lines);
    let kept = 0;
    while (kept < this.marks.length && this.alike(this.marks[kept]!.at, this.marks[kept]!.done)) kept++;
    for (let k = kept; k < this.marks.length; k++) this.old.push(this.marks[k]!);
    this.marks.length = kept;
    this.lines = lines;
  }

  /** How things stand now, written over a mark that holds no more if there is one. */
  private marked(time: number): Mark {
    const { playback, evaluator } = this;
    const { floor } = this.dispatcher;
    const judged = evaluator.capture();
    const old = this.old.pop();
    if (!old)
      return { time, state: floor.capture(), judged, at: playback.at.slice(), done: playback.done.slice() };
    floor.captureInto(old.state);
    old.time = time;
    old.judged = judged;
    old.at.set(playback.at);
    old.done.set(playback.done);
    return old;
  }

  /**
   * Dispatches lines, from the last mark that holds for them; the evaluator has followed it when this ends.
   * @param hopeless asked after each round from the first difference on; true: false comes back, and neither dispatch nor judgement is whole
   */
  dispatch(lines: Lines, hopeless: () => boolean): boolean {
    const { dispatcher, playback, evaluator } = this;
    const { floor } = dispatcher;
    this.compare(lines);
    playback.lines = lines;
    let k = this.marks.length - 1;
    while (k >= 0 && !this.alike(this.marks[k]!.at, this.marks[k]!.done)) k--;
    const from = this.marks[k];
    if (from) {
      playback.at.set(from.at);
      playback.done.set(from.done);
    } else playback.reset();
    evaluator.begin(from?.judged ?? null);
    // New marks are set only as long as these lines have not left the present ones.
    let nextMark = k === this.marks.length - 1 ? (from?.time ?? 0) + this.stretch : NEVER;
    return dispatcher.resume(
      playback,
      from?.state ?? null,
      nextMark < NEVER ? nextMark : evaluator.nextRound + 1,
      (time) => {
        evaluator.follow(floor.held, time);
        if (nextMark < NEVER && this.alike(playback.at, playback.done)) {
          this.marks.push(this.marked(time));
          nextMark = time + this.stretch;
          return nextMark;
        }
        nextMark = NEVER;
        return hopeless() ? GIVE_UP : evaluator.nextRound + 1;
      },
    );
  }
}
