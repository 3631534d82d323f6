import { describe, expect, it } from 'vitest';
import { audit, auditPlan } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import {
  bagsLost,
  filledBefore,
  machineOut,
  shiftDates,
  technicianMissing,
  waterFailed,
  waterFailure,
} from '../../../src/grid/happened.ts';
import { commit, NO_HISTORY, type Recipe } from '../../../src/grid/history.ts';
import { cover, lotsOfFills } from '../../../src/plan/cover.ts';
import type { Activity } from '../../../src/plan/plan.ts';
import { lostRemarks, plan, replan, settle } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, fill, swap, test, tinyWorld } from '../../world.ts';
import { chanceOf, drawn, at as weekAt } from '../worlds.ts';

const out = (from: number, to: number): Scenario['machines'] => [
  { ...tinyWorld().machines[0]!, available: [{ from: at(from), to: at(to) }] },
];
/** A circuit at 00:10, fills that end at 01:45 and 02:58, another bath at 03:06, a fill of it that ends at 04:21. */
const DONE = [circuit(10), ...batch(40), ...batch(113), bathChange(186), ...batch(196, '4K')];
/** A test holds for all of it. */
const water = [{ ...tinyWorld().water[0]!, testEvery: 480 }];
const lostIn = (change: Partial<Scenario>, now: number) => {
  const problem = compile(tinyWorld({ water, ...change }));
  const { lost } = settle(problem, DONE, now);
  return DONE.flatMap((one, index) => (lost.has(one) ? index : []));
};

