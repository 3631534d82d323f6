import { describe, expect, it } from 'vitest';
import { audit, auditPlan } from '../../src/audit/audit.ts';
import { lostOf, lostRemarks } from '../../src/planner/lost.ts';
import { plan } from '../../src/planner/plan.ts';
import { replan } from '../../src/planner/replan.ts';
import { compile, type Problem } from '../../src/scenario/problem.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, fill, tinyWorld } from '../world.ts';
import { drawn, at as weekAt } from './worlds.ts';

const out = (from: number, to: number): Scenario['machines'] => [
  { ...tinyWorld().machines[0]!, available: [{ from: at(from), to: at(to) }] },
];
/** A circuit at 00:10, fills that end at 01:45 and 02:58, another bath at 03:06, a fill of it that ends at 04:21. */
const DONE = [circuit(10), ...batch(40), ...batch(113), bathChange(186), ...batch(196, '4K')];
const lostIn = (change: Partial<Scenario>, now: number) => {
  const problem = compile(tinyWorld(change));
  const lost = lostOf(problem, DONE, now);
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

  it('is told, machine by machine', () => {
    const problem = compile(tinyWorld({ machines: out(0, 150) }));
    expect(lostRemarks(problem, lostOf(problem, DONE, 150))).toEqual([
      'M1 is out of service for the fill of 2K that began 2031-02-03 01:53: taken as lost, no bags of it count. What it used is not deducted; put right what is on hand.',
    ]);
    expect(lostRemarks(problem, new Set([circuit(0)]))).toEqual([]);
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
    expect(lostRemarks(problem, lostOf(problem, made.activities, now))).toEqual([
      expect.stringMatching(/^M1 is out of service for the fill of /),
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
