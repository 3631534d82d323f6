import { expect, test } from 'vitest';
import { loadSolver, type Solver } from '../../../src/planner/bounds/highs.ts';
import { LinearModel } from '../../../src/planner/bounds/model.ts';

const NONE = Number.POSITIVE_INFINITY;
const solver: Solver = await loadSolver();

/** Chairs and tables, the example in the readme of the npm package highs 1.15.3: 20 chairs and 10 tables earn 1100. */
function workshop(): LinearModel {
  const model = new LinearModel();
  const chairs = model.column(-30, 0, NONE, true);
  const tables = model.column(-50, 0, NONE, true);
  model.row(-NONE, 40, [
    [chairs, 1],
    [tables, 2],
  ]);
  model.row(-NONE, 50, [
    [chairs, 2],
    [tables, 1],
  ]);
  return model;
}

test('the workshop of the HiGHS readme', () => {
  const { status, objective, bound, values } = solver.solve(workshop());
  expect({ status, objective, bound }).toEqual({ status: 'optimal', objective: -1100, bound: -1100 });
  expect([...values!]).toEqual([20, 10]);
});

test('what has no answer says so and throws nothing', () => {
  const impossible = new LinearModel();
  impossible.row(2, NONE, [[impossible.column(1, 0, 1), 1]]);
  expect(solver.solve(impossible).status).toBe('infeasible');
  const endless = new LinearModel();
  endless.row(-NONE, 5, [[endless.column(-1, 0, NONE), -1]]);
  expect(solver.solve(endless)).toMatchObject({ status: 'unbounded', bound: -NONE, values: null });
  const broken = new LinearModel();
  broken.row(0, 1, [[broken.column(Number.NaN, 0, 1), 1]]);
  expect(solver.solve(broken)).toMatchObject({ status: 'failed', bound: -NONE, values: null });
  expect(solver.solve(broken).message).not.toBe('');
  // The solver is as good as new afterwards.
  expect(solver.solve(workshop()).objective).toBe(-1100);
});

test('a model without columns is worth 0', () => {
  expect(solver.solve(new LinearModel())).toMatchObject({ status: 'optimal', objective: 0, bound: 0 });
});

/**
 * Wagner HM, Whitin TM. Dynamic version of the economic lot size model. Management Science 1958;5(1):89-96 (reprinted
 * 2004;50(12S):1770-1774, doi 10.1287/mnsc.1040.0262): 12 periods, holding cost 1, least cost 864.
 */
test('Wagner and Whitin, 12 periods: 864', () => {
  const demand = [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56];
  const setUp = [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114];
  const model = new LinearModel();
  const stock = demand.map(() => model.column(1, 0, NONE));
  demand.forEach((due, t) => {
    const made = model.column(0, 0, NONE);
    const open = model.column(setUp[t]!, 0, 1, true);
    model.row(-NONE, 0, [
      [made, 1],
      [open, -demand.slice(t).reduce((a, b) => a + b, 0)],
    ]);
    model.row(due, due, [[made, 1], [stock[t]!, -1], ...(t > 0 ? [[stock[t - 1]!, 1] as const] : [])]);
  });
  expect(solver.solve(model).objective).toBeCloseTo(864, 6);
});

/**
 * McNaughton R. Scheduling with deadlines and loss functions. Management Science 1959;6(1):1-12 (citation from memory):
 * with preemption m machines need max(sum / m, longest). Jobs 1 2 3 4 5 6 6 on 3 machines (a textbook's example): 9.
 */
