import { describe, expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { cover } from '../../src/plan/cover.ts';
import { answer } from '../../src/reports/answers.ts';
import {
  bagsHung,
  bedNeeds,
  coveredUntil,
  endOfDay,
  firstShort,
  nextRounds,
  roundNeeds,
} from '../../src/reports/coverage.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

/** 80 kg x 25 mL/kg/h - 100 mL/h = 1,900 mL/h = 45.6 L a day: arithmetic, row 8.8 of the check values. */
const known = (changes: Partial<Scenario> = {}) => {
  const scenario = tinyWorld({
    patients: [
      { id: 'bed-01', weight: 80, dose: 25, fluidRemoval: 100, bath: '2K' },
      { id: 'bed-02', weight: 80, dose: 25, bath: '4K', from: at(600), until: at(900) },
    ],
    rules: { rounds: ['06:00', '18:00'], leadMinutes: 60 },
    stock: [{ lot: 'S', bath: '2K', bags: 3, litres: 6.5, ready: null, expires: null }],
    ...changes,
  });
  const problem = compile(scenario);
  const demand = demandOf(problem);
  return { scenario, problem, demand, covered: cover(problem, demand, []) };
};

describe('need of the bag rounds', () => {
  test('sums baths, and what stays unmet of each in litres', () => {
    const needs = roundNeeds(known());
    // A bag of 6.5 L lasts 205.3 min at 1,900 mL/h: hung at 0, 205, 410 | 615, 821, 1026 | 1231, 1436.
    expect(needs.map(({ round, bags }) => [round.at, bags])).toEqual([
      [0, 3],
      [360, 5],
      [1080, 2],
    ]);
    expect(needs.map(({ unmetLitres }) => unmetLitres)).toEqual([0, 32.5, 13]);
    expect(needs[1]!.byBath.map(({ bags }) => bags)).toEqual([3, 2]);
  });
  test('covered until the first short bag round covers; to the end where none is short', () => {
    const plan = known();
    const short = firstShort(roundNeeds(plan), 0);
    expect(short?.round.at).toBe(360);
    expect(coveredUntil(plan, short, 0)).toBe(420);
    // Within a round that is short it is not covered from now on.
    expect(coveredUntil(plan, short, 500)).toBe(500);
    const enough = known({
      stock: ['2K', '4K'].map((bath) => ({
        lot: bath,
        bath,
        bags: 20,
        litres: 6.5,
        ready: null,
        expires: null,
      })),
    });
    expect(firstShort(roundNeeds(enough), 0)).toBeNull();
    expect(coveredUntil(enough, null, 0)).toBe(1440);
  });
  test('a short round whose bags have all been hung is past', () => {
    expect(firstShort(roundNeeds(known()), 1140)?.round.at).toBe(1080);
  });
  test('next rounds have not left yet', () => {
    const next = (now: number) => nextRounds(roundNeeds(known()), now, 2).map(({ round }) => round.at);
    expect(next(0)).toEqual([0, 360]);
    expect(next(1)).toEqual([360, 1080]);
    expect(next(361)).toEqual([1080]);
  });
});

describe('need of the beds', () => {
  test('what runs, the next bag, bags to the end of the day', () => {
    const [one, two] = bedNeeds(known(), 300);
    expect(one).toMatchObject({ id: 'bed-01', bath: 0, next: 410, bagsToday: 6 });
    expect([one!.rate, one!.flow]).toEqual([1900, 1900]);
    expect(two).toMatchObject({ id: 'bed-02', bath: 1, rate: 0, next: 600, bagsToday: 2 });
    expect(bedNeeds(known(), 901)[1]).toMatchObject({ bath: null, rate: 0, next: null, bagsToday: 0 });
  });
  test('the flow of the pump beside its mean over the day: 1,150 mL/h for 20 h are 958 mL/h', () => {
    // 46 kg x 25 mL/kg/h = 1,150 mL/h; x 20 / 24 = 958.3: arithmetic.
    const [bed] = bedNeeds(
      known({ patients: [{ id: 'a', weight: 46, dose: 25, hoursPerDay: 20, bath: '2K' }] }),
      10,
    );
    expect(bed!.flow).toBe(1150);
    expect(bed!.rate).toBeCloseTo(958.33, 2);
  });
  test('"From what?" of today, of a bag round and of how long it is covered', () => {
    const plan = { ...known(), activities: [] };
    const today = answer(plan, { of: 'hung', from: 0, to: 600 });
    expect([today.value, today.unit, today.parts().map(({ value }) => value)]).toEqual([3, 'bags', [3, 0]]);
    const round = answer(plan, { of: 'roundBags', round: 1 });
    expect([round.value, round.parts().map(({ value }) => value)]).toEqual([5, [3, 2]]);
    const covered = answer(plan, { of: 'covered', minute: 60 });
    // Covered until minute 420 (above), asked at 60: 6 h; 32.5 L of two baths are unmet then.
    expect(covered.value).toBe(6);
    expect(covered.parts().reduce((litres, { value }) => litres + value, 0)).toBe(32.5);
    expect(bagsHung(plan.demand, 2, { from: 0, to: 600 })).toEqual([3, 0]);
  });
  test('the day ends at local midnight, at most at the horizon', () => {
    const zoned = (start: string) =>
      compile(tinyWorld({ timeZone: 'America/Chicago', start, days: 2, water: tinyWorld().water }));
    expect(endOfDay(zoned('2031-02-03T07:00'), 0)).toBe(17 * 60);
    // On 9 March 2031 the clocks go forward (US rule: second Sunday of March): the day has 23 h.
    expect(endOfDay(zoned('2031-03-09T00:00'), 0)).toBe(23 * 60);
    expect(endOfDay(zoned('2031-02-03T07:00'), 2 * 1440 - 5)).toBe(2 * 1440);
  });
});
