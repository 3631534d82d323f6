import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { cutWindows, machinesFor } from '../model/machines.ts';
import { coursesOf, type Draw, type Ground } from './draw.ts';

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
    shifts,
    staff,
    supplies: problem.supplies.map((supply) => ({
      ...supply,
      perMinute: machines.map((_, m) => supply.perMinute[Math.min(m, problem.machines.length - 1)]!),
    })),
  };
}
