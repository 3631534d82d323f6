import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { bucketsOf } from '../../../src/planner/bounds/buckets.ts';
import { Columns } from '../../../src/planner/bounds/columns.ts';
import { countedModel } from '../../../src/planner/bounds/counted.ts';
import { lessDuties } from '../../../src/planner/bounds/floor.ts';
import { loadSolver } from '../../../src/planner/bounds/highs.ts';
import { plan, planByHand } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import { realUnit } from '../../bench/realUnits.ts';
import { chanceOf, drawn } from '../worlds.ts';

/** Beds with several baths, circuits of half a day or a day, bags of one or two, sometimes a duty that takes circuits out. */
function mixed(seed: number) {
  const chance = chanceOf(seed + 40_000);
  const oneOf = <T>(...list: T[]): T => list[Math.floor(chance() * list.length)]!;
  const machines = oneOf(1, 2, 3);
  const world = drawn(seed + 40_000, {
    days: oneOf(2, 3, 4),
    machines,
    patients: machines * oneOf(2, 3, 4),
    baths: oneOf(2, 3),
  });
  return {
    ...world,
    supplies: [],
    shifts: [{ id: 'all day', from: '07:00', to: '07:00', technicians: 2 + Math.floor(chance() * 2) }],
    water: world.water.map((row) => ({ ...row, capacity: oneOf(1600, 9000) })),
    machines: world.machines.map(({ baths: _, available: __, ...row }) => row),
    rules: {
      ...world.rules,
      circuitHours: oneOf(6, 12, 12, 24),
      shelfHours: oneOf(24, 36, 48),
      ...(chance() < 0.3 && { minStock: { B1: 2 } }),
      ...(chance() < 0.3 && { fillStartMinutes: 2 }),
    },
    duties:
      chance() < 0.3
        ? [{ id: 'rinse', place: 'M1', times: ['13:00'], minutes: 20, slackMinutes: 30, endsCircuit: true }]
        : [],
  };
}

/** Where a plan lies among the model's columns: what ends in each bucket; the other columns stay 0. */
function pointOf(columns: Columns, activities: readonly Activity[]): Float64Array {
  const { buckets, problem, kinds, tests, model } = columns;
  const point = new Float64Array(model.cost.length);
  for (const done of activities) {
    const t = buckets.cuts.findIndex((cut) => cut >= done.end);
    if (t < 1) continue;
    if (done.kind === 'test') {
      point[tests[problem.water.findIndex(({ id }) => id === done.water)]![t]!]! += 1;
      continue;
    }
    if (done.kind === 'swap' || done.kind === 'duty') continue;
    const machine = problem.machines.findIndex(({ id }) => id === done.machine);
    const k = buckets.kinds.findIndex((kind) => kind.machines.includes(machine));
    const of = { circuit: 'circuits', bath: 'changes', fill: 'fills' } as const;
    point[kinds[k]![t]![of[done.kind]][problem.baths.indexOf(done.bath)]!]! += 1;
  }
  return point;
}

/** Offered rows that a plan breaks, and how many there are that are not met by nothing at all. */
function brokenRows(problem: Problem, activities: readonly Activity[]) {
  const { score } = asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  const certain = lessDuties(problem);
  const buckets = bucketsOf(certain, demandOf(problem));
  const bags = (litres: number) => (litres * problem.partsPerLitre) / problem.bagParts;
  const allowed = {
    unmetBags: bags(score.unmetLitres),
    unmetBagHours: bags(score.unmetLitreHours),
    reserveBags: score.reserveShort,
  };
  const columns = new Columns(certain, buckets, allowed);
  const point = pointOf(columns, activities);
  const model = countedModel(certain, buckets, allowed);
  const broken = model.takeBroken(Float64Array.from(model.cost, (_, column) => point[column] ?? 0));
  return { broken, told: model.takeBroken(new Float64Array(model.cost.length)) };
}

test.each(Array.from({ length: 10 }, (_, index) => index))(
  'no plan breaks a row of whole set-ups, six units from %i',
  async (first) => {
    let told = 0;
    for (let seed = first * 6; seed < first * 6 + 6; seed++) {
      const problem = compile(mixed(seed));
      for (const made of [planByHand(problem), (await plan(problem, { tries: 60, seed })).activities]) {
        const rows = brokenRows(problem, made);
        expect(rows.broken, `unit ${seed}`).toBe(0);
        told += rows.told;
      }
    }
    expect(told).toBeGreaterThan(0);
  },
);

/**
 * Rounds that want a bath and that no circuit can serve two of: after the bags for one must have been filled, a circuit's
 * life passes before those for the next may be. Counted from the demand alone, for a unit without stock at those rounds.
 */
function apart({ rounds, rules, lots }: Problem, bags: readonly number[]): number {
  let free = Math.max(0, ...lots.map(({ expires }) => expires));
  return rounds.filter(({ index, at: leaves, to }) => {
    if (bags[index] === 0 || to - rules.shelf <= free) return false;
    free = leaves + rules.circuitLife;
    return true;
  }).length;
}

test('a bath is brought on anew for rounds too far apart for one circuit, which the relaxation knew nothing of', async () => {
  const problem = compile(realUnit(1));
  const demand = demandOf(problem);
  const buckets = bucketsOf(problem, demand);
  const none = { unmetBags: 0, unmetBagHours: 0, reserveBags: 0 };
  const { kinds } = new Columns(problem, buckets, none);
  const model = countedModel(problem, buckets, none);
  const solver = await loadSolver();
  const broughtOn = () => {
    const point = solver.solve(model, { whole: false }).values!;
    const of = (columns: readonly number[], bath: number) =>
      columns[bath] === undefined ? 0 : point[columns[bath]!]!;
    const setUps = problem.baths.map((_, bath) =>
      kinds.flat().reduce((sum, { circuits, changes }) => sum + of(circuits, bath) + of(changes, bath), 0),
    );
    return { point, setUps };
  };
  const least = problem.baths.map((_, bath) => apart(problem, demand.bags[bath]!));
  expect(Math.min(...least)).toBeGreaterThan(3);
  let { point, setUps } = broughtOn();
  expect(setUps.some((count, bath) => count < least[bath]! - 0.5)).toBe(true);
  while (model.takeBroken(point) > 0) ({ point, setUps } = broughtOn());
  setUps.forEach((count, bath) => {
    expect(count, problem.baths[bath]).toBeGreaterThan(least[bath]! - 0.02);
  });
});
