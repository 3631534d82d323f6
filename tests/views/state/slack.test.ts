import { expect, test } from 'vitest';
import { plan } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { NO_SLACK } from '../../../src/scenario/problem/slack.ts';
import { at, unit } from '../../planner/worlds.ts';
import { opened } from './session.ts';

const scenario = unit({
  patients: [{ id: 'bed-01', weight: 80, dose: 25, bath: 'A', from: at(600) }],
  machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
  water: [{ id: 'W', capacity: 9000, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
  rules: { rounds: ['15:00', '21:00'] },
});
const slack = { ...NO_SLACK, roundMinutes: 45, testMinutes: 20 };
const offered = async () => {
  const { activities } = await plan(compile({ ...scenario, slack: { ...slack } }), { tries: 60 });
  return { slack, activities };
};

test('a plan with slack goes on screen as it was offered, in one act; no search follows', async () => {
  const told = opened(scenario).plans();
  const before = told.session.planned!;
  const offer = await offered();
  told.hears({ is: 'slackTaken', offer });
  const { planned, planning, scenario: now, history } = told.session;
  expect(now.slack).toEqual(slack);
  expect(planned!.plan.activities).toEqual(offer.activities);
  expect(planned!.scenario).toBe(now);
  expect(planned!.verdict.ok).toBe(true);
  expect(planning.state).toBe('idle');
  expect(told.asked).not.toContain('plan');
  expect(history.past.at(-1)!.label).toBe('slack in the plan');
  expect(planned!.changes).not.toBeNull();

  told.hears({ is: 'undo' });
  expect(told.session.scenario).toBe(scenario);
  expect(told.session.planned!.plan.activities).toEqual(before.plan.activities);
  expect(told.asked).not.toContain('plan');
  told.hears({ is: 'redo' });
  expect(told.session.planned!.plan.activities).toEqual(offer.activities);
});

test('what is planned after it keeps the slack, until somebody wants none', async () => {
  const told = opened(scenario).plans();
  told.hears({ is: 'slackTaken', offer: await offered() });
  told.hears({
    is: 'edit',
    act: {
      label: 'dose',
      recipe: (draft) => {
        draft.patients[0]!.dose = 30;
      },
    },
  });
  const request = () => told.last.flatMap((effect) => (effect.do === 'plan' ? effect.request : []))[0];
  expect(request()!.scenario.slack).toEqual(slack);
  told.hears({ is: 'slackTaken', offer: null });
  expect(told.session.scenario.slack).toBeUndefined();
  expect(request()!.scenario.slack).toBeUndefined();
});

test('a plan with slack that was made before an edit never passes for the plan of what is typed now', async () => {
  const told = opened(scenario).plans();
  const offer = await offered();
  told.hears({
    is: 'edit',
    act: {
      label: 'dose',
      recipe: (draft) => {
        draft.patients[0]!.dose = 45;
      },
    },
  });
  told.hears({ is: 'slackTaken', offer });
  const { planned, planning, scenario: now, notice } = told.session;
  expect(now.slack).toEqual(slack);
  expect(now.patients[0]!.dose).toBe(45);
  // Planned for a dose of 25: it must not stand as the answer, and a search must follow.
  expect(planned!.scenario).not.toBe(now);
  expect(planning.state).toBe('planning');
  expect(notice!.text).toBe('That plan was made before your edit. A new plan with its slack is being made.');
});

test('with an error in the sheets a plan with slack says why nothing is planned', async () => {
  const told = opened(scenario).plans();
  const offer = await offered();
  told.hears({
    is: 'edit',
    act: {
      label: 'weight',
      recipe: (draft) => {
        draft.patients[0]!.weight = -1;
      },
    },
  });
  for (const one of [offer, null]) {
    told.hears({ is: 'slackTaken', offer: one });
    expect(told.asked).not.toContain('plan');
    expect(told.session.notice).toMatchObject({
      tone: 'warn',
      text: expect.stringMatching(/^Nothing is planned: mend 1 error in the sheets first\./),
    });
  }
});
