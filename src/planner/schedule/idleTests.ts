import { type Occupancy, STRIDE } from './occupancy.ts';
import { FILL, NEVER } from './work.ts';

/**
 * Takes back tests that no minute of flow needs, such as one kept for fills that never came.
 * @param running room for the work, a list for each source: made once, since every dispatch ends with this
 */
export function dropIdleTests(held: Occupancy, running: readonly number[][]): void {
  const { tests } = held;
  gatherRunning(held, running);
  for (let w = 0; w < running.length; w++) {
    const runs = running[w]!;
    const ends = tests.ends[w]!;
    const { testMinutes } = held.problem.water[w]!;
    for (let k = ends.length - 1; k >= 0; k--) {
      const from = k > 0 ? Math.max(ends[k]!, tests.servesTo(w, ends[k - 1]!)) : ends[k]!;
      const to = Math.min(tests.servesTo(w, ends[k]!), k + 1 < ends.length ? ends[k + 1]! : NEVER);
      let needed = ends[k]! - testMinutes < held.now;
      for (let f = 0; f < runs.length && !needed; f += 2) needed = runs[f]! < to && runs[f + 1]! > from;
      if (!needed && !walkedFrom(held, w, ends[k]!) && !releases(held, w, k)) held.removeTest(w, ends[k]!);
    }
  }
}

/** Whether nobody walks to work that begins as a test of the source ends: without the test somebody would have to. */
function walkedFrom({ duties, tests, problem, hands }: Occupancy, w: number, end: number): boolean {
  if (hands.walk === 0) return false;
  return (
    tests.ends[w]!.includes(end + problem.water[w]!.testMinutes) ||
    duties.atSource[w]!.some((one) => duties.start[one] === end)
  );
}

/** Whether bags are ready for a bag round, or at the end, only because of a source's k-th test. */
function releases({ ops, count, problem, tests }: Occupancy, w: number, k: number): boolean {
  const { rules, water, machines, rounds, horizon } = problem;
  if (!rules.releaseAfterTest) return false;
  const ends = tests.ends[w]!;
  const end = ends[k]!;
  const lastFill = end - water[w]!.testMinutes;
  const firstFill = (ends[k - 1] ?? -NEVER) - water[w]!.testMinutes;
  const later = ends[k + 1] ?? NEVER;
  for (let i = 0; i < count; i++) {
    const at = i * STRIDE;
    const filled = ops[at + 4]!;
    if (ops[at] !== FILL || machines[ops[at + 1]!]!.water !== w) continue;
    if (filled <= firstFill || filled > lastFill) continue;
    const ready = Math.max(end, filled + rules.swapMinutes + rules.releaseMinutes);
    const serves = (minute: number) => ready <= minute && minute < later;
    if (serves(horizon) || rounds.some((round) => serves(round.at))) return true;
  }
  return false;
}

/** Stretches in which each source feeds a machine, begin and end one after the other. */
function gatherRunning({ ops, count, problem }: Occupancy, running: readonly number[][]): void {
  const { machines } = problem;
  for (const runs of running) runs.length = 0;
  for (let i = 0; i < count; i++) {
    const at = i * STRIDE;
    if (ops[at]! > FILL) continue;
    const runs = running[machines[ops[at + 1]!]!.water]!;
    const start = ops[at + 3]!;
    const end = ops[at + 4]!;
    const last = runs.length - 1;
    // Operations stand nearly in order: a stretch that starts before the last one only widens it.
    if (last > 0 && start <= runs[last]!) {
      if (end > runs[last]!) runs[last] = end;
      if (start < runs[last - 1]!) runs[last - 1] = start;
    } else runs.push(start, end);
  }
}
