import { describe, expect, test } from 'vitest';
import { type Held, playMany, servedOf } from '../../src/hold/hold.ts';
import { ENOUGH, type Learned, withLearned } from '../../src/hold/learned.ts';
import { servedShare, slackLadder, worthOffering } from '../../src/hold/offers.ts';
import { play } from '../../src/hold/play.ts';
import { playRemade } from '../../src/hold/remade.ts';
import { ASSUMED } from '../../src/hold/variation.ts';
import type { Activity, Score } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import {
  clearFirst,
  doFirst,
  holdRows,
  learnedText,
  slackRows,
  slackText,
  slackTold,
} from '../../src/reports/holdText.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { NO_SLACK } from '../../src/scenario/problem/slack.ts';
import type { Slack } from '../../src/scenario/problem/types.ts';
import { fill, swap } from '../world.ts';
import { QUIET, tried, world } from './world.ts';

describe('a margin before a bag round', () => {
  // Swaps 0 to 10 whole minutes late, each as likely: with m minutes to spare the round is served on m + 1 of 11 days.
  const { rules } = compile(world());
  const latest = 360 - rules.releaseMinutes - rules.swapMinutes - 65;
  const servedOn = (margin: number, late: number): boolean => {
    const what = tried(world(), [fill(latest - margin), swap(latest - margin + 65)]);
    const chance = () => (late + 0.5) / 11;
    const { done } = play(what.problem, what.activities, { variation: { ...QUIET, swapLate: 10 }, chance });
    return servedOf(what, [done]).rounds[0]!.full === 1;
  };
  test.each([0, 1, 4, 9, 10, 30])(
    'of %i min serves it on that many days and one more of eleven',
    (margin) => {
      const days = Array.from({ length: 11 }, (_, late) => servedOn(margin, late)).filter(Boolean).length;
      expect(days).toBe(Math.min(11, margin + 1));
    },
  );
  test('that is wider never serves on fewer days of the same seeds', () => {
    const shares = [0, 2, 5, 8, 12, 40].map((margin) => {
      const what = tried(world(), [fill(latest - margin), swap(latest - margin + 65)]);
      return servedShare(playMany(what, { ...QUIET, slower: 0.08, swapLate: 9 }, { runs: 300, seed: 5 }));
    });
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(shares[0]).toBeLessThan(shares.at(-1)!);
  });
  test('is what the planner leaves: a plan with slack holds on every day that is late by no more', async () => {
    const slack = { ...NO_SLACK, roundMinutes: 15 };
    const scenario = world({ slack: { ...slack } });
    const { activities } = await plan(compile(scenario), { tries: 50 });
    const what = tried(scenario, activities);
    const { rounds } = playMany(what, { ...QUIET, swapLate: 10 }, { runs: 200, seed: 2 });
    expect(rounds.map(({ full }) => full)).toEqual([200]);
  });
});

const heldOn = (full: number): Held => ({ runs: 100, rounds: [{ round: 1, full }], all: full });
const scored = (handsOnMinutes: number, unmetLitres = 0): Score => ({
  unmetLitres,
  unmetLitreHours: 0,
  reserveShort: 0,
  handsOnMinutes,
  expiredBags: 0,
});

describe('plans with slack that are offered', () => {
  const offer = (minutes: number, full: number, unmet = 0) => ({
    slack: NO_SLACK,
    activities: [],
    score: scored(minutes, unmet),
    held: heldOn(full),
  });
  const itself = { score: scored(1000), held: heldOn(18) };
  test('hold better than the plan itself, and none costs as much as one that holds at least as well', () => {
    const offers = [offer(1100, 70), offer(1020, 91), offer(1010, 40), offer(1040, 91), offer(990, 18)];
    expect(worthOffering(itself, offers).map(({ score }) => score.handsOnMinutes)).toEqual([1010, 1020]);
  });
  test('leave nothing unmet that the plan itself serves', () => {
    expect(worthOffering(itself, [offer(1010, 99, 6.5)])).toEqual([]);
  });
  test('leave nothing unmet sooner, and say what they keep less in reserve', () => {
    const sooner = { ...offer(1010, 99), score: { ...scored(1010), unmetLitreHours: 1 } };
    expect(worthOffering(itself, [sooner])).toEqual([]);
    const less = { ...offer(1010, 99), score: { ...scored(1010), reserveShort: 12 } };
    const [row, full] = slackRows(itself, [less, offer(1010, 99)]);
    expect(row!.unmet).toBe('0 L; 12 bags less in reserve');
    expect(full!.unmet).toBe('0 L');
  });
  test('ask for little where need is unmet: every minute of a machine is wanted', () => {
    const problem = compile(world());
    const least = (slack: Slack) => slack.roundMinutes + slack.testMinutes + slack.circuitMinutes;
    const [calm, short] = [slackLadder(problem), slackLadder(problem, 26)];
    expect(Math.max(...short.map(least))).toBeLessThan(Math.min(...calm.map(least)));
    for (const { restMinutes, bags } of short) expect([restMinutes, bags]).toEqual([0, 0]);
    expect(new Set(short.map(slackText)).size).toBe(short.length);
    expect(short.map(slackText)).not.toContain('None');
  });
  test('are looked for in a ladder of few steps, each with slack', () => {
    const ladder = slackLadder(compile(world()));
    expect(ladder.length).toBeLessThanOrEqual(8);
    expect(new Set(ladder.map((one) => JSON.stringify(one))).size).toBe(ladder.length);
    expect(ladder.map(slackText)).not.toContain('None');
  });
});

