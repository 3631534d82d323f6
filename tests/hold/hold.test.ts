import { describe, expect, test } from 'vitest';
import { chanceOf } from '../../src/capacity/draws/random.ts';
import { harmOf, playMany, type Tried, wilson } from '../../src/hold/hold.ts';
import { play } from '../../src/hold/play.ts';
import { beginnings, type Variation } from '../../src/hold/variation.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { at, fill, swap, test as waterTest } from '../world.ts';
import { QUIET, tried, world } from './world.ts';

/** Two machines, people for both, and one round that needs more than they can fill by then: 120 bags. */
const TWO = world({
  patients: Array.from({ length: 10 }, (_, n) => ({
    id: `bed-${n}`,
    weight: 130,
    dose: 50,
    bath: '2K',
    from: at(420),
    until: at(420 + 720),
  })),
  machines: ['M1', 'M2'].map((id) => ({
    id,
    flow: 800,
    positions: 8,
    water: 'RO',
    loaded: { bath: '2K', circuitSince: at(0) },
  })),
  shifts: [{ id: 'all', from: '00:00', to: '00:00', technicians: 4 }],
  rules: { rounds: ['06:00'] },
});
const RUNS = 2000;
// 65 to 75 min fill 8 bags of 6.5 to 7.5 L at 800 mL/min (common practice, no source).
const once = (start: number, minutes = 65): Activity[] => [
  fill(start, '2K', 'M1', minutes),
  swap(start + minutes),
];
const shareOf = (what: Tried, variation: Variation): number => {
  const { rounds } = playMany(what, variation, { runs: RUNS, seed: 7 });
  expect(rounds.map(({ round }) => round)).toEqual([1]);
  return rounds[0]!.full / RUNS;
};
/** Four standard errors of a share: one test of ten thousand fails by chance, and the seed is fixed. */
const near = (share: number, truth: number) =>
  expect(Math.abs(share - truth)).toBeLessThanOrEqual(4 * Math.sqrt((truth * (1 - truth)) / RUNS) + 1e-9);

describe('a plan is played', () => {
  test('where nothing differs, to the minute as it was made', () => {
    const what = tried(world(), [...once(60), waterTest(135), ...once(150, 70)]);
    const { done, late } = play(what.problem, what.activities, { variation: QUIET, chance: () => 0.5 });
    const sorted = (list: readonly Activity[]) => list.map((one) => JSON.stringify(one)).sort();
    expect(sorted(done)).toEqual(sorted(what.activities.filter(({ kind }) => kind !== 'swap')));
    expect(late.filter((minutes) => minutes !== null)).toEqual([0, 0, 0]);
    expect(shareOf(what, QUIET)).toBe(1);
  });
  test('what is slower takes its swap and all that follows along', () => {
    const what = tried(world(), [...once(60), ...once(133)]);
    const { done } = play(what.problem, what.activities, {
      variation: { ...QUIET, slower: 0.1 },
      chance: () => 0.5,
    });
    // 65 min and a half of 10 %: 69 (68.25); the swap takes 8; the next begins at 137.
    expect(done.map(({ start, end }) => [start, end])).toEqual([
      [60, 129],
      [137, 206],
    ]);
  });
  test('a fill that no longer fits its circuit is left out', () => {
    const what = tried(
      world({
        machines: [
          { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(-1380) } },
        ],
        rules: { rounds: ['06:00', '14:00'], circuitHours: 24 + 1 / 12 },
      }),
      once(0),
    );
    expect(
      play(what.problem, what.activities, { variation: QUIET, chance: () => 0 }, { delay: () => 0 }).done,
    ).toHaveLength(1);
    expect(
      play(what.problem, what.activities, { variation: QUIET, chance: () => 0 }, { delay: () => 1 }).done,
    ).toHaveLength(0);
  });
});

