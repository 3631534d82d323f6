import { expect, test } from 'vitest';
import { auditPlan } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import { plan } from '../../../src/planner/plan.ts';
import { Search } from '../../../src/planner/search/search.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, tinyDays, tinyGrid, unit } from '../worlds.ts';
import { stepwiseOptimum } from './stepwise.ts';

/** Enough for a tiny world. */
const TRIES = 22_500;

test('a machine is set up, and its first fill waits while the other one fills on the only water', () => {
  const machine = (id: string) => ({ id, flow: 800, positions: 8, water: 'W' });
  const problem = compile(
    unit({
      patients: Array.from({ length: 8 }, (_, i) => ({ id: `bed-${i}`, weight: 80, dose: 25, bath: 'A' })),
      machines: [machine('M1'), { ...machine('M2'), loaded: { bath: 'A', circuitSince: at(0) } }],
      water: [{ id: 'W', capacity: 800, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
    }),
  );
  const search = new Search(problem, demandOf(problem));
  const segment = { bath: 0, fills: 1, toEnd: false, fresh: false, notBefore: 0 };
  const begun = (hold: number) => {
    search.best = null;
    search.consider([[{ ...segment, hold }], [segment]]);
    return search
      .activities()
      .flatMap((one) =>
        one.kind === 'circuit' || one.kind === 'fill' ? [`${one.kind} ${one.machine} ${one.start}`] : [],
      )
      .sort();
  };
  // A circuit takes 30 min and 8 bags of 6.5 L at 800 mL/min 65.
  expect(begun(0)).toEqual(['circuit M1 0', 'fill M1 30', 'fill M2 95']);
  expect(begun(65)).toEqual(['circuit M1 0', 'fill M1 95', 'fill M2 30']);
});

test('a circuit may be set up the day before, when only the fill after the wait makes bags that still last', () => {
  const problem = compile(tinyDays(23));
  const search = new Search(problem, demandOf(problem));
  const segment = { bath: 0, fills: 6, toEnd: false, fresh: true, notBefore: 0 };
  // M2 may work from 20 to 340 and from 1440 on; what it fills at 350 expires before the end of the last round.
  search.consider([[], [segment, { ...segment, fills: 4, hold: 1110 }]]);
  const begun = search
    .activities()
    .flatMap((one) => (one.kind === 'circuit' ? [`${one.machine} ${one.start}`] : []));
  expect(begun).toEqual(['M2 20', 'M2 290']);
});

// Each stayed above its optimum as long as lines were served "first free first" alone: 48 L instead of 24 in world 6.
test.each([6, 40, 67])(
  'two machines that want the same water or hands take turns: nothing beats world %i',
  async (seed) => {
    const problem = compile(tinyGrid(seed));
    const made = await plan(problem, { tries: TRIES });
    expect(auditPlan(problem, made).violations).toEqual([]);
    expect(stepwiseOptimum(problem, demandOf(problem), made.score)).toBeNull();
  },
);

test('the way through all states finds what is better than a plan that is not the best', async () => {
  const problem = compile(tinyGrid(6));
  const { score } = await plan(problem, { tries: 6000 });
  const worse = { ...score, handsOnMinutes: score.handsOnMinutes + 10 };
  const { expiredBags: _, ...same } = score;
  expect(stepwiseOptimum(problem, demandOf(problem), worse)).toEqual(same);
});

test('a second machine is set up while the first one waits: two days at their proven optimum', async () => {
  const problem = compile(tinyDays(12));
  const { score } = await plan(problem, { tries: TRIES });
  // Proven in `optimum.slow.test.ts`.
  expect(score).toMatchObject({ unmetLitres: 66, unmetLitreHours: 2838, handsOnMinutes: 190 });
});

// Each stays above its optimum where a search begins at the rule of thumb alone: 60 L instead of 48 in world 100.
test.each([100, 109])('lines by chance lead where no rule of thumb does: world %i', async (seed) => {
  const problem = compile(tinyDays(seed));
  const made = await plan(problem, { tries: TRIES });
  expect(auditPlan(problem, made).violations).toEqual([]);
  expect(stepwiseOptimum(problem, demandOf(problem), made.score)).toBeNull();
});
