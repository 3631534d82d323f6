import { expect, test } from 'vitest';
import { branch, provenBy } from '../../../src/planner/bounds/branch.ts';
import { loadSolver } from '../../../src/planner/bounds/highs.ts';
import { LinearModel } from '../../../src/planner/bounds/model.ts';
import { commonDivisor, nextMultiple } from '../../../src/planner/bounds/multiples.ts';
import { chanceOf } from '../worlds.ts';

const NONE = Number.POSITIVE_INFINITY;
const solver = await loadSolver();

/** A drawn model: five whole columns with limits, rows that ask for more than nothing, whole costs. */
function drawnModel(seed: number): LinearModel {
  const chance = chanceOf(seed);
  const upTo = (n: number) => Math.floor(chance() * n);
  const model = new LinearModel();
  const columns = Array.from({ length: 5 }, () => model.column(1 + upTo(9), 0, 3 + upTo(5), 1 + upTo(3)));
  for (let row = 0; row < 4; row++)
    model.row(
      5 + upTo(25),
      chance() < 0.3 ? 30 + upTo(10) : NONE,
      columns.map((column) => [column, upTo(6)] as const),
    );
  return model;
}

test.each(Array.from({ length: 30 }, (_, seed) => seed))(
  'searched to its end, the bound is the optimum that HiGHS finds, model %i',
  (seed) => {
    const model = drawnModel(seed);
    const known = solver.solve(model, { gap: 0 });
    const own = solver.solve(model, { step: 1 });
    expect(own.status).toBe(known.status);
    if (known.status === 'optimal') expect(own.bound).toBeCloseTo(known.objective, 6);
  },
);

test.each(Array.from({ length: 20 }, (_, seed) => seed))(
  'broken off, it stays at or below the optimum, model %i',
  (seed) => {
    const model = drawnModel(seed);
    const known = solver.solve(model, { gap: 0 });
    if (known.status !== 'optimal') return;
    for (const iterations of [0, 1, 15, 40]) {
      const { bound } = solver.solve(model, { step: 1, iterations });
      expect(bound).toBeLessThanOrEqual(known.objective + 1e-6);
      expect(bound).toBeGreaterThanOrEqual(solver.solve(model, { whole: false }).bound - 1e-6);
    }
  },
);

/** Wagner HM, Whitin TM. Management Science 1958;5(1):89-96, doi 10.1287/mnsc.1040.0262: 12 periods, least cost 864. */
test('Wagner and Whitin, 12 periods: the bound is 864', () => {
  const demand = [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56];
  const setUp = [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114];
  const model = new LinearModel();
  const stock = demand.map(() => model.column(1, 0, 1000));
  demand.forEach((due, t) => {
    const made = model.column(0, 0, 1000);
    const open = model.column(setUp[t]!, 0, 1, true);
    model.row(-NONE, 0, [
      [made, 1],
      [open, -demand.slice(t).reduce((a, b) => a + b, 0)],
    ]);
    model.row(due, due, [...(t > 0 ? [[stock[t - 1]!, 1] as const] : []), [made, 1], [stock[t]!, -1]]);
  });
  const { status, bound } = solver.solve(model, { step: 1 });
  expect(status).toBe('optimal');
  expect(bound).toBeCloseTo(864, 6);
});

test('any multipliers prove a bound that holds, the best ones the least value itself', () => {
  for (let seed = 0; seed < 20; seed++) {
    const model = drawnModel(seed);
    const relaxed = solver.solve(model, { whole: false });
    if (relaxed.status !== 'optimal') continue;
    const chance = chanceOf(1000 + seed);
    for (let again = 0; again < 20; again++) {
      const multipliers = Float64Array.from(model.rowLower, () => (chance() - 0.3) * 3);
      expect(provenBy(model, multipliers, new Map())).toBeLessThanOrEqual(relaxed.objective + 1e-9);
    }
    expect(relaxed.bound).toBeCloseTo(relaxed.objective, 6);
  }
});

test('a relaxation that cannot be solved keeps the bound of the part around it', () => {
  const model = new LinearModel();
  model.column(2, 0, 9, 1);
  const half = { bound: 3, values: Float64Array.of(1.5), iterations: 1 };
  const lost = { bound: Number.NEGATIVE_INFINITY, values: null, iterations: 1 };
  const options = { step: 1, iterations: 1000, late: () => false };
  const found = branch(model, (limits) => (limits.size === 0 ? half : lost), options);
  expect(found).toMatchObject({ bound: 3, closed: false });
  const none = { bound: Number.POSITIVE_INFINITY, values: null, iterations: 1 };
  expect(branch(model, (limits) => (limits.size === 0 ? half : none), options).bound).toBe(NONE);
});

test('bounds go up to the next multiple, but not for what arithmetic may be off', () => {
  expect(nextMultiple(813.2, 2)).toBe(814);
  expect(nextMultiple(814.0004, 2)).toBe(814);
  expect(nextMultiple(814.1, 2)).toBe(816);
  expect(nextMultiple(-3, 2)).toBe(0);
  expect(nextMultiple(Number.NEGATIVE_INFINITY, 2)).toBe(0);
  expect(commonDivisor([8, 30, 10, 10])).toBe(2);
});