describe('a machine that goes down', () => {
  test('while bags come off keeps the circuit, and gives its water back once', () => {
    const what = tried(world(), [...once(10), ...once(83)]);
    // The first fill ends at 75, its swap at 83. Waits of -ln(1 - u) x 10 min: down at 78, and again at 178.
    const waits = [78.5, 100].map((minutes) => 1 - Math.exp(-minutes / 10));
    const chance = () => waits.shift() ?? 0.999_999_999;
    const down = { perDay: 144, minutes: 5 };
    const { done } = play(what.problem, what.activities, {
      variation: { ...QUIET, down },
      chance,
    });
    expect(done.map(({ start, end }) => [start, end])).toEqual([
      [10, 75],
      [83, 148],
    ]);
  });
});

describe('a duty at a water source', () => {
  // 65 min fill 8 bags of 6.5 L at 800 mL/min (common practice, no source).
  const duty = (start: number, minutes = 30): Activity => ({
    kind: 'duty',
    duty: 'Disinfect RO',
    at: 120,
    water: 'RO',
    start,
    end: start + minutes,
  });
  const disinfect = (slackMinutes: number) => ({
    id: 'Disinfect RO',
    place: 'RO',
    times: [at(120).slice(11)],
    minutes: 30,
    slackMinutes,
    technicians: 0,
  });
  const played = (slackMinutes: number, late: number) => {
    const what = tried(world({ duties: [disinfect(slackMinutes)] }), [...once(55), duty(120), ...once(150)]);
    const { done } = play(
      what.problem,
      what.activities,
      { variation: QUIET, chance: () => 0.5 },
      { delay: (index) => (index === 0 ? late : 0), until: 300 },
    );
    return done.map(({ kind, start, end }) => `${kind} ${start} ${end}`).sort();
  };
  test('waits within its slack for a late fill to end, and fills wait for it', () => {
    expect(played(60, 0)).toEqual(['duty 120 150', 'fill 150 215', 'fill 55 120']);
    expect(played(60, 7)).toEqual(['duty 127 157', 'fill 157 222', 'fill 62 127']);
  });
  test('is not done where it would be later than its slack', () => {
    expect(played(5, 7)).toEqual(['fill 150 215', 'fill 62 127']);
  });
});

describe('a day under way', () => {
  test('what has begun goes on with its own window; the rest follows', () => {
    const base = tried(world(), [...once(60), ...once(133)]);
    const what = { ...base, problem: { ...base.problem, now: 100 } };
    const { done } = play(what.problem, what.activities, { variation: QUIET, chance: () => 0.5 });
    expect(done.map(({ start, end }) => [start, end])).toEqual([
      [60, 125],
      [133, 198],
    ]);
  });
  test('rounds after the end that was asked for are not told, nor played', () => {
    const what = { ...tried(world(), once(60)), until: 300 };
    expect(playMany(what, QUIET, { runs: 1, seed: 1 }).rounds).toEqual([]);
  });
});

describe('chances against closed forms', () => {
  test('swaps up to 19 minutes late, bags overfull after 10: 11 of 20', () => {
    near(shareOf(tried(world(), once(60)), { ...QUIET, swapLate: 19 }), 11 / 20);
  });
  test('a test that fails holds back what was filled before it', () => {
    // After the fill and before the round; nothing else is planned that could serve it.
    const what = tried(world(), [...once(100), waterTest(180)]);
    near(shareOf(what, { ...QUIET, testFails: 0.3 }), 0.7);
  });
  test('a machine down: the fill lives if nothing begins during it, nor so shortly before that it waits too long', () => {
    // Ready at the end of its fill + 8 + 15 (the defaults), to leave at 06:00: it may begin 2 min late, no more.
    const { problem } = tried(world(), []);
    const { swapMinutes, releaseMinutes } = problem.rules;
    const start = 360 - releaseMinutes - swapMinutes - 65 - 2;
    const what = tried(world(), once(start));
    const down = { perDay: 2, minutes: 100 };
    // Poisson: none in the 65 minutes of the fill, nor in the 98 before that would make it begin more than 2 min late.
    near(shareOf(what, { ...QUIET, down }), Math.exp((-2 * (65 + 97)) / 1440));
  });
  test('things begin as often as a Poisson process says', () => {
    let seed = 1;
    const chance = () => {
      seed = (seed * 48_271) % 2_147_483_647;
      return seed / 2_147_483_647;
    };
    const counts = Array.from(
      { length: 4000 },
      () => beginnings({ perDay: 3, minutes: 1 }, 1440, chance).length,
    );
    const mean = counts.reduce((a, b) => a + b, 0) / counts.length;
    const variance = counts.reduce((a, b) => a + (b - mean) ** 2, 0) / counts.length;
    expect(Math.abs(mean - 3)).toBeLessThan(0.12);
    expect(Math.abs(variance - 3)).toBeLessThan(0.3);
  });
  // Wilson's interval for 8 of 10, 95 %: 0.490 to 0.943 (Newcombe 1998, Statistics in Medicine 17, by the same formula; from memory).
  test('how sure a share is', () => {
    expect(wilson(8, 10).map((bound) => Number(bound.toFixed(3)))).toEqual([0.49, 0.943]);
    expect(wilson(0, 100)[0]).toBe(0);
  });
});

