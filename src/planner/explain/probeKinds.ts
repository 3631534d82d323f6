import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import {
  missingOf,
  withDutyMoved,
  withFirstTest,
  withMachines,
  withoutRelease,
  withShelf,
  withSupply,
  withTechnicians,
  withTestedWater,
  withTestsLater,
  withWater,
} from './relief.ts';

export type Limit =
  | 'stock'
  | 'machines'
  | 'technicians'
  | 'water'
  | 'tests'
  | 'duties'
  | 'supplies'
  | 'shelf life';

/** One limit that may be relaxed to see whether it is what binds. */
export interface Probe {
  readonly limit: Limit;
  readonly place: string;
  readonly safety: boolean;
  /** The relaxed problem; `by` is how much, `from` and `to` when (technicians only). */
  readonly relax: (by: number, from: number, to: number) => Problem;
  /** As much as could ever help. */
  readonly most: number;
  /** Amounts are whole multiples of this. */
  readonly step: number;
  readonly unit: string;
  /** The change in words; `plan` is one made with it, `span` when it is wanted. */
  readonly tell: (by: number, plan: Plan, span: string) => string;
  /** The most of it in words, for when even that does not help. */
  readonly tellMost: string;
  /** Baths that it can help. */
  readonly helps: (bath: number) => boolean;
}

const ENOUGH = 4;
/** min; a test that much later is almost none, a duty that much sooner or later at quite another time of the day. */
const MUCH_LATER = 240;
export const round = (litres: number) => Math.round(litres * 10) / 10;
const many = (count: number, one: string) => `${count} more ${one}${count === 1 ? '' : 's'}`;
const all = () => true;

/** Machines worth having one more of: on each water source the one that makes most, and one for each bath left out. */
function models({ machines, water, baths }: Problem): number[] {
  const pace = (m: number) => machines[m]!.positions / machines[m]!.shortest;
  const best = machines
    .map((_, m) => m)
    .sort((a, b) => machines[b]!.baths.length - machines[a]!.baths.length || pace(b) - pace(a));
  const chosen = water.flatMap((_, w) => best.find((m) => machines[m]!.water === w) ?? []);
  for (const bath of baths.keys())
    if (!chosen.some((m) => machines[m]!.baths.includes(bath)))
      chosen.push(...best.filter((m) => machines[m]!.baths.includes(bath)).slice(0, 1));
  return chosen;
}

export const machineProbes = (problem: Problem): Probe[] =>
  models(problem).map((index) => {
    const { id, baths } = problem.machines[index]!;
    return {
      limit: 'machines',
      place: id,
      safety: false,
      relax: (by) => withMachines(problem, index, by),
      most: ENOUGH,
      step: 1,
      unit: 'machines',
      tell: (by) => `${many(by, 'machine')} like ${id}`,
      tellMost: `up to ${many(ENOUGH, 'machine')} like ${id}`,
      helps: (bath) => baths.includes(bath),
    };
  });

/** What a source lacks of what all its machines draw together, in its scarcest hour. */
export const waterProbes = (problem: Problem): Probe[] =>
  problem.water.map((source, number) => {
    const flows = problem.machines.filter((m) => m.water === number).map(({ flow }) => flow);
    const least = Math.min(...source.capacities.map(({ capacity }) => capacity));
    return {
      limit: 'water',
      place: source.id,
      safety: false,
      relax: (by) => withWater(problem, number, by),
      most: Math.max(0, flows.reduce((sum, flow) => sum + flow, 0) - least),
      step: Math.min(100, ...flows),
      unit: 'mL/min',
      tell: (by) => `${round(by)} mL/min more water from ${source.id}`,
      tellMost: `more water from ${source.id}`,
      helps: all,
    };
  });

export const supplyProbes = (problem: Problem, when: (minute: number) => string): Probe[] =>
  problem.supplies.map((supply, number) => ({
    limit: 'supplies',
    place: supply.item,
    safety: false,
    relax: (by) => withSupply(problem, number, Math.round(by * supply.scale)),
    // As much as anyone could want; then no more than the plan with it took.
    most: Number.MAX_SAFE_INTEGER / 4 / supply.scale,
    step: 1,
    unit: supply.item,
    tell: (by, plan) =>
      `${supply.item}: ${by} more by ${when(missingOf(problem, supply, plan.activities).by)}`,
    tellMost: `${supply.item}: any number more`,
    helps: (bath) => supply.bath === null || supply.bath === bath,
  }));

