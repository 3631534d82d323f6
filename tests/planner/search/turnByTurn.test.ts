import { expect, test } from 'vitest';
import { auditPlan } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { type Activity, inOrder, NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { askForDuties, DutyFault } from '../../../src/planner/schedule/placeDuties.ts';
import { TurnByTurn, turningMinutes } from '../../../src/planner/search/turnByTurn.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import { drawnFloor } from '../strictFloor.ts';
import { at, tinyDays, unit } from '../worlds.ts';
import { stepwiseOptimum } from './stepwise.ts';

const PRICES = { litre: 20, setUp: 0 };

const walked = (problem: Problem, work: number, prices = PRICES): TurnByTurn => {
  const turns = new TurnByTurn(problem, demandOf(problem), prices);
  for (const _ of turns.walk(work));
  return turns;
};
const planOf = (problem: Problem, activities: readonly Activity[]) =>
  asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });

// Annealing on lines misses each of these: of the first it found 84 L unmet instead of 78, of the last 18 L instead of 6.
test.each([27, 28, 87, 90])('nothing beats the turns that are found in world %i', (seed) => {
  const problem = compile(tinyDays(seed));
  const { score } = planOf(problem, walked(problem, 54_000).activities);
  expect(stepwiseOptimum(problem, demandOf(problem), score)).toBeNull();
});

test('one machine is set up before the other one fills, and they take turns on the only water', () => {
  const problem = compile(
    unit({
      patients: Array.from({ length: 12 }, (_, i) => ({ id: `bed-${i}`, weight: 80, dose: 25, bath: 'A' })),
      machines: ['M1', 'M2'].map((id) => ({
        id,
        flow: 800,
        positions: 8,
        water: 'W',
        available: [{ from: at(0), to: at(394) }],
      })),
      water: [{ id: 'W', capacity: 800, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
      rules: { rounds: ['14:00'] },
    }),
  );
  const { activities } = walked(problem, 10_000);
  const begun = inOrder(activities).filter(({ kind }) => kind === 'circuit' || kind === 'fill');
  // By hand: two circuits of 30 min, five fills of 65 min without a gap and a swap of 8 are over at 393; on one circuit, with
  // a swap between any two fills, the fifth bags are off at 395, a minute after the machines close.
  expect(begun.map(({ kind, start }) => `${kind} ${start}`)).toEqual([
    'circuit 0',
    'circuit 30',
    ...[60, 125, 190, 255, 320].map((start) => `fill ${start}`),
  ]);
});

test('what comes out obeys every rule of drawn floors with duties, hands and supplies', () => {
  let filled = 0;
  for (let seed = 1; seed <= 40; seed++) {
    const problem = compile(drawnFloor(seed));
    try {
      askForDuties(problem);
    } catch (error) {
      if (error instanceof DutyFault) continue;
      throw error;
    }
    const { activities } = walked(problem, 300);
    filled += activities.filter(({ kind }) => kind === 'fill').length;
    expect(auditPlan(problem, planOf(problem, activities)).violations, `seed ${seed}`).toEqual([]);
  }
  expect(filled).toBeGreaterThan(100);
});

test('what was done before now stays, and nothing else begins before it', () => {
  const problem = compile(tinyDays(28));
  const whole = walked(problem, 5_000).activities;
  const now = 1000;
  const past = whole.filter(({ start }) => start < now);
  const turns = new TurnByTurn(problem, demandOf(problem), PRICES);
  turns.freeze(past, now);
  for (const _ of turns.walk(5_000));
  expect(inOrder(turns.activities.filter(({ start }) => start < now))).toEqual(inOrder(past));
  expect(turns.activities.length).toBeGreaterThan(past.length);
  expect(auditPlan(problem, planOf(problem, turns.activities)).violations).toEqual([]);
});

test('waiting may end as a window opens, or when just a circuit, a fill, two of them or both are left', () => {
  const problem = compile(
    unit({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'W', available: [{ from: at(60), to: at(600) }] },
      ],
      rules: { rounds: ['12:00'], circuitMinutes: 30, swapMinutes: 10, releaseMinutes: 5 },
    }),
  );
  // A fill takes 65 min (8 bags of 6.5 L at 800 mL/min), with its swap 75; the round is at 300.
  expect(turningMinutes(problem)).toEqual(
    [60, 600 - 30, 600 - 65, 600 - 75, 600 - 105, 600 - 150, 600 - 180, 300 - 80, 300 - 110].sort(
      (a, b) => a - b,
    ),
  );
});
