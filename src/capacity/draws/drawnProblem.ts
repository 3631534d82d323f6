import type { Duty, Machine, Problem } from '../../scenario/problem/types.ts';
import { cutWindows, machinesFor } from '../model/machines.ts';
import { coursesOf, type Draw, type Ground } from './draw.ts';

/** Duties of the first `count` machines: those left out lose theirs, copies of the last machine copy its. */
function dutiesFor({ duties, machines }: Problem, count: number): Duty[] {
  const last = machines.length - 1;
  return duties.flatMap((duty): Duty[] => {
    const { place } = duty;
    if (place?.kind !== 'machine') return [duty];
    if (place.index >= count) return [];
    const copies = place.index === last ? Math.max(0, count - machines.length) : 0;
    const copied = Array.from({ length: copies }, (_, n) => ({
      ...duty,
      id: `${duty.id} copy ${n + 1}`,
      place: { kind: 'machine' as const, index: machines.length + n },
    }));
    return [duty, ...copied];
  });
}

/**
 * One draw as a problem that the exact demand, the planner and the audit take: its patients, `count` machines less
 * their breakdowns, shifts less the absent. Indices of baths, water and shifts are those of the ground's problem.
 * @param draw what `drawInto` made of the same seed and index
 */
export function drawnProblem(
  ground: Ground,
  { seed, index, draw, count }: { seed: number; index: number; draw: Draw; count: number },
): Problem {
  const { problem } = ground;
  const { horizon } = problem;
  const machines: Machine[] = machinesFor(problem, count).map((machine, m) => ({
    ...machine,
    windows: cutWindows(machine.windows, draw.down[m] ?? []),
  }));
  const shifts = problem.shifts.map((band, n) => ({
    ...band,
    technicians: band.technicians - (draw.absent[n] ?? 0),
  }));
  const staff = new Int16Array(horizon);
  for (const { from, to, technicians } of shifts)
    for (let t = Math.max(0, from); t < Math.min(horizon, to); t++) staff[t]! += technicians;
  return {
    ...problem,
    patients: coursesOf(ground, seed, index),
    machines,
    duties: dutiesFor(problem, count),
    // Stock after every round is wanted, not needed: it makes no run short.
    minStock: problem.minStock.map(() => 0),
    shifts,
    staff,
    supplies: problem.supplies.map((supply) => ({
      ...supply,
      perMinute: machines.map((_, m) => supply.perMinute[Math.min(m, problem.machines.length - 1)]!),
    })),
  };
}
