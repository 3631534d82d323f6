import type { Patient } from '../../src/scenario/schema.ts';

/** A fraction in lowest terms: [numerator, denominator above 0]. */
type Ratio = readonly [bigint, bigint];
function lowest(n: bigint, d: bigint): Ratio {
  let [a, b] = [n < 0n ? -n : n, d];
  while (b > 0n) [a, b] = [b, a % b];
  return a > 1n ? [n / a, d / a] : [n, d];
}
const minus = (a: Ratio, b: Ratio): Ratio => lowest(a[0] * b[1] - b[0] * a[1], a[1] * b[1]);
const plus = (a: Ratio, b: Ratio): Ratio => lowest(a[0] * b[1] + b[0] * a[1], a[1] * b[1]);
const over = (a: Ratio, b: Ratio): Ratio => lowest(a[0] * b[1], a[1] * b[0]);
const times = (a: Ratio, b: Ratio): Ratio => lowest(a[0] * b[0], a[1] * b[1]);
const less = (a: Ratio, b: Ratio): boolean => a[0] * b[1] < b[0] * a[1];
/** A decimal of at most three places. */
const ratio = (value: number): Ratio => [BigInt(Math.round(value * 1000)), 1000n];

export interface Given {
  readonly horizon: number;
  readonly fillLitres: number;
  readonly maxHangHours: number;
  readonly minuteOf: (local: string) => number;
}

/**
 * M6 to M9 told again minute by minute: what is prescribed in this minute, what runs in it, and what
 * happens on the way. Slow and plain; it shares nothing with src/demand. Returns bath and minute of each bag.
 */
export const hangsByMinute = (row: Patient, given: Given): string[] => runByMinute(row, given).hung;

/** The bag that hangs at a minute and goes on, or null: since when, min, and what is left in it, mL, as numbers. */
export function openByMinute(row: Patient, given: Given, minute: number) {
  const { open, bath, prescribed, until } = runByMinute(row, { ...given, horizon: minute });
  if (open === null || open.left[0] <= 0n || !less([BigInt(minute), 1n], open.gone)) return null;
  if (minute >= (row.until ? given.minuteOf(row.until) : given.horizon)) return null;
  if (until < minute || prescribed(minute).bath !== bath) return null;
  const hungAt = minus(open.gone, times(ratio(given.maxHangHours), [60n, 1n]));
  return { hungAt: Number(hungAt[0]) / Number(hungAt[1]), left: Number(open.left[0]) / Number(open.left[1]) };
}

function runByMinute(row: Patient, given: Given) {
  const { horizon, minuteOf } = given;
  const from = Math.max(0, row.from ? minuteOf(row.from) : 0);
  const until = Math.min(horizon, row.until ? minuteOf(row.until) : horizon);
  const bag = times(ratio(given.fillLitres), [1000n, 1n]);
  const longest = times(ratio(given.maxHangHours), [60n, 1n]);
  const changes = (row.changes ?? [])
    .map((change, order) => ({ change, order, at: minuteOf(change.at) }))
    .sort((a, b) => a.at - b.at || a.order - b.order);
  const hung: string[] = [];
  let open = null as { left: Ratio; gone: Ratio } | null;
  let bathBefore = null as string | null;
  const prescribed = (minute: number) => {
    const now = { fluidRemoval: 0, replacement: 0, hoursPerDay: 24, ...row };
    for (const { change } of changes.filter(({ at }) => at <= minute))
      Object.assign(now, change, { at: undefined });
    const hourly = minus(
      minus(times(ratio(now.dose), ratio(now.weight)), ratio(now.fluidRemoval ?? 0)),
      ratio(now.replacement ?? 0),
    );
    const positive: Ratio = hourly[0] > 0n ? hourly : [0n, 1n];
    return { bath: now.bath, rate: over(times(positive, ratio(now.hoursPerDay ?? 24)), [1440n, 1n]) };
  };
  const turns = new Set(changes.map(({ at }) => at));
  let now = prescribed(from);
  for (let minute = from; minute < until; minute++) {
    if (turns.has(minute)) now = prescribed(minute);
    const { rate } = now;
    if (bathBefore !== null && now.bath !== bathBefore) open = null;
    bathBefore = now.bath;
    const end: Ratio = [BigInt(minute + 1), 1n];
    let time: Ratio = [BigInt(minute), 1n];
    // The bag in hand ends within this minute, perhaps several after it.
    for (;;) {
      if (open === null) {
        if (rate[0] === 0n) break;
        hung.push(`${now.bath} ${minute}`);
        open = { left: bag, gone: plus(time, longest) };
      }
      const dry = rate[0] > 0n ? plus(time, over(open.left, rate)) : null;
      const last: Ratio = dry !== null && less(dry, open.gone) ? dry : open.gone;
      if (less(last, end)) {
        time = less(last, time) ? time : last;
        open = null;
        continue;
      }
      open = { ...open, left: minus(open.left, times(rate, minus(end, time))) };
      break;
    }
  }
  return { hung, open, bath: bathBefore, prescribed, until };
}
