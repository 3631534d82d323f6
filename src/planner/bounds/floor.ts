import type { Duty, Problem, Span } from '../../scenario/problem/types.ts';

/** One time at which a duty is due. */
interface Occurrence {
  readonly duty: Duty;
  /** Minutes in which it is under way whenever it begins; none where it can be later than it is long. */
  readonly core: Span;
}

/** Those that every plan places. A plan of a day under way may leave out what no longer fits: nothing is said of it then. */
const occurrences = ({ duties, now }: Problem): Occurrence[] =>
  now > 0
    ? []
    : duties.flatMap((duty) =>
        duty.at.map((at) => ({
          duty,
          core: { from: at + duty.slack, to: at - (duty.early ?? 0) + duty.minutes },
        })),
      );

const isPlace = ({ place }: Duty, kind: 'machine' | 'water', index: number): boolean =>
  place?.kind === kind && place.index === index;

/** Windows without some minutes of them. */
function without(windows: readonly Span[], { from, to }: Span): Span[] {
  return windows.flatMap((window) =>
    window.to <= from || to <= window.from
      ? [window]
      : [
          { from: window.from, to: Math.min(window.to, from) },
          { from: Math.max(window.from, to), to: window.to },
        ].filter((part) => part.from < part.to),
  );
}

/**
 * The same problem with what duties take in any valid plan taken away: technicians and machines, in the minutes in which a
 * duty is under way wherever it begins. Every plan of the problem, without its duties, is one of this. Walking, what a
 * duty does to circuits and tests, and its flow beyond those minutes are left out: so no plan is.
 */
export function lessDuties(problem: Problem): Problem {
  return withOpenPast(withoutCertain(problem));
}

/** What is under way as a plan goes on from within began before: nothing is said of who was there and what was open then. */
function withOpenPast(problem: Problem): Problem {
  const { now, staff, machines } = problem;
  if (now === 0) return problem;
  const open = staff.slice();
  open.fill(staff.reduce((most, there) => Math.max(most, there), 0) + machines.length, 0, now);
  return {
    ...problem,
    staff: open,
    machines: machines.map((machine) => ({
      ...machine,
      windows: machine.windows.map((window) => ({ ...window, from: window.from <= now ? 0 : window.from })),
    })),
  };
}

function withoutCertain(problem: Problem): Problem {
  const certain = occurrences(problem).filter(({ core }) => core.from < core.to);
  if (certain.length === 0) return problem;
  const staff = problem.staff.slice();
  for (const { duty, core } of certain)
    for (let t = core.from; t < core.to; t++) staff[t] = Math.max(0, staff[t]! - duty.technicians);
  const machines = problem.machines.map((machine, m) => ({
    ...machine,
    windows: certain
      .filter(({ duty }) => isPlace(duty, 'machine', m))
      .reduce<readonly Span[]>((windows, { core }) => without(windows, core), machine.windows),
  }));
  return { ...problem, staff, machines };
}

/**
 * Technician minutes that duties take in minutes from..to-1 beyond those in which they are under way wherever they begin.
 * How much of an occurrence lies in a span rises and falls with its start: so the least is at one of its two ends.
 */
export function dutyMinutes(problem: Problem, { from, to }: Span): number {
  const within = (a: number, b: number) => Math.max(0, Math.min(b, to) - Math.max(a, from));
  return occurrences(problem).reduce((sum, { duty, core }) => {
    const first = core.from - duty.slack - (duty.early ?? 0);
    const least = Math.min(within(first, first + duty.minutes), within(core.from, core.from + duty.minutes));
    return sum + duty.technicians * (least - within(core.from, core.to));
  }, 0);
}

/** What a source has for its machines at most, mL/min, by minute: none while a duty is surely there, less what others draw. */
export function waterLeft(problem: Problem, source: number): Float64Array {
  const left = new Float64Array(problem.horizon);
  const { capacities } = problem.water[source]!;
  capacities.forEach(({ from, capacity }, index) => {
    left.fill(capacity, Math.max(0, from), capacities[index + 1]?.from ?? problem.horizon);
  });
  for (const { duty, core } of occurrences(problem)) {
    const { place, flow } = duty;
    const there = isPlace(duty, 'water', source);
    const draws = there || (place?.kind === 'machine' && problem.machines[place.index]!.water === source);
    if (!draws) continue;
    for (let t = core.from; t < core.to; t++) left[t] = there ? 0 : left[t]! - flow;
  }
  return left;
}

/** Minutes in which a duty at a source is under way wherever it begins: nothing runs there and nobody tests. */
export function shutMinutes(problem: Problem, source: number): Uint8Array {
  const shut = new Uint8Array(problem.horizon);
  for (const { duty, core } of occurrences(problem))
    if (isPlace(duty, 'water', source) && core.from < core.to) shut.fill(1, core.from, core.to);
  return shut;
}

/**
 * When a machine's circuit that is in place at a minute is ended at the latest by a duty that is surely still to come,
 * [0..horizon]; horizon + 1: by none.
 */
export function circuitEndsBy(problem: Problem, machine: number): Int32Array {
  const { horizon } = problem;
  const by = new Int32Array(horizon + 2).fill(horizon + 1);
  for (const { duty, core } of occurrences(problem)) {
    if (!duty.endsCircuit || !isPlace(duty, 'machine', machine)) continue;
    const soonest = core.to - duty.minutes;
    if (soonest >= 0 && soonest <= horizon) by[soonest] = Math.min(by[soonest]!, core.from);
  }
  for (let t = horizon; t >= 0; t--) by[t] = Math.min(by[t]!, by[t + 1]!);
  return by;
}

/** The most that a source ever gives, mL/min. */
export const mostCapacity = ({ water }: Problem, source: number): number =>
  Math.max(...water[source]!.capacities.map(({ capacity }) => capacity));

/** Technician minutes that each piece of work counts in the score: a fill's are those of its start and its swap. */
export function handsOn({ rules }: Problem): { fill: number; circuit: number; change: number } {
  const { hands, swapMinutes, circuitMinutes, bathMinutes, fillStartMinutes } = rules;
  return {
    fill: swapMinutes * hands.swap + fillStartMinutes,
    circuit: circuitMinutes * hands.circuit,
    change: bathMinutes * hands.bath,
  };
}

/** Technician minutes of a test of a source. */
export const handsOnTest = ({ rules, water }: Problem, source: number): number =>
  water[source]!.testMinutes * rules.hands.test;