describe('a day on which the plan is remade at each mishap', () => {
  const scenario = world();
  const remade = (activities: readonly Activity[]) => ({
    ...tried(scenario, activities),
    scenario,
    noted: [],
  });
  const start = 120;
  const made = [fill(start), swap(start + 65)];
  test('without a mishap is the plan itself, and planned no second time', async () => {
    const { held, plans } = await playRemade(remade(made), QUIET, { seed: 1, day: 0 });
    expect(held.rounds).toEqual([{ round: 1, full: 1 }]);
    expect(plans).toBe(0);
  });
  test('fills again what a machine lost, in time for the round; without a new plan the round goes short', async () => {
    // The machine is down for 5 min in most hours: of days on which the only fill is lost, most leave time for another.
    const down = { perDay: 12, minutes: 5 };
    const days = Array.from({ length: 12 }, (_, day) => day);
    const plain = playMany(tried(scenario, made), { ...QUIET, down }, { runs: days.length, seed: 3 });
    let full = 0;
    for (const day of days) {
      const { held } = await playRemade(remade(made), { ...QUIET, down }, { seed: 3, day });
      full += held.rounds[0]!.full;
    }
    expect(plain.rounds[0]!.full).toBeLessThan(days.length);
    expect(full).toBeGreaterThan(plain.rounds[0]!.full);
  });
  test('comes again with the same seed', async () => {
    const asked = () => playRemade(remade(made), { ...ASSUMED, swapLate: 15 }, { seed: 4, day: 2 });
    expect(await asked()).toEqual(await asked());
  });
});

describe('what a record shows', () => {
  const learned = (cases: number): Learned => ({
    off: { cases, minutes: 4 },
    tests: { cases, failed: 3 },
    down: { cases, perDay: 0.2, minutes: 95.4 },
  });
  test('takes the place of what is typed from so many cases on, and of none below', () => {
    expect(withLearned(ASSUMED, learned(ENOUGH - 1))).toEqual(ASSUMED);
    // Up to 8 min late, each as likely, are 4 min on average.
    expect(withLearned(ASSUMED, learned(ENOUGH))).toEqual({
      ...ASSUMED,
      slower: 0,
      swapLate: 8,
      testFails: 3 / ENOUGH,
      down: { perDay: 0.2, minutes: 95 },
    });
  });
  test('is told with its number of cases, and what is too little with what is needed', () => {
    expect(learnedText(learned(12))[0]).toBe(
      '12 fills with bags off. Too few to count: 30 are needed, so what is typed stays.',
    );
    expect(learnedText(learned(40))[1]).toBe('40 total chlorine tests. 3 failed.');
  });
});

describe('words', () => {
  test('no share stands alone: it is of days, and never bad', () => {
    const { problem } = tried(world(), []);
    const [row] = holdRows(problem, heldOn(18), { runs: 20, rounds: [{ round: 1, full: 19 }], all: 19 });
    expect(row).toMatchObject({ share: '18 % of days', remade: '19 of 20 days', tone: 'warn' });
    expect(holdRows(problem, heldOn(0))[0]).toMatchObject({
      share: 'no day played',
      remade: '',
      tone: 'warn',
    });
  });
  test('where need is unmet already, that is said first, and slack is looked for that leaves no more', () => {
    const { clock } = compile(world());
    expect(clearFirst(clock, 26, { round: 1, at: 360 })).toMatch(
      /^Clear what is unmet first\. This plan leaves 26 L unmet, first in the bag round of .+06:00\.$/,
    );
    const told = (of: Partial<Parameters<typeof slackTold>[0]>) =>
      slackTold({ tried: 4, of: 4, rows: 0, unmet: 26, ...of });
    expect(told({ tried: 1 })).toBe('Tried 1 of 4 plans with slack that leave no more unmet.');
    expect(told({})).toBe(
      '4 plans with slack tried. None holds better without leaving more unmet. Keep this plan.',
    );
    expect(told({ unmet: 0 })).toBe('4 plans with slack tried. None holds better than this one.');
    expect(told({ rows: 1 })).toBe('4 plans with slack tried. Pick one, or keep this plan.');
    for (const tasks of [0, 3]) expect(doFirst(tasks, '15 min', 26)).not.toMatch(/slack|round short/);
    const { problem } = tried(world(), []);
    expect(holdRows(problem, heldOn(0), null, new Set([1]))[0]).toMatchObject({
      share: 'short as planned',
      sure: '',
      tone: 'warn',
    });
  });
  test('what to do comes first, in sentences of at most 20 words', () => {
    for (const unmet of [0, 26])
      for (const tasks of [0, 1, 3])
        for (const sentence of doFirst(tasks, '15 min', unmet).split(/(?<=\.) /))
          expect(sentence.split(' ').length).toBeLessThanOrEqual(20);
    expect(doFirst(3, '15 min', 0)).toMatch(/^Do first: begin these 3 tasks on time\./);
  });
});
