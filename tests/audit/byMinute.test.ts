import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit, RULES } from '../../src/audit/audit.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { planByHand, plan as searched } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { scenarios } from './arbitrary.ts';
import { playerOf } from './byMinute.ts';
import { HOSTILE, MUTATIONS } from './mutate.ts';

const names = Object.keys(MUTATIONS);
const sorted = (ids: Iterable<string>) => [...new Set(ids)].sort();
const audited = (problem: Problem, plan: readonly Activity[]) =>
  sorted(audit(problem, plan).violations.map(({ rule }) => rule));

/** A plan with up to three things done to it; the numbers are what the mutations pick from, so a run can be repeated. */
const spoilt = fc.array(
  fc.record({
    name: fc.constantFrom(...names),
    picks: fc.array(fc.nat(100_000), { minLength: 6, maxLength: 6 }),
  }),
  { minLength: 1, maxLength: 3 },
);
const spoil = (plan: readonly Activity[], steps: { name: string; picks: number[] }[]) =>
  steps.reduce<readonly Activity[]>((now, { name, picks }) => {
    let used = 0;
    return MUTATIONS[name]!(now, (n) => picks[used++ % picks.length]! % n);
  }, plan);

describe('the audit against the day played minute by minute', () => {
  const fired = new Map<string, number>();

  it('says the same of random plans, by hand and searched for, spoilt in every way', async () => {
    let plans = 0;
    let valid = 0;
    await fc.assert(
      fc.asyncProperty(
        scenarios(fc.constant(1)),
        fc.array(spoilt, { minLength: 20, maxLength: 20 }),
        fc.boolean(),
        async (scenario, spoils, search) => {
          const problem = compile(scenario);
          const plan = search ? (await searched(problem, { tries: 10 })).activities : planByHand(problem);
          const play = playerOf(scenario);
          expect(audited(problem, plan)).toEqual([]);
          expect(sorted(play(plan))).toEqual([]);
          for (const steps of spoils) {
            const bad = spoil(plan, steps);
            const found = audited(problem, bad);
            expect(found).toEqual(sorted(play(bad)));
            for (const rule of found) fired.set(rule, (fired.get(rule) ?? 0) + 1);
            plans += 1;
            if (found.length === 0) valid += 1;
          }
        },
      ),
      { numRuns: 100, seed: 20310203 },
    );
    expect(plans).toBe(2000);
    // Neither all right nor all wrong, else the comparison would say little.
    expect(valid).toBeGreaterThan(100);
    expect(valid).toBeLessThan(1400);
  }, 240_000);

  it.each(
    RULES.map(({ id }) => id).filter((id) => !['known-kind', 'whole-minutes-start-before-end'].includes(id)),
  )('%s fires under mutation of valid plans', (id) => expect(fired.get(id) ?? 0).toBeGreaterThan(0));
});

describe('hostile plans', () => {
  it.each(Object.entries(HOSTILE))('%s: a violation, never an exception', (_, spoilOne) => {
    fc.assert(
      fc.property(scenarios(fc.constant(1)), fc.nat(), (scenario, index) => {
        const problem = compile(scenario);
        const plan = planByHand(problem);
        if (plan.length === 0) return;
        const bad = plan.map((activity, i) => (i === index % plan.length ? spoilOne(activity) : activity));
        const { ok, violations } = audit(problem, bad as Activity[]);
        expect(ok).toBe(false);
        expect(
          violations.some(({ rule }) => rule === 'known-kind' || rule === 'whole-minutes-start-before-end'),
        ).toBe(true);
      }),
      { numRuns: 15, seed: 7 },
    );
  });
});