export const shiftProbes = (problem: Problem): Probe[] =>
  [...new Set(problem.shifts.map(({ shift }) => shift))].map((shift) => ({
    limit: 'technicians',
    place: shift,
    safety: false,
    relax: (by) =>
      problem.shifts
        .filter((band) => band.shift === shift)
        .reduce((now, { from, to }) => withTechnicians(now, by, from, to), problem),
    most: ENOUGH,
    step: 1,
    unit: 'technicians',
    tell: (by) => `${many(by, 'technician')} on every shift "${shift}"`,
    tellMost: `up to ${many(ENOUGH, 'technician')} on every shift "${shift}"`,
    helps: all,
  }));

/** A break, or a duty that takes hands or its place out of work, at another hour: each one that is still to come. */
export const dutyProbes = (problem: Problem): Probe[] =>
  problem.duties.map(({ id, place, technicians, at, slack }, number) => ({
    limit: 'duties',
    place: id,
    safety: false,
    relax: (by) => withDutyMoved(problem, number, by),
    most: at.some((minute) => minute + slack >= problem.now) && (technicians > 0 || place) ? MUCH_LATER : 0,
    step: 30,
    unit: 'min',
    tell: (by) => `${id} up to ${by} min sooner or later`,
    tellMost: `${id} up to ${MUCH_LATER} min sooner or later`,
    helps: all,
  }));

export const firstTestProbes = (problem: Problem, when: (minute: number) => string): Probe[] =>
  problem.water.map((source, number) => {
    const told = `a water test of ${source.id} that has ended by ${when(problem.now)}`;
    return {
      limit: 'tests',
      place: source.id,
      safety: false,
      relax: () => withFirstTest(problem, number),
      most: source.lastTest === problem.now ? 0 : 1,
      step: 1,
      unit: 'tests',
      tell: () => told,
      tellMost: told,
      helps: (bath) => problem.machines.some((m) => m.water === number && m.baths.includes(bath)),
    };
  });

/** Limits that guard safety: asked only to name the cause. */
export function safetyProbes(problem: Problem): Probe[] {
  const { rules, horizon } = problem;
  const safe = { place: '', safety: true, helps: all };
  const untested = 'water that needs no test in this time';
  const unreleased = 'bags that wait for no water test after their fill';
  return [
    {
      ...safe,
      limit: 'tests',
      relax: () => withTestedWater(problem),
      most: 1,
      step: 1,
      unit: '',
      tell: () => untested,
      tellMost: untested,
    },
    {
      ...safe,
      limit: 'tests',
      relax: (by) => withTestsLater(problem, by),
      most: MUCH_LATER,
      step: 10,
      unit: 'min',
      tell: (by) => `each water test up to ${by} min later`,
      tellMost: `each water test up to ${MUCH_LATER} min later`,
    },
    {
      ...safe,
      limit: 'tests',
      relax: () => withoutRelease(problem),
      most: rules.releaseAfterTest ? 1 : 0,
      step: 1,
      unit: '',
      tell: () => unreleased,
      tellMost: unreleased,
    },
    {
      ...safe,
      limit: 'shelf life',
      relax: (by) => withShelf(problem, rules.shelf + by * 60),
      most: Math.ceil(Math.max(0, horizon + 1440 - rules.shelf) / 60),
      step: 1,
      unit: 'h',
      tell: (by) =>
        `a shelf life of ${round(rules.shelf / 60 + by)} h instead of ${round(rules.shelf / 60)} h`,
      tellMost: 'a longer shelf life',
    },
  ];
}

/** Technicians outside the shifts: when they are wanted is part of the answer. */
export const technicianProbe = (problem: Problem): Probe => ({
  limit: 'technicians',
  place: '',
  safety: false,
  relax: (by, from, to) => withTechnicians(problem, by, from, to),
  most: ENOUGH,
  step: 1,
  unit: 'technicians',
  tell: (by, _, span) => `${many(by, 'technician')} ${span}`,
  tellMost: `up to ${many(ENOUGH, 'technician')} at all times`,
  helps: all,
});
