import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit, RULES } from '../../src/audit/audit.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { planByHand, plan as searched } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { scenarios, withFloor } from './arbitrary.ts';
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

/** Every occurrence of every duty, so many minutes after it is due as `late` says, within its slack. */
const dutiesOf = ({ duties, machines, water }: Problem, late: readonly number[]): Activity[] =>
  duties.flatMap(({ id, at, minutes, slack, place }) =>
    at.map((due, index): Activity => {
      const start = due + (late[index % late.length]! % (slack + 1));
      const where =
        place === null
          ? {}
          : place.kind === 'machine'
            ? { machine: machines[place.index]!.id }
            : { water: water[place.index]!.id };
      return { kind: 'duty', duty: id, at: due, ...where, start, end: start + minutes };
    }),
  );

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

  it('says the same where floors have duties, walks, hands, tolerances and changes of capacity', () => {
    let [plans, valid] = [0, 0];
    fc.assert(
      fc.property(
        scenarios(fc.constant(1)).chain(withFloor),
        fc.array(spoilt, { minLength: 8, maxLength: 8 }),
        fc.array(fc.nat(200), { minLength: 9, maxLength: 9 }),
        fc.boolean(),
        (scenario, spoils, late, alone) => {
          const problem = compile(scenario);
          const play = playerOf(scenario);
          // Fills as on the floor without its fields, which may break a rule of those; duties somewhere in their slack.
          const made = alone ? [] : planByHand(compile({ ...scenario, duties: [] }));
          const plan = [...made.filter(({ kind }) => kind !== 'duty'), ...dutiesOf(problem, late)];
          for (const steps of [[], ...spoils]) {
            const one = spoil(plan, steps);
            const found = audited(problem, one);
            expect(found).toEqual(sorted(play(one)));
            for (const rule of found) fired.set(rule, (fired.get(rule) ?? 0) + 1);
            plans += 1;
            if (found.length === 0) valid += 1;
          }
        },
      ),
      { numRuns: 200, seed: 20310204 },
    );
    expect(plans).toBe(1800);
    expect(valid).toBeGreaterThan(50);
    expect(valid).toBeLessThan(1200);
  }, 240_000);

  // The player plays from the start only: what begins in the past has cases of its own.
  const elsewhere = ['known-kind', 'whole-minutes-start-before-end', 'begins-from-now'];
  it.each(RULES.map(({ id }) => id).filter((id) => !elsewhere.includes(id)))(
    '%s fires under mutation of valid plans',
    (id) => expect(fired.get(id) ?? 0).toBeGreaterThan(0),
  );
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
