import type { Problem } from '../../scenario/problem/types.ts';
import type { Relaxed } from './again.ts';
import {
  dutyProbes,
  firstTestProbes,
  machineProbes,
  type Probe,
  safetyProbes,
  shiftProbes,
  supplyProbes,
  technicianProbe,
  waterProbes,
} from './probeKinds.ts';

/** The limits of a problem, each with how to relax it. @param when how a minute is told */
export function probesOf(problem: Problem, when: (minute: number) => string): Probe[] {
  // What is likeliest to help first: somebody waits for the answers.
  const duties = dutyProbes(problem);
  const isBreak = ({ place }: Probe) => problem.duties.find(({ id }) => id === place)!.place === null;
  return [
    ...machineProbes(problem),
    ...shiftProbes(problem),
    technicianProbe(problem),
    ...duties.filter(isBreak),
    ...waterProbes(problem),
    ...supplyProbes(problem, when),
    ...firstTestProbes(problem, when),
    ...duties.filter((one) => !isBreak(one)),
    ...safetyProbes(problem),
  ].filter(({ most }) => most > 0);
}

/** The problem with so much of one limit's relief, by its number among `probesOf`; null: as it stands. */
export function relaxedBy(problem: Problem, { probe, amount }: Omit<Relaxed, 'problem'>): Problem {
  if (probe === null) return problem;
  return probesOf(problem, String)[probe]!.relax(amount.by, amount.from, amount.to);
}

/** The problem with the most of one limit's relief, by its number among `probesOf`. */
export function atMost(problem: Problem, probe: number): Problem {
  const { relax, most } = probesOf(problem, String)[probe]!;
  return relax(most, 0, problem.horizon);
}
