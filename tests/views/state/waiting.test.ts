import { describe, expect, test } from 'vitest';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN, type Plan } from '../../../src/plan/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Event } from '../../../src/views/state/events.ts';
import { invented } from '../../browser/scenario.ts';
import { opened, planOf, type Told } from './session.ts';

const week = { ...invented(3, 1), stock: [] };
const better = planOf(week);
/** The same with a test of the water more than it needs: as good for the beds, and more work. */
const worse: Plan = asPlan(
  compile(week),
  [
    ...better.activities,
    {
      kind: 'test',
      water: week.water[0]!.id,
      start: 1200,
      end: 1200 + (week.water[0]!.testMinutes ?? compile(week).water[0]!.testMinutes),
    },
  ],
  { bound: NOTHING_PROVEN, remarks: [], seconds: 0 },
);
const told = (plan: Plan, run: number): Event => ({
  is: 'progress',
  run,
  progress: {
    done: 0.2,
    score: plan.score,
    bound: null,
    activities: plan.activities,
    begun: true,
    settled: true,
  },
});
const look: Event = { is: 'arrange', arrangement: 'technician' };
const away: Event = { is: 'arrange', arrangement: 'administrator' };
/** A first search that has shown the worse plan so far, on screen when this is looked at. */
const shown = (...before: Event[]): Told => {
  const so = opened(week).hears(...before);
  return so.hears(told(worse, so.session.run!.number));
};
const ends = (so: Told, plan = better): Told =>
  so.hears({ is: 'planned', run: so.session.run!.number, plan });
const onScreen = ({ session }: Told) => session.planned!.plan.score.handsOnMinutes;

describe('a better plan', () => {
  test('there is one', () => {
    expect(worse.score.handsOnMinutes).toBeGreaterThan(better.score.handsOnMinutes);
    expect(shown().session.planned!.verdict.violations).toEqual([]);
  });
  test('goes on screen while nobody looks at the tasks, during the search and at its end', () => {
    const so = shown(away);
    so.hears(told(better, so.session.run!.number));
    expect(onScreen(so)).toBe(better.score.handsOnMinutes);
    expect(onScreen(ends(shown(away)))).toBe(better.score.handsOnMinutes);
    expect(ends(shown(away)).session.waiting).toBeNull();
  });
  test('waits where a technician looks at the tasks, and comes when it is taken', () => {
    const so = shown(look);
    so.hears(told(better, so.session.run!.number));
    expect(onScreen(so)).toBe(worse.score.handsOnMinutes);
    ends(so);
    expect(onScreen(so)).toBe(worse.score.handsOnMinutes);
    expect(so.session.waiting!.plan.score.handsOnMinutes).toBe(better.score.handsOnMinutes);
    so.hears({ is: 'waitingAnswered', take: true });
    expect(onScreen(so)).toBe(better.score.handsOnMinutes);
    expect(so.session.waiting).toBeNull();
    expect(so.session.planned!.proof.state).toBe('running');
  });
  test('is dropped when the one on screen stays', () => {
    const so = ends(shown(look)).hears({ is: 'waitingAnswered', take: false });
    expect(onScreen(so)).toBe(worse.score.handsOnMinutes);
    expect(so.session.waiting).toBeNull();
  });
  test('waits for who has printed or exported the plan, whatever is on screen', () => {
    expect(onScreen(ends(shown(away).hears({ is: 'used' })))).toBe(worse.score.handsOnMinutes);
  });
  test('waits where a task is asked about', () => {
    const so = shown(away).hears({ is: 'select', part: { activity: worse.activities[0]! } });
    expect(onScreen(ends(so))).toBe(worse.score.handsOnMinutes);
  });
  test('does not wait where a person asked for it', () => {
    const so = ends(shown(look)).hears({ is: 'waitingAnswered', take: false });
    so.hears({ is: 'replan', anew: true });
    expect(onScreen(ends(so))).toBe(better.score.handsOnMinutes);
  });
  test('is gone once something is typed: it answers what was typed before', () => {
    const so = ends(shown(look)).hears({
      is: 'edit',
      act: {
        label: 'weight',
        recipe: ({ patients }) => {
          patients[0]!.weight = 180;
        },
      },
    });
    expect(so.session.waiting).toBeNull();
  });
  test('does not wait where it answers an edit, though the plan before was put right and shown meanwhile', () => {
    const so = ends(shown(look), worse).hears({ is: 'waitingAnswered', take: false });
    so.hears({
      is: 'edit',
      act: {
        label: 'note',
        recipe: (draft) => {
          draft.title = 'The same week under another name (invented)';
        },
      },
    });
    so.hears(told(worse, so.session.run!.number));
    expect(onScreen(so)).toBe(worse.score.handsOnMinutes);
    so.hears({ is: 'planned', run: so.session.run!.number, plan: better });
    expect(onScreen(so)).toBe(better.score.handsOnMinutes);
    expect(so.session.waiting).toBeNull();
  });
  test('what is kept when a search is ended waits too', () => {
    const so = shown(look);
    so.hears(told(better, so.session.run!.number), { is: 'cancelPlanning' });
    expect(onScreen(so)).toBe(worse.score.handsOnMinutes);
    expect(so.session.waiting!.plan.score.handsOnMinutes).toBe(better.score.handsOnMinutes);
  });
  test('while a first search goes on, one that leaves less unmet does not wait', () => {
    const none = asPlan(compile(week), [], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
    const so = opened(week).hears(look);
    so.hears(told(none, so.session.run!.number));
    expect(so.session.planned!.plan.activities).toEqual([]);
    so.hears(told(better, so.session.run!.number));
    expect(onScreen(so)).toBe(better.score.handsOnMinutes);
  });
});