test.each([
  { jobs: [1, 2, 3, 4, 5, 6, 6], least: 9 },
  { jobs: [1, 2, 3, 4, 5, 6, 20], least: 20 },
])('McNaughton: $jobs on 3 machines take $least', ({ jobs, least }) => {
  const model = new LinearModel();
  const span = model.column(1, 0, NONE);
  const parts = jobs.map(() => [0, 1, 2].map(() => model.column(0, 0, NONE)));
  jobs.forEach((length, job) => {
    model.row(
      length,
      length,
      parts[job]!.map((part) => [part, 1] as const),
    );
    model.row(0, NONE, [[span, 1], ...parts[job]!.map((part) => [part, -1] as const)]);
  });
  for (const machine of [0, 1, 2])
    model.row(0, NONE, [[span, 1], ...parts.map((row) => [row[machine]!, -1] as const)]);
  expect(solver.solve(model).objective).toBeCloseTo(least, 6);
});

/**
 * Discrete lot sizing with changeovers, one unit a period: Houndji VR, Schaus P, Wolsey L, Deville Y, CSPLib problem 058
 * (csplib.org, CC BY 4.0), from The StockingCost Constraint, CP 2014, 382-397. A changeover is our change of bath.
 */
const PIGMENT = [
  {
    name: 'specification example',
    holding: 2,
    least: 10,
    due: ['01001', '10001'],
    change: ['0 5', '3 0'],
  },
  {
    name: 'pigment15a',
    holding: 10,
    least: 1195,
    due: ['000000010000010', '000010000001001', '000000100001010', '000000010010001', '000000001001001'],
    change: [
      '0 105 154 130 100',
      '146 0 135 139 167',
      '101 183 0 193 113',
      '188 112 111 0 103',
      '179 117 161 124 0',
    ],
  },
  {
    name: 'pigment15b',
    holding: 10,
    least: 1123,
    due: ['000001001010001', '000000000100101', '000000100000010', '000000000010010', '000000001000001'],
    change: [
      '0 128 117 197 178',
      '125 0 102 146 175',
      '179 191 0 190 161',
      '156 139 119 0 189',
      '109 121 111 187 0',
    ],
  },
];

/** As a cheapest path: a node is how many of each item are made and which came last; its linear model has a whole answer. */
test.each(PIGMENT)('CSPLib problem 058, $name: $least', ({ holding, least, due, change }) => {
  const model = new LinearModel();
  const cost = change.map((row) => row.split(' ').map(Number));
  const dues = due.map((row) => [...row].flatMap((unit, t) => (unit === '1' ? [t] : [])));
  let layer = new Map([['', { made: dues.map(() => 0), last: -1, arrive: [] as number[] }]]);
  for (let t = 0; t < due[0]!.length; t++) {
    const next: typeof layer = new Map();
    for (const { made, last, arrive } of layer.values()) {
      const leave: number[] = [];
      const go = (item: number, price: number, counts: number[]) => {
        if (counts.some((count, i) => (dues[i]![count] ?? NONE) <= t)) return;
        const key = `${counts} ${item}`;
        const node = next.get(key) ?? { made: counts, last: item, arrive: [] };
        next.set(key, node);
        const arc = model.column(price, 0, NONE);
        node.arrive.push(arc);
        leave.push(arc);
      };
      go(last, 0, made);
      for (const [item, list] of dues.entries()) {
        const by = list[made[item]!];
        if (by === undefined || by < t) continue;
        const changeover = last < 0 ? 0 : cost[last]![item]!;
        go(
          item,
          holding * (by - t) + changeover,
          made.map((count, i) => count + (i === item ? 1 : 0)),
        );
      }
      const start = arrive.length === 0 ? 1 : 0;
      model.row(start, start, [
        ...leave.map((arc) => [arc, 1] as const),
        ...arrive.map((arc) => [arc, -1] as const),
      ]);
    }
    layer = next;
  }
  const { status, objective, bound } = solver.solve(model);
  expect(status).toBe('optimal');
  expect(objective).toBeCloseTo(least, 6);
  expect(bound).toBeCloseTo(least, 6);
});

test('a limit of work gives the same bound twice, and a bound that holds', () => {
  const model = workshop();
  const [a, b] = [solver.solve(model, { iterations: 0 }), solver.solve(model, { iterations: 0 })];
  expect(a).toEqual(b);
  expect(a.bound).toBeLessThanOrEqual(-1100);
});
