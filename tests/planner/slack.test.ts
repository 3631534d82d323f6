import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { type Plan, placeOf } from '../../src/plan/plan.ts';
import { plan, replan } from '../../src/planner/plan.ts';
import { strictOf } from '../../src/planner/slack.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { NO_SLACK } from '../../src/scenario/problem/slack.ts';
import type { Problem, Slack } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { generate } from '../bench/generate.ts';
import { brokenBy, floored } from './floors.ts';
import { at, unit } from './worlds.ts';

const SLACK: Slack = {
  roundMinutes: 20,
  swapMinutes: 4,
  testMinutes: 25,
  circuitMinutes: 30,
  restMinutes: 3,
  bags: 4,
};
const worlds = Array.from({ length: 8 }, (_, seed) => {
  const scenario = generate({ seed, kind: 'tiny', variety: 0.3, machines: 2 + (seed % 2), days: 2 });
  return [seed, seed % 2 ? floored(scenario, seed) : scenario] as const;
});
const litres = ({ score }: Plan) => score.unmetLitres;

describe.each(worlds)('a plan with slack, world %i', (_, scenario) => {
  const problem = compile({ ...scenario, slack: { ...SLACK } });
  const plain = compile(scenario);
  const usable = plain.machines.every(({ shortest, longest }) => shortest <= longest);
  it.runIf(usable)(
    'breaks no rule as typed, counts the work of its real swaps, and need comes first',
    async () => {
      const made = await plan(problem, { tries: 60 });
      expect(audit(plain, made.activities).violations).toEqual([]);
      expect(brokenBy(plain, made.activities)).toEqual([]);
      const bare = await plan(plain, { tries: 60 });
      // Where slack costs bags, the plan without it counts.
      expect(litres(made)).toBeLessThanOrEqual(Math.max(1e-6, litres(bare)));
      const again = await replan(problem, { previous: made.activities, tries: 20 });
      expect(audit(plain, again.activities).violations).toEqual([]);
      // The same file, seed and work: the same plan.
      expect((await plan(problem, { tries: 60 })).activities).toEqual(made.activities);
    },
  );
});

/** One bed, one bath, two rounds: 8 bags of 6.5 to 7.5 L at 800 mL/min fill in 65 to 75 min (common practice, no source). */
const small: Scenario = unit({
  patients: [{ id: 'bed-01', weight: 80, dose: 25, bath: 'A', from: at(600) }],
  machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
  water: [{ id: 'W', capacity: 9000, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
  rules: { rounds: ['15:00', '21:00'], walkMinutes: 2, fillStartMinutes: 2 },
});
const typed: Slack = { ...SLACK, roundMinutes: 45, restMinutes: 6, bags: 0 };

describe('what slack asks for', () => {
  const problem = compile({ ...small, slack: { ...typed } });
  it('is there in the plan: before rounds, overfull bags, tests, and after swaps', async () => {
    const { activities, score, remarks } = await plan(problem, { tries: 200 });
    expect(score.unmetLitres).toBe(0);
    expect(remarks.join()).toContain('keeps slack');
    const { releaseMinutes, swapMinutes } = problem.rules;
    const fills = activities.filter(({ kind }) => kind === 'fill');
    expect(fills.length).toBeGreaterThan(0);
    for (const fill of fills) {
      const ready = fill.end + swapMinutes + releaseMinutes;
      const round = problem.rounds.find((one) => one.at >= ready)!;
      expect(round.at - ready).toBeGreaterThanOrEqual(typed.roundMinutes);
      expect(fill.end - fill.start).toBeLessThanOrEqual(75 - typed.swapMinutes);
      const next = activities.find(
        (one) => one.start >= fill.end + swapMinutes && 'machine' in one && placeOf(one) === 'M1',
      );
      if (next) expect(next.start - fill.end - swapMinutes).toBeGreaterThanOrEqual(typed.restMinutes);
      const tested = [0, ...activities.flatMap((one) => (one.kind === 'test' ? one.end : []))];
      for (let t = fill.start; t < fill.end; t++)
        expect(t - Math.max(...tested.filter((end) => end <= t))).toBeLessThanOrEqual(
          240 - typed.testMinutes,
        );
    }
  });
  it('counts nothing where none is typed: the same plan, to the minute, as without the field', async () => {
    const none = compile({ ...small, slack: { ...NO_SLACK } });
    expect(none.slack).toBeNull();
    const [a, b] = [await plan(none, { tries: 50 }), await plan(compile(small), { tries: 50 })];
    expect(a.activities).toEqual(b.activities);
    expect(a.remarks).toEqual(b.remarks);
  });
  it('is given up, and said to be, where bags would be missing for it', async () => {
    // No bag of the day can be ready 800 min before the last round, at minute 840: a fill, its swap and release take 88.
    const tight = compile({ ...small, slack: { ...typed, roundMinutes: 800 } });
    const made = await plan(tight, { tries: 100 });
    const bare = await plan(compile(small), { tries: 100 });
    expect(litres(made)).toBeLessThanOrEqual(litres(bare) + 1e-6);
    expect(litres(bare)).toBe(0);
    expect(made.remarks.join()).toContain('no slack');
  });
});

describe('stricter rules', () => {
  const strict = (slack: Partial<Slack>, problem: Problem) => strictOf(problem, { ...NO_SLACK, ...slack });
  const problem = compile(small);
  it('never ask for the impossible: half a test and half a circuit stay, and the shortest fill', () => {
    const most = strict({ testMinutes: 9999, circuitMinutes: 9999, swapMinutes: 9999 }, problem);
    expect(most.water[0]!.testEvery).toBe(120);
    expect(most.rules.circuitLife).toBe(720);
    expect(most.machines[0]!.longest).toBe(65);
  });
  it('want more bags in stock only of baths that somebody needs', () => {
    const two = compile({ ...small, baths: [...small.baths, { id: 'Z' }] });
    expect(strict({ bags: 4 }, two).minStock).toEqual(two.baths.map((bath) => (bath === 'A' ? 4 : 0)));
  });
  it('let people rest at least as long as they walk to what follows, or not at all where more would walk', () => {
    expect(strict({ restMinutes: 1 }, problem).rules.swapMinutes).toBe(8 + 2);
    const two = { ...problem, rules: { ...problem.rules, hands: { ...problem.rules.hands, bath: 2 } } };
    expect(strict({ restMinutes: 5 }, two).rules.swapMinutes).toBe(8);
  });
});
