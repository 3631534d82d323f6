import { expect, it } from 'vitest';
import { accountOf, meaningOf } from '../../src/audit/account.ts';
import { NOTHING_PROVEN } from '../../src/plan/plan.ts';
import { batch, circuit, tinyWorld } from '../world.ts';

const score = { unmetLitres: 0, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes: 38, expiredBags: 0 };
const planOf = (activities: ReturnType<typeof batch>) => ({
  activities,
  needs: [],
  score,
  bound: NOTHING_PROVEN,
  remarks: [],
  seconds: 0,
});

it('an account has the lots of its plan, and its verdict: of a sound plan and of a broken one', () => {
  const meaning = meaningOf(tinyWorld());
  const good = accountOf(meaning, planOf([circuit(0), ...batch(30)]));
  expect(good.verdict.ok).toBe(true);
  expect(good.covered.lots.map(({ bags, ready }) => [bags, ready])).toEqual([[8, 118]]);
  expect(good.problem).toBe(meaning.problem);
  const bad = accountOf(meaning, planOf(batch(30)));
  expect(bad.verdict.ok).toBe(false);
  expect(bad.verdict.violations.map(({ rule }) => rule)).toContain('circuit-in-place');
});
