import { expect, test } from 'vitest';
import { audit } from '../../../src/audit/audit.ts';
import { planByHand } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, chanceOf, drawnProblem, unit } from '../worlds.ts';

test.each(Array.from({ length: 60 }, (_, seed) => seed))('a plan by hand is valid, world %i', (seed) => {
  const problem = drawnProblem(seed, {
    days: 1 + (seed % 4),
    machines: 1 + (seed % 5),
    patients: 1 + (seed % 14),
    baths: 1 + (seed % 4),
  });
  for (const activities of [planByHand(problem), planByHand(problem, chanceOf(seed))])
    expect(audit(problem, activities).violations).toEqual([]);
});

test('the first minutes of a plan by hand', () => {
  const problem = compile(
    unit({
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A', from: at(720) }],
      rules: { rounds: ['18:00'] },
    }),
  );
  const plan = planByHand(problem).sort((a, b) => a.start - b.start || a.end - b.end);
  // Test, circuit, then fill and swap; 12 bags from 19:00 to 07:00 want two fills of 8.
  expect(plan.map(({ kind, start, end }) => [kind, start, end])).toEqual([
    ['test', 0, 10],
    ['circuit', 10, 40],
    ['fill', 40, 105],
    ['swap', 105, 113],
    ['fill', 113, 178],
    ['swap', 178, 186],
  ]);
});

test('nobody is needed when stock covers all', () => {
  const problem = compile(
    unit({
      patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: 'A' }],
      stock: [{ lot: 'S', bath: 'A', bags: 24, litres: 6.5 }],
    }),
  );
  expect(planByHand(problem)).toEqual([]);
});
