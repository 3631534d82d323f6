import type { Patient } from '../../src/scenario/schema.ts';

interface Draw {
  readonly count: number;
  readonly baths: readonly string[];
  /** Length of the plan, min. */
  readonly minutes: number;
  readonly localOf: (minute: number) => string;
  /** In [0, 1). */
  readonly chance: () => number;
  /** 0..1: how likely odd prescriptions are. */
  readonly variety: number;
}

/** A bell-shaped whole number: the sum of three draws, mean and spread as given, cut to least..most. */
function bell(chance: () => number, mean: number, sd: number, least: number, most: number): number {
  const drawn = mean + 2 * sd * (chance() + chance() + chance() - 1.5);
  return Math.round(Math.min(most, Math.max(least, drawn)));
}

/**
 * Invented patients. Most are under therapy as the plan starts; some come, some stop, some move to a bath with more
 * potassium as theirs settles. Weights about 84 kg (from memory: the mean of large trials).
 */
export function drawPatients({ count, baths, minutes, localOf, chance, variety }: Draw): Patient[] {
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: readonly T[]): T => list[upTo(list.length)]!;
  const odd = () => chance() < variety;
  const quarterHour = (minute: number) => Math.round(minute / 15) * 15;
  return Array.from({ length: count }, (_, i) => {
    // The first baths of the list are the common ones.
    const bath = Math.min(baths.length - 1, Math.floor(baths.length * chance() ** 1.6));
    const starts = chance() < 0.25 ? quarterHour(upTo(minutes * 0.8)) : null;
    const stops = chance() < 0.2 ? quarterHour((starts ?? 0) + 600 + upTo(minutes)) : null;
    const turn = quarterHour((starts ?? 0) + 600 + upTo(2880));
    const change = {
      at: localOf(turn),
      ...(chance() < 0.7 ? { bath: baths[(bath + 1) % baths.length]! } : { dose: 20 }),
      ...(odd() && { hoursPerDay: 20, weight: bell(chance, 84, 18, 45, 150) }),
    };
    return {
      id: `bed-${String(i + 1).padStart(2, '0')}`,
      weight: bell(chance, 84, 18, 45, 150),
      dose: oneOf(20, 25, 25, 25, 25, 30),
      fluidRemoval: oneOf(0, 50, 75, 100, 100, 150),
      ...(odd() && { replacement: oneOf(300, 500, 1000) }),
      ...(odd() && { hoursPerDay: oneOf(16, 20, 22) }),
      ...(odd() && { weight: bell(chance, 84, 18, 45, 150) + oneOf(0.1, 0.35, 0.7) }),
      bath: baths[bath]!,
      from: starts === null ? (odd() ? localOf(-upTo(3000)) : null) : localOf(starts),
      until: stops === null ? null : localOf(stops),
      ...(chance() < 0.35 && { changes: [change] }),
    };
  });
}
