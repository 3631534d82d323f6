import { expect, test } from 'vitest';
import { sideBySide } from '../../../src/planner/explain/sideBySide.ts';
import { clinicalWays, explainNeeds, plan, relaxedBy } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, tinyWorld } from '../../world.ts';
import { opening, patients, staffed, water } from '../shortWorlds.ts';

const turns = async (count: number) => {
  for (let n = 0; n < count; n++) await new Promise((done) => setTimeout(done));
};

test('so many at a time, in their order; one that fails keeps nobody from being done', async () => {
  let running = 0;
  let most = 0;
  const begun: number[] = [];
  const results = sideBySide([3, 1, 2, 0, 1], 2, async (wait) => {
    begun.push(wait);
    running += 1;
    most = Math.max(most, running);
    await turns(1 + wait);
    running -= 1;
    if (wait === 2) throw new Error('no');
    return 10 * wait;
  });
  const told = await Promise.allSettled(results);
  expect(told.map((one) => (one.status === 'fulfilled' ? one.value : 'failed'))).toEqual([
    30,
    10,
    'failed',
    0,
    10,
  ]);
  expect(begun).toEqual([3, 1, 2, 0, 1]);
  expect(most).toBe(2);
  expect(sideBySide([], 2, async () => 1)).toEqual([]);
});

// One set of bags, a technician until 2:00 and a break: several limits matter.
const world = tinyWorld({
  patients: patients(3),
  stock: [opening(3)],
  water: water(),
  shifts: staffed('04:00'),
  supplies: [{ item: 'bag set', onHand: 1, perFill: 1 }],
  duties: [{ id: 'break', times: ['01:30'], minutes: 30, technicians: 1 }],
});

test.each([1, 2, 4])(
  'what would clear a need is the same on %i other threads as on this one',
  async (threads) => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const here = await explainNeeds(problem, made, plan);
    expect(here.some(({ reliefs }) => reliefs.some(({ effect }) => effect !== 'does not help'))).toBe(true);
    let running = 0;
    let most = 0;
    const never = () => Promise.reject(new Error('planned here'));
    const there = await explainNeeds(problem, made, never, {
      elsewhere: {
        threads,
        async plan(relaxed, how) {
          running += 1;
          most = Math.max(most, running);
          // Threads are not equally fast.
          await turns(running % 3);
          // What crosses to a thread is plain data.
          const sent = structuredClone({ relaxed, how });
          const answer = await plan(relaxedBy(compile(world), sent.relaxed), sent.how);
          running -= 1;
          return answer;
        },
      },
    });
    expect(there).toEqual(here);
    expect(most).toBe(threads);
  },
);

test('a duty that finds no place on another thread is no way out, and no failure', async () => {
  const problem = compile(world);
  const made = await plan(problem, { tries: 300 });
  const told = await explainNeeds(problem, made, plan, { elsewhere: { threads: 2, plan: async () => null } });
  expect(told.flatMap(({ reliefs }) => reliefs).filter(({ limit }) => limit !== 'stock')).not.toEqual([]);
  for (const { limit, effect } of told.flatMap(({ reliefs }) => reliefs))
    expect(effect).toBe(limit === 'stock' ? 'clears' : 'does not help');
});

test('clinical ways are told in the same order, whichever thread is first', async () => {
  const scenario = tinyWorld({
    patients: [{ id: 'bed-1', weight: 100, dose: 30, bath: '2K' }],
    stock: [{ lot: 'S', bath: '2K', bags: 10, litres: 6.5 }],
    substitutes: [{ bath: '2K', by: '4K', from: at(1100) }],
  });
  const made = await plan(compile({ ...scenario, machines: [] }));
  const ways = async (elsewhere?: Parameters<typeof clinicalWays>[3]) => {
    const found: unknown[] = [];
    for await (const way of clinicalWays(scenario, made, plan, elsewhere)) found.push(way);
    return found;
  };
  const here = await ways();
  let asked = 0;
  const there = await ways({
    elsewhere: {
      threads: 2,
      async plan(changed, how) {
        await turns(asked++ % 4);
        return plan(compile(changed), how);
      },
    },
  });
  expect(here.length).toBeGreaterThan(3);
  expect(there).toEqual(here);
});
