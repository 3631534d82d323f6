import { describe, expect, test } from 'vitest';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import type { Event } from '../../../src/views/state/events.ts';
import { inUse } from '../../../src/views/state/files.ts';
import { reduce } from '../../../src/views/state/reduce.ts';
import { invented } from '../../browser/scenario.ts';
import { AT, opened, planOf, Told } from './session.ts';

const weigh = (weight: number): Event => ({
  is: 'edit',
  act: {
    label: 'weight of bed-01',
    recipe: (draft) => {
      draft.patients[0]!.weight = weight;
    },
  },
});
const proven = { unmetLitres: 0, handsOnMinutes: 30, remarks: [], rough: false };
const text = (scenario: unknown) => JSON.stringify(scenario);
// Without stock: there is something to fill.
const week = { ...invented(3, 1), stock: [] };

describe('edits', () => {
  test('demand follows at once, the plan after a wait; one act is one undo step', () => {
    const told = opened(week).plans();
    const before = told.session.demand!.bags.flat().reduce((sum, bags) => sum + bags, 0);
    told.hears(weigh(180));
    expect(told.session.demand!.bags.flat().reduce((sum, bags) => sum + bags, 0)).toBeGreaterThan(before);
    expect(told.session.history.past.map(({ label }) => label)).toEqual(['weight of bed-01']);
    expect(told.session.unsaved).toBe(true);
    expect(told.asked).toEqual(['stopPlanning', 'stopProving', 'plan']);
    expect(told.last.at(-1)).toMatchObject({ do: 'plan', wait: 300, request: { anew: false } });
  });
  test('an act that changes nothing does nothing', () => {
    const told = opened(week).plans();
    const { session } = told;
    told.hears(weigh(week.patients[0]!.weight));
    expect(told.session).toEqual(session);
    expect(told.asked).toEqual([]);
  });
  test('undo comes back to the plan that was there, and nothing is planned anew; redo to the other one', () => {
    const told = opened(week).plans();
    const first = told.session;
    told.hears(weigh(180)).plans();
    const second = told.session;
    told.hears({ is: 'undo' });
    expect(told.session.scenario).toBe(first.scenario);
    expect(told.session.planned!.plan.activities).toBe(first.planned!.plan.activities);
    expect(told.asked).not.toContain('plan');
    expect(told.session.unsaved).toBe(false);
    told.hears({ is: 'redo' });
    expect(told.session.planned!.plan.activities).toBe(second.planned!.plan.activities);
    expect(told.asked).not.toContain('plan');
  });
  test('undo before the plan was done: the search goes on from what it had', () => {
    const told = opened(week);
    told.hears(weigh(180)).plans().hears({ is: 'undo' });
    expect(told.asked).toContain('plan');
    expect(told.session.planning.state).toBe('planning');
  });
  test('an error stops planning and keeps the plan on screen as stale; put right, it is planned', () => {
    const told = opened(week).plans();
    const { planned } = told.session;
    told.hears(weigh(-5));
    expect(told.session.faults.some(({ level }) => level === 'error')).toBe(true);
    expect(told.session.planning.state).toBe('stale');
    expect(told.session.planned!.plan).toBe(planned!.plan);
    expect(told.asked).toEqual(['stopPlanning', 'stopProving']);
    told.hears(weigh(70));
    expect(told.asked).toContain('plan');
  });
  test('another start or zone: nothing is known to be done', () => {
    const told = opened(week).plans();
    told.hears({ is: 'set', part: { now: 300, holdPast: true } });
    told.hears({
      is: 'edit',
      act: {
        label: 'plan starts',
        recipe: (draft) => {
          draft.start = '2031-02-04T07:00';
        },
      },
    });
    expect(told.session).toMatchObject({ now: 0, holdPast: false, baseline: null });
    expect(told.last.at(-1)).toMatchObject({ do: 'plan', request: { previous: undefined, now: 0 } });
  });
});

test('a label that two rows have is marked where it was typed last', () => {
  const label = (row: number, id: string): Event => ({
    is: 'edit',
    act: {
      label: 'bed',
      recipe: (draft) => {
        draft.patients[row]!.id = id;
      },
    },
  });
  const told = opened(week).hears(label(0, 'bed-03'));
  const marked = () =>
    told.session.faults.filter(({ level }) => level === 'error').map(({ path }) => path.join('.'));
  expect(marked()).toEqual(['patients.0.id']);
  told.hears(label(0, 'bed-01'), label(2, 'bed-01'));
  expect(marked()).toEqual(['patients.2.id']);
});

