import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import {
  missingOf,
  withFirstTest,
  withMachines,
  withShelf,
  withSupply,
  withTechnicians,
  withTestedWater,
  withTestsLater,
  withWater,
} from './relief.ts';

export type Limit = 'stock' | 'machines' | 'technicians' | 'water' | 'tests' | 'supplies' | 'shelf life';

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
/** min; a test that much later is almost none. */
const MUCH_LATER = 240;
export const round = (litres: number) => Math.round(litres * 10) / 10;
const many = (count: number, one: string) => `${count} more ${one}${count === 1 ? '' : 's'}`;

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

/** The limits of a problem, each with how to relax it. */
export function probesOf(problem: Problem, when: (minute: number) => string): Probe[] {
  const { machines, water, supplies, horizon } = problem;
  const all = () => true;
  const forMachines = models(problem).map(
    (index): Probe => ({
      limit: 'machines',
      place: machines[index]!.id,
      safety: false,
      relax: (by) => withMachines(problem, index, by),
      most: ENOUGH,
      step: 1,
      unit: 'machines',
      tell: (by) => `${many(by, 'machine')} like ${machines[index]!.id}`,
      tellMost: `up to ${many(ENOUGH, 'machine')} like ${machines[index]!.id}`,
      helps: (bath) => machines[index]!.baths.includes(bath),
    }),
  );
  const forWater = water.map((source, number): Probe => {
    const flows = machines.filter((m) => m.water === number).map(({ flow }) => flow);
    return {
      limit: 'water',
      place: source.id,
      safety: false,
      relax: (by) => withWater(problem, number, by),
      most: Math.max(0, flows.reduce((sum, flow) => sum + flow, 0) - source.capacity),
      step: Math.min(100, ...flows),
      unit: 'mL/min',
      tell: (by) => `${round(by)} mL/min more water from ${source.id}`,
      tellMost: `more water from ${source.id}`,
      helps: all,
    };
  });
  const forSupplies = supplies.map(
    (supply, number): Probe => ({
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
    }),
  );
  const forShifts = [...new Set(problem.shifts.map(({ shift }) => shift))].map(
    (shift): Probe => ({
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
    }),
  );
  const forFirstTests = water.map(
    (source, number): Probe => ({
      limit: 'tests',
      place: source.id,
      safety: false,
      relax: () => withFirstTest(problem, number),
      most: source.lastTest === 0 ? 0 : 1,
      step: 1,
      unit: 'tests',
      tell: () => `a water test of ${source.id} that has ended by ${when(0)}`,
      tellMost: `a water test of ${source.id} that has ended by ${when(0)}`,
      helps: (bath) => machines.some((m) => m.water === number && m.baths.includes(bath)),
    }),
  );
  const probes: Probe[] = [
    ...forMachines,
    ...forShifts,
    ...forWater,
    ...forSupplies,
    ...forFirstTests,
    {
      limit: 'tests',
      place: '',
      safety: true,
      relax: () => withTestedWater(problem),
      most: 1,
      step: 1,
      unit: '',
      tell: () => 'water that needs no test in this time',
      tellMost: 'water that needs no test in this time',
      helps: all,
    },
    {
      limit: 'tests',
      place: '',
      safety: true,
      relax: (by) => withTestsLater(problem, by),
      most: MUCH_LATER,
      step: 10,
      unit: 'min',
      tell: (by) => `each water test up to ${by} min later`,
      tellMost: `each water test up to ${MUCH_LATER} min later`,
      helps: all,
    },
    {
      limit: 'shelf life',
      place: '',
      safety: true,
      relax: (by) => withShelf(problem, problem.rules.shelf + by * 60),
      most: Math.ceil(Math.max(0, horizon + 1440 - problem.rules.shelf) / 60),
      step: 1,
      unit: 'h',
      tell: (by) =>
        `a shelf life of ${round(problem.rules.shelf / 60 + by)} h instead of ${round(problem.rules.shelf / 60)} h`,
      tellMost: 'a longer shelf life',
      helps: all,
    },
    // Last, because when they are wanted takes many plans to find, none of which another question shares.
    {
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
    },
  ];
  return probes.filter(({ most }) => most > 0);
}

/** The problem with the most of one limit's relief, by its number among `probesOf`. */
export function atMost(problem: Problem, probe: number): Problem {
  const { relax, most } = probesOf(problem, String)[probe]!;
  return relax(most, 0, problem.horizon);
}