describe('what hurts most when late', () => {
  test('a task whose lateness leaves a round short stands first, one that can wait is not told', () => {
    const { problem } = tried(world(), []);
    const start = 360 - problem.rules.releaseMinutes - problem.rules.swapMinutes - 65;
    const what = tried(world(), [...once(start), ...once(600)]);
    const harm = harmOf(what, 15);
    expect(harm.map(({ index }) => index)).toEqual([0]);
    expect(harm[0]!.litres).toBeGreaterThan(0);
  });
  // A second computation: no clock, no people. A task begins at its minute, or when the one before it on its machine is over;
  // what is ready for the only round, 8 bags a fill, is counted against its need.
  test('is the same by adding up the minutes of each machine, thirty drawn plans', () => {
    let told = 0;
    for (let seed = 1; seed <= 30; seed++) {
      const { problem, demand } = tried(TWO, []);
      const chance = chanceOf(seed, 0, 0);
      const activities = ['M1', 'M2'].flatMap((machine) => {
        let free = Math.floor(40 * chance());
        return [0, 1, 2, 3].flatMap(() => {
          const start = free + Math.floor(12 * chance() * (chance() < 0.5 ? 0 : 1));
          free = start + 73;
          return [fill(start, '2K', machine, 65), swap(start + 65, machine)];
        });
      });
      const need = demand.bags[0]![1]!;
      const shortOf = (late: number) => {
        let bags = 0;
        for (const machine of ['M1', 'M2']) {
          let free = 0;
          for (const [index, one] of activities.entries()) {
            if (one.kind !== 'fill' || one.machine !== machine) continue;
            const start = Math.max(free, one.start + (index === late ? 15 : 0));
            free = start + 73;
            if (free + problem.rules.releaseMinutes <= 360) bags += 8;
          }
        }
        return 6.5 * Math.max(0, need - bags);
      };
      const sums = activities.flatMap(({ kind }, index) => {
        const litres = kind === 'fill' ? shortOf(index) - shortOf(-1) : 0;
        return litres > 0 ? [{ index, litres }] : [];
      });
      sums.sort((a, b) => b.litres - a.litres || a.index - b.index);
      const harm = harmOf({ problem, demand, activities, until: problem.horizon }, 15);
      expect(harm, `plan ${seed}`).toEqual(sums);
      told += sums.length;
    }
    expect(told).toBeGreaterThan(30);
  });
  test('the same days come again, in one part or in two', () => {
    const what = tried(world(), once(60));
    const variation = { ...QUIET, swapLate: 19 };
    const whole = playMany(what, variation, { runs: 200, seed: 3 });
    const halves = [0, 100].map((from) => playMany(what, variation, { runs: 100, seed: 3, from }));
    expect(whole.rounds[0]!.full).toBe(halves[0]!.rounds[0]!.full + halves[1]!.rounds[0]!.full);
    expect(playMany(what, variation, { runs: 200, seed: 3 })).toEqual(whole);
  });
});