describe('results that come late', () => {
  test('of a run that an edit ended nothing is heard', () => {
    const told = opened(week);
    const { number } = told.session.run!;
    told.hears(weigh(180));
    const { session } = told;
    const late = planOf(week);
    told.hears(
      { is: 'planned', run: number, plan: late },
      { is: 'planFailed', run: number, why: 'late' },
      { is: 'byHand', run: number, byHand: late },
      {
        is: 'progress',
        run: number,
        progress: {
          done: 0.5,
          score: late.score,
          activities: late.activities,
          bound: null,
          begun: true,
          settled: true,
        },
      },
    );
    expect(told.session).toEqual(session);
  });
  test('of a proof of another plan neither', () => {
    const told = opened(week).plans();
    const { number } = told.session.proving!;
    told.hears(weigh(180));
    const { session } = told;
    told.hears(
      { is: 'proven', run: number, state: 'proven', proven },
      { is: 'proofFailed', run: number, why: 'late' },
    );
    expect(told.session).toEqual(session);
  });
  test('the plan by hand may follow the plan', () => {
    const told = opened(week);
    const { number } = told.session.run!;
    told.plans().hears({ is: 'byHand', run: number, byHand: planOf(week) });
    expect(told.session.byHand).not.toBeNull();
  });
  test('what is learned of a plan that is no longer shown is dropped, and the question with it', () => {
    const told = opened(week).plans().hears({ is: 'explain' });
    const { of } = told.session.explained!;
    told.hears({ is: 'explaining', of, replans: 3 });
    expect(told.session.explained).toMatchObject({ state: 'asking', replans: 3 });
    told.hears(weigh(180)).plans(planOf(invented(2, 1)));
    expect(told.session.explained).toBeNull();
    expect(told.asked).toContain('stopExplaining');
    told.hears({ is: 'explained', of, shortages: [] });
    expect(told.session.explained).toBeNull();
  });
});