describe('what a breakdown takes', () => {
  it('is nothing where all could be done, and nothing without a now', () => {
    expect(lostIn({}, 250)).toEqual([]);
    expect(lostIn({ machines: out(0, 150) }, 0)).toEqual([]);
  });

  it('is the fill under way and its swap; what was done before stays, what was to come is for the planner', () => {
    // Out at 02:30 = 150, now too: the fill 113 to 178 is lost; bath change and third fill had not begun.
    expect(lostIn({ machines: out(0, 150) }, 150)).toEqual([3, 4]);
  });

  it('is a fill whose swap no longer lies in the time of service', () => {
    expect(lostIn({ machines: out(0, 180) }, 180)).toEqual([3, 4]);
    expect(lostIn({ machines: out(0, 186) }, 186)).toEqual([]);
  });

  it('is all that ran on a set-up that is lost, up to the next one', () => {
    expect(lostIn({ machines: out(20, 1440) }, 250)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    // Out from 03:10 to 03:20: the bath change at 03:06 is lost, and with it the fill of that bath.
    const { machines } = tinyWorld();
    const available = [
      { from: at(0), to: at(190) },
      { from: at(195), to: at(1440) },
    ];
    expect(lostIn({ machines: [{ ...machines[0]!, available }] }, 250)).toEqual([5, 6, 7]);
  });

  it('is everything on a machine or a bath that is no longer there', () => {
    expect(lostIn({ machines: [{ ...tinyWorld().machines[0]!, id: 'M9' }] }, 250)).toHaveLength(DONE.length);
    expect(lostIn({ baths: [{ id: '2K' }] }, 250)).toEqual([5, 6, 7]);
  });

  it('moves the end of a fill under way within its window, to when somebody is there; else the fill is lost', () => {
    // The fill 113 to 178 (window 65 to 75 min: 178 to 188) is under way at 150.
    const ends = (from: number, to: number) => {
      const shifts = [
        { id: 'a', from: '00:00', to: at(from).slice(11), technicians: 1 },
        { id: 'b', from: at(to).slice(11), to: '00:00', technicians: 1 },
      ];
      const settled = settle(compile(tinyWorld({ water, shifts })), DONE, 150);
      const swaps = settled.activities.filter(({ kind, start }) => kind === 'swap' && start > 113);
      return [swaps[0]!.start, [...settled.lost.values()]];
    };
    expect(ends(170, 178)).toEqual([178, []]);
    expect(ends(170, 183)).toEqual([183, []]);
    expect(ends(170, 188)).toEqual([188, []]);
    expect(ends(170, 189)).toEqual([261, ['end', 'end']]);
    // Nothing else has changed, and where nothing has to it is the same plan.
    const same = settle(compile(tinyWorld({ water })), DONE, 150).activities;
    expect(same).toEqual(DONE);
  });

  it('ends a fill under way before its water would run untested', () => {
    // Tested at minute 0: with a test every 170 min the fill must be lost, it cannot end before 178.
    const every = (testEvery: number) => [{ ...water[0]!, testEvery }];
    expect(lostIn({ water: every(177) }, 150)).toEqual([]);
    expect(lostIn({ water: every(170) }, 150)).toEqual([3, 4]);
  });

  it('counts on tests of its own source that are done, and on none to come at which nobody is', () => {
    const sources = [{ ...tinyWorld().water[0]!, testEvery: 120 }];
    const other = { ...sources[0]!, id: 'W2' };
    const lostWith = (...tests: Activity[]) => {
      const world = tinyWorld({ water: [...sources, other] });
      return [...settle(compile(world), [...DONE, ...tests], 150).lost.values()];
    };
    // The one of minute 0 holds until 120: the fill of 113 to 178 needs the one that ends at 110.
    expect(lostWith(test(100))).toEqual([]);
    expect(lostWith(test(100, 'W2'))).toEqual(['end', 'end']);
    expect(lostWith(test(160))).toEqual(['end', 'end']);
    const testsLeft = (from: number, to: number) => {
      const shifts = [
        { id: 'a', from: '00:00', to: at(from).slice(11), technicians: 1 },
        { id: 'b', from: at(to).slice(11), to: '00:00', technicians: 1 },
      ];
      const { activities } = settle(compile(tinyWorld({ water, shifts })), [...DONE, test(300)], 150);
      return activities.filter(({ kind }) => kind === 'test').length;
    };
    expect([testsLeft(290, 300), testsLeft(310, 320), testsLeft(300, 301), testsLeft(309, 310)]).toEqual([
      1, 1, 0, 0,
    ]);
  });

  it('ends a fill as near to its planned minute as it can, the earlier of two, within the circuit', () => {
    // 113 to 183 is planned, 178 to 188 its window; a swap of 1 min, so that only the minute of its end counts.
    const done = [circuit(10), fill(113, '2K', 'M1', 70), swap(183, 'M1', 1)];
    const endOf = (from: number, to: number, circuitHours = 24) => {
      const shifts = [
        { id: 'a', from: '00:00', to: at(from).slice(11), technicians: 1 },
        { id: 'b', from: at(to).slice(11), to: '00:00', technicians: 1 },
      ];
      const problem = compile(tinyWorld({ water, shifts, rules: { swapMinutes: 1, circuitHours } }));
      const { activities, lost } = settle(problem, done, 150);
      return [...lost.values()][0] ?? activities.find(({ kind }) => kind === 'swap')!.start;
    };
    expect([endOf(182, 185), endOf(181, 185), endOf(182, 186)]).toEqual([181, 185, 181]);
    // A circuit begun at 10 ends at 187 after 2.95 h: the swap of 186 is its last.
    expect([endOf(178, 186, 2.95), endOf(178, 187, 2.95), endOf(178, 187)]).toEqual([186, 'end', 187]);
  });

  it('is told, machine by machine', () => {
    const problem = compile(tinyWorld({ machines: out(0, 150) }));
    expect(lostRemarks(problem, settle(problem, DONE, 150).lost)).toEqual([
      'M1 is unavailable: the fill of 2K that began 2031-02-03 01:53 does not count. Do not use its bags. Supplies it used are not deducted: correct what is on hand.',
    ]);
    expect(lostRemarks(problem, new Map([[circuit(0), 'service']]))).toEqual([
      'M1: the new circuit for 2K that began 2031-02-03 00:00 counts as not done: the circuit and bath before it count. Check what runs before the next fill.',
    ]);
    const late = compile(tinyWorld({ machines: out(20, 1440) }));
    expect(lostRemarks(late, settle(late, DONE, 250).lost)[0]).toMatch(
      /^M1 is unavailable: 3 fills do not count, the first of 2K that began 2031-02-03 00:40\./,
    );
  });
});

/** Two machines at work on an invented day, and a minute at which M1 is in the middle of a fill. */
const day = drawn(4, { days: 2, machines: 2, patients: 14, baths: 2 });
const worked = async () => {
  const problem = compile(day);
  const made = await plan(problem, { tries: 300 });
  expect(audit(problem, made.activities).ok).toBe(true);
  const under = made.activities.filter((one) => one.kind === 'fill' && one.machine === 'M1').at(-2)!;
  return { made, under, now: under.start + 20 };
};
const replanned = async (problem: Problem) => {
  const { made, under, now } = await worked();
  const again = await replan(problem, { previous: made.activities, now, tries: 100 });
  return { made, under, now, again };
};

describe('planning on from now', () => {
  it('after a breakdown in the middle of a fill: a valid plan, without its bags', async () => {
    const { now } = await worked();
    const machines = day.machines.map((row) =>
      row.id === 'M1' ? { ...row, available: [{ from: weekAt(0), to: weekAt(now) }] } : row,
    );
    const problem = compile({ ...day, machines });
    const { made, under, again } = await replanned(problem);
    expect(auditPlan(problem, again, { now })).toMatchObject({ ok: true, history: [] });
    expect(lostRemarks(problem, settle(problem, made.activities, now).lost)).toEqual([
      expect.stringMatching(/^M1 is unavailable: the fill of /),
    ]);
    const signs = new Set(again.activities.map((one) => JSON.stringify(one)));
    expect(signs.has(JSON.stringify(under))).toBe(false);
    // All else that had begun stands.
    for (const one of made.activities)
      if (one.start < now && one !== under) expect(signs, JSON.stringify(one)).toContain(JSON.stringify(one));
  });

  it('after a rule was made stricter: history breaks it and is told apart, the rest keeps it', async () => {
    const rules = { ...day.rules, swapMinutes: 12 };
    const problem = compile({ ...day, rules });
    const { now, again } = await replanned(problem);
    const judged = auditPlan(problem, again, { now });
    expect(judged.ok).toBe(true);
    expect(judged.history.length).toBeGreaterThan(0);
    for (const { start } of judged.history) expect(start).toBeLessThan(now);
    expect(auditPlan(problem, again).ok).toBe(false);
  });
});

describe('the audit of a plan under way', () => {
  it('forgives what was begun before now and ends with it, nothing else', () => {
    const problem = compile(tinyWorld());
    // Fills of a bath that does not run: the first was over, the second under way at minute 150.
    const wrong = [circuit(10), ...batch(40, '4K'), ...batch(113, '4K'), fill(200, '4K')];
    const rules = (now: number) => {
      const { ok, violations, history } = audit(problem, wrong, { now });
      return [ok, violations.length, history.length];
    };
    // Three baths, a fill without a swap, and water past its test at 04:01.
    expect(rules(0)).toEqual([false, 5, 0]);
    expect(rules(150)).toEqual([false, 3, 2]);
  });
});

describe('whatever happens while a plan is at work', () => {
  it.each(Array.from({ length: 20 }, (_, seed) => seed))(
    'the plan stays valid, and what was done stands, world %i',
    async (seed) => {
      const chance = chanceOf(seed * 17 + 3);
      const upTo = (n: number) => Math.floor(chance() * n);
      const machines = 1 + upTo(4);
      let scenario = drawn(seed, { days: 1 + upTo(2), machines, patients: 2 + 5 * machines, baths: 2 });
      let { activities } = await plan(compile(scenario), { tries: 150 });
      for (let now = 1 + upTo(600), step = 0; step < 3; step++, now += 1 + upTo(400)) {
        const before = compile(scenario);
        const { clock, horizon } = before;
        const covered = cover(before, demandOf(before), lotsOfFills(before, activities));
        const filled = filledBefore(before, activities, covered, now);
        const lost = filled.map((one) => ({ filled: one, bags: upTo(one.here + 1) }));
        const tests = activities.filter((one) => one.kind === 'test' && one.end <= now);
        const passed = tests.length > 0 ? tests[upTo(tests.length)]!.end : Number.NEGATIVE_INFINITY;
        const water = before.water[0]!.id;
        const { id } = scenario.machines[upTo(scenario.machines.length)]!;
        const dates = shiftDates(clock, horizon);
        const happens: Recipe = [
          machineOut(clock, horizon, id, now, now + 1 + upTo(800)),
          machineOut(clock, horizon, id, Math.max(0, now - upTo(60)), horizon),
          technicianMissing(clock, horizon, 0, dates[upTo(dates.length)]!, upTo(2) * now),
          (draft: Scenario) => {
            for (const source of draft.water) source.testEvery = Math.max(60, source.testEvery - 60);
          },
          bagsLost(before, lost),
          waterFailed(
            before,
            waterFailure(before, activities, filled, water, passed, now),
            now,
            now + upTo(2) * upTo(300),
          ),
        ][upTo(6)]!;
        scenario = commit({ scenario, history: NO_HISTORY }, 'test', happens).scenario;
        const problem = compile(scenario);
        const settled = settle(problem, activities, now);
        const made = await replan(problem, { previous: activities, now, tries: 50 });
        expect(auditPlan(problem, made, { now }).violations).toEqual([]);
        const signs = (list: readonly Activity[]) =>
          list.flatMap((one) => (one.start < now && one.kind !== 'test' ? JSON.stringify(one) : [])).sort();
        expect(signs(made.activities)).toEqual(signs(settled.activities));
        activities = made.activities;
      }
    },
  );
});
