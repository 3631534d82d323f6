/** A stretch of time in which a limit is exceeded without a break. */
interface Stretch {
  /** Minutes, [start, end). */
  readonly start: number;
  readonly end: number;
  /** First minute of the worst excess, and how much it is. */
  readonly worst: number;
  readonly over: number;
}

/**
 * The stretches in which a limit is exceeded.
 * @param steps ascending: from this minute on the limit is exceeded by `over` (0 or less: it is kept)
 * @param end minute at which a stretch ends that no step ends
 */
export function stretchesOver(
  steps: Iterable<readonly [minute: number, over: number]>,
  end: number,
): Stretch[] {
  const stretches: Stretch[] = [];
  let open: Omit<Stretch, 'end'> | undefined;
  for (const [minute, over] of steps) {
    if (over > 0) {
      if (!open || over > open.over) open = { start: open?.start ?? minute, worst: minute, over };
    } else if (open) {
      stretches.push({ ...open, end: minute });
      open = undefined;
    }
  }
  if (open) stretches.push({ ...open, end });
  return stretches;
}

/** Changes by minute, in order of time; those of one minute are summed. */
export class Changes<N extends number | bigint> {
  readonly #byMinute = new Map<number, N>();
  readonly #sum: (a: N, b: N) => N;
  constructor(sum: (a: N, b: N) => N) {
    this.#sum = sum;
  }
  add(minute: number, amount: N): void {
    const before = this.#byMinute.get(minute);
    this.#byMinute.set(minute, before === undefined ? amount : this.#sum(before, amount));
  }
  inOrder(): [number, N][] {
    return [...this.#byMinute].sort(([a], [b]) => a - b);
  }
}