describe('planning', () => {
  test('the first file is planned from the beginning; the plan is shown judged, and then proven', () => {
    const told = opened(week);
    expect(told.last.at(-1)).toMatchObject({ do: 'plan', wait: 0, request: { anew: true } });
    told.plans();
    expect(told.session.planned).toMatchObject({
      madeAt: AT,
      verdict: { ok: true },
      proof: { state: 'running' },
    });
    expect(told.session).toMatchObject({ searched: true, quick: false, planning: { state: 'idle' } });
    expect(told.asked).toEqual(['prove']);
    told.hears({ is: 'proven', run: told.session.proving!.number, state: 'proven', proven });
    expect(told.session.planned!.plan.bound.handsOnMinutes).toBe(30);
    expect(told.session.planned!.proof.state).toBe('proven');
  });
  test('the best of a first search is shown meanwhile; cancelling keeps it and says so', () => {
    const told = opened(week);
    const best = planOf(week);
    const { number } = told.session.run!;
    const progress = {
      done: 0.25,
      score: best.score,
      activities: best.activities,
      bound: null,
      begun: false,
      settled: false,
    };
    told.hears({ is: 'progress', run: number, progress });
    expect(told.session.planning).toMatchObject({ state: 'planning', done: 0.25 });
    expect(told.session.planned!.plan.activities).toEqual(best.activities);
    told.hears({ is: 'cancelPlanning' });
    expect(told.session.planned!.plan.remarks).toEqual(['The best plan when planning was cancelled.']);
    expect(told.session).toMatchObject({ searched: false, planning: { state: 'idle' } });
    expect(told.asked).toEqual(['stopPlanning', 'stopProving', 'prove']);
  });
  describe('a proof beside the search', () => {
    /** With stock for the first day of two: fills can serve the second, and do. */
    const filled = invented(6, 2);
    const best = planOf(filled);
    const far = (begun: boolean, settled = false, plan = best): Event => ({
      is: 'progress',
      run: 1,
      progress: { done: 0.1, score: plan.score, activities: plan.activities, bound: null, begun, settled },
    });
    /** A plan that leaves all unmet, though fills could serve it. */
    const none = asPlan(compile(filled), [], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
    test('counting alone says at once how far the first plan may be from the best', () => {
      const { bound, score } = opened(filled).hears(far(false)).session.planned!.plan;
      expect(bound.unmetLitres).toBe(score.unmetLitres);
      expect(bound.handsOnMinutes).toBeGreaterThan(0);
      expect(bound.handsOnMinutes).toBeLessThanOrEqual(score.handsOnMinutes);
    });
    test('begins once the starts are tried and all that can be served is', () => {
      const told = opened(filled).hears(far(false));
      expect(told.asked).toEqual([]);
      expect(told.hears(far(true)).asked).toEqual(['prove']);
      expect(told.hears(far(true)).asked).toEqual([]);
    });
    test('waits for the short first stages where something may still be served', () => {
      const told = opened(filled).hears(far(true, false, none));
      expect(told.asked).toEqual([]);
      expect(told.hears(far(true, true, none)).asked).toEqual(['prove']);
    });
    test('what is proven of a plan holds for a better one while that is proven anew', () => {
      const told = opened(filled).hears(far(true, true, none));
      const bound = { unmetLitres: 0, handsOnMinutes: 31, remarks: [] };
      told.hears({ is: 'proven', run: told.session.proving!.number, state: 'proven', proven: bound });
      told.plans(best);
      expect(told.asked).toEqual(['prove']);
      expect(told.session.planned!.plan.bound.handsOnMinutes).toBeGreaterThanOrEqual(31);
      const weaker = { ...bound, handsOnMinutes: 12 };
      told.hears({ is: 'proven', run: told.session.proving!.number, state: 'running', proven: weaker });
      expect(told.session.proving!.proven!.handsOnMinutes).toBe(31);
    });
    test('ends the search where no plan can be better', () => {
      const told = opened(filled).hears(far(true));
      const { reserveShort, expiredBags, unmetLitres, handsOnMinutes } = best.score;
      expect([reserveShort, expiredBags, unmetLitres]).toEqual([0, 0, 0]);
      const bound = (minutes: number): Event => ({
        is: 'proven',
        run: told.session.proving!.number,
        state: 'running',
        proven: { unmetLitres: 0, handsOnMinutes: minutes, remarks: [] },
      });
      expect(told.hears(bound(handsOnMinutes - 1)).asked).toEqual([]);
      expect(told.hears(bound(handsOnMinutes)).asked).toEqual(['endSearch']);
    });
  });
  test('a search that fails says why; the plan before stays', () => {
    const told = opened(week).plans();
    const { planned } = told.session;
    told.hears(weigh(180));
    told.hears({ is: 'planFailed', run: told.session.run!.number, why: 'out of memory' });
    expect(told.session.planning).toMatchObject({ state: 'stale', failure: 'out of memory' });
    expect(told.session.planned!.plan).toBe(planned!.plan);
  });
  test('a proof that fails is told of, and asked for again with the next plan', () => {
    const told = opened(week).plans();
    told.hears({ is: 'proofFailed', run: told.session.proving!.number, why: 'the solver failed' });
    expect(told.session.planned!.proof).toEqual({ state: 'failed', why: 'the solver failed' });
    told.hears({ is: 'replan', anew: false }).plans();
    expect(told.asked).toEqual(['prove']);
  });
  test('changes count against the first plan until a person has taken note', () => {
    const told = opened(week).plans();
    told.hears(weigh(180)).plans();
    expect(told.session.planned!.changes!.since.activities).toBe(told.session.baseline!.activities);
    const { activities } = told.session.planned!.plan;
    told.hears({ is: 'noteChanges' });
    expect(told.session.baseline!.activities).toBe(activities);
    expect(told.session.planned!.changes).toMatchObject({ added: [], shifted: [], gone: [] });
  });
});

describe('now', () => {
  test('what is done by now goes to the file, and is held when it is planned again', () => {
    const told = opened(week).plans();
    told.hears({ is: 'set', part: { now: 120 } });
    expect(told.session.unsaved).toBe(false);
    expect(inUse(told.session)).toBeNull();
    told.hears({ is: 'set', part: { holdPast: true } });
    expect(told.session.unsaved).toBe(true);
    expect(inUse(told.session)).toMatchObject({ start: week.start, now: '2031-02-03T09:00' });
    told.hears({ is: 'replan', anew: false });
    expect(told.last.at(-1)).toMatchObject({ do: 'plan', request: { now: 120 } });
  });
  test('a file that keeps a plan shows it as it was left instead of making one', () => {
    const told = opened(week).plans();
    told.hears({ is: 'set', part: { now: 120, holdPast: true } });
    const { session } = told;
    const kept = { ...week, inUse: inUse(session)! } as unknown as Scenario;
    const again = opened(kept);
    expect(again.session).toMatchObject({ now: 120, holdPast: true, unsaved: false });
    expect(again.session.planned!.plan.activities).toEqual(session.planned!.plan.activities);
    expect(again.session.planned!.verdict.violations).toEqual([]);
    expect(again.asked).not.toContain('plan');
  });
});

describe('files', () => {
  const wish = (act: 'open' | 'save' | 'saveAs'): Event => ({ is: 'file', wish: { act }, stage: 'asked' });
  /** Answers what the last effect waits for. */
  const goOn = (told: Told) => {
    const [effect] = told.last;
    if (effect?.do === 'settle' || effect?.do === 'ask') told.hears(effect.next);
    return told;
  };
  test('what is being typed comes in first; edits are not left without a question', () => {
    const told = opened(week).hears(weigh(180));
    goOn(told.hears(wish('open')));
    expect(told.last).toMatchObject([{ do: 'ask', text: 'Leave without saving your edits?' }]);
    expect(goOn(told).asked).toEqual(['open']);
  });
  test('nothing to lose, no question; a variant that is kept is an edit until it is saved', () => {
    const told = opened(week);
    expect(goOn(told.hears(wish('open'))).asked).toEqual(['open']);
    told.hears({ is: 'set', part: { variants: [{ name: 'A', scenario: week, plan: null }] } });
    expect(told.session.unsaved).toBe(true);
    expect(goOn(told.hears(wish('open'))).asked).toEqual(['ask']);
  });
  test('variants go to the file with names and notes, and come back from it; their scenarios hold none of their own', () => {
    const told = opened(week);
    const kept = { ...week, title: 'With one dose less' };
    const variants = [{ name: 'A', title: 'less', note: 'asked by the board', scenario: kept, plan: null }];
    told.hears({ is: 'set', part: { variants } });
    goOn(told.hears(wish('save')));
    const [save] = told.last;
    if (save?.do !== 'save') throw new Error('nothing was saved');
    const file = JSON.parse(save.text);
    expect(file.variants).toMatchObject([{ name: 'A', title: 'less', note: 'asked by the board' }]);
    expect(file.variants[0].scenario.title).toBe('With one dose less');
    expect(file.variants[0].scenario.variants).toBeUndefined();
    const again = opened(file);
    expect(again.session.variants).toMatchObject([{ name: 'A', note: 'asked by the board', plan: null }]);
    expect(again.session.scenario.variants).toBeUndefined();
    expect(again.session.unsaved).toBe(false);
    // What this version cannot read is kept as it is.
    file.variants.push({ name: 'B', scenario: { format: 'of another time' } });
    const odd = opened(file);
    expect(odd.session.variants[1]).toMatchObject({ name: 'B', broken: true });
    odd.hears({ is: 'set', part: { variants: odd.session.variants } });
    goOn(odd.hears(wish('save')));
    const [other] = odd.last;
    if (other?.do !== 'save') throw new Error('nothing was saved');
    expect(JSON.parse(other.text).variants[1].scenario).toEqual({ format: 'of another time' });
  });
  test('saved is what was written, not what was typed meanwhile', () => {
    const told = opened(week).hears(weigh(180));
    goOn(told.hears(wish('save')));
    const [save] = told.last;
    expect(save).toMatchObject({ do: 'save', file: { name: 'week.json' } });
    if (save?.do !== 'save') throw new Error('nothing was saved');
    expect(JSON.parse(save.text).patients[0].weight).toBe(180);
    const early = new Told();
    early.session = told.session;
    early.hears({ is: 'fileWritten', file: save.file, of: save.of });
    expect(early.session.unsaved).toBe(false);
    told.hears(weigh(181), { is: 'fileWritten', file: save.file, of: save.of });
    expect(told.session.unsaved).toBe(true);
  });
  test('a file that was only lent is saved elsewhere', () => {
    const told = new Told().hears({
      is: 'load',
      scenario: week,
      file: { handle: 'x', name: 'example.json', readOnly: true },
    });
    expect(goOn(told.hears(wish('save'))).last).toMatchObject([
      { do: 'saveAs', name: 'invented-week-of-3-beds.json' },
    ]);
  });
  test('a write that fails says so and leaves the edits unsaved', () => {
    const told = opened(week).hears(weigh(180), { is: 'fileFailed', why: 'the disk is full' });
    expect(told.session).toMatchObject({ notice: { tone: 'bad', text: 'the disk is full' }, unsaved: true });
    expect(told.hears({ is: 'say', notice: null }).session.notice).toBeNull();
  });
  test('a file that is no scenario is refused and what is open stays', () => {
    const told = opened(week);
    told.hears({ is: 'fileRead', opened: { handle: 'x', name: 'other.json', text: '{"a": 1}' } });
    expect(told.session.notice).toMatchObject({ tone: 'bad' });
    expect(told.session.notice!.text).toMatch(/^other\.json was not opened: /);
    expect(told.session.file!.name).toBe('week.json');
  });
  test('a file with faults that the sheets can show is opened, and said how many', () => {
    const broken = { ...week, patients: [{ ...week.patients[0], weight: -3 }] };
    const told = opened(week);
    told.hears({ is: 'fileRead', opened: { handle: 'x', name: 'faulty.json', text: text(broken) } });
    expect(told.session.file!.name).toBe('faulty.json');
    expect(told.session.notice).toMatchObject({ tone: 'warn' });
    expect(told.session.notice!.text).toMatch(/^faulty\.json has 1 error /);
    expect(told.asked).not.toContain('plan');
  });
  test('a person who changes their mind changes nothing', () => {
    const told = opened(week);
    const { scenario } = told.session;
    told.hears({ is: 'fileRead', opened: null }, { is: 'fileWritten', file: null, of: scenario });
    expect(told.session.scenario).toBe(scenario);
  });
});

test('a cell that is jumped to brings up its sheet, once', () => {
  const place = { sheet: 'baths', row: 'baths.0', field: 'potassium' };
  const told = opened(week).hears({ is: 'show', part: { split: 0 } }, { is: 'jump', place });
  expect(told.session).toMatchObject({ jump: place, view: { sheet: 'baths', split: 0.4 } });
  expect(told.hears({ is: 'landed' }).session.jump).toBeNull();
});

test('the same session and event give the same step, and the session before stays as it was', () => {
  const told = opened(week).plans();
  const before = { ...told.session };
  const [one, two] = [0, 1].map(() => reduce(told.session, weigh(180), AT));
  expect(told.session).toEqual(before);
  expect(text(one!.session.scenario)).toBe(text(two!.session.scenario));
  expect(one!.effects.map((effect) => effect.do)).toEqual(two!.effects.map((effect) => effect.do));
});

describe('acts that ask first', () => {
  const bulk = (told?: string): Event => ({
    is: 'edit',
    act: {
      label: 'one bath for all',
      told,
      recipe: (draft) => {
        for (const patient of draft.patients) patient.bath = '4K';
      },
    },
  });
  test('one that changes more than one prescription changes nothing until it is agreed to', () => {
    const told = opened(week).plans();
    const { scenario } = told.session;
    told.hears(bulk());
    expect(told.session.scenario).toBe(scenario);
    expect(told.session.review).toMatchObject({ label: 'one bath for all', overwrites: [] });
    expect(told.asked).toEqual([]);
    told.hears({ is: 'reviewed', answer: { go: 'back' } });
    expect(told.session).toMatchObject({ scenario, review: null });
    told.hears(bulk(), { is: 'reviewed', answer: { go: 'on', leftOut: new Set([0]) } });
    expect(told.session.scenario.patients.map(({ bath }) => bath)).toEqual([
      week.patients[0]!.bath,
      '4K',
      '4K',
    ]);
    expect(told.session.history.past).toHaveLength(1);
    expect(told.session.notice).toMatchObject({
      tone: 'done',
      text: '1 prescription changed: one bath for all.',
    });
  });
  test('one prescription is typed without a question', () => {
    expect(opened(week).hears(weigh(99)).session.review).toBeNull();
  });
  test('one that writes over rows asks, and may be done otherwise', () => {
    const told = opened(week).hears({
      is: 'edit',
      act: {
        label: 'paste',
        recipe: (draft) => {
          draft.title = 'written over';
        },
        overwrites: ['bed-01', 'bed-02'],
        instead: {
          label: 'insert 1 row',
          rows: 1,
          recipe: (draft) => {
            draft.patients.push({ id: 'bed-09', weight: 70, dose: 25, bath: '2K' });
          },
        },
      },
    });
    expect(told.session.review).toMatchObject({ overwrites: ['bed-01', 'bed-02'], changes: [] });
    told.hears({ is: 'reviewed', answer: { go: 'instead' } });
    expect(told.session.scenario.title).toBe(week.title);
    expect(told.session.scenario.patients.at(-1)!.id).toBe('bed-09');
  });
  test('undo says what it undid, and the note goes again unless something else is said', () => {
    const told = opened(week).hears(weigh(99), { is: 'undo' });
    const { notice } = told.session;
    expect(notice).toEqual({ tone: 'done', text: 'Undone: weight of bed-01.' });
    const [later] = told.last.filter((effect) => effect.do === 'later');
    told.hears({ is: 'say', notice: { tone: 'bad', text: 'the disk is full' } }, later!.next);
    expect(told.session.notice!.text).toBe('the disk is full');
    told.hears({ is: 'redo' });
    const again = told.last.find((effect) => effect.do === 'later')!;
    expect(told.session.notice!.text).toBe('Done again: weight of bed-01.');
    expect(told.hears(again.next).session.notice).toBeNull();
  });
});
