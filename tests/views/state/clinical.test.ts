import { expect, test } from 'vitest';
import { invented } from '../../browser/scenario.ts';
import { opened, planOf } from './session.ts';

const week = invented(2, 1);
const way = { kind: 'dose', cap: 27.5, lowest: 10 } as const;

test('clinical ways are asked of the plan on screen and shown as they come', () => {
  const told = opened(week).plans().hears({ is: 'askClinical' });
  expect(told.asked).toEqual(['stopClinical', 'askClinical']);
  const { of } = told.session.clinical!;
  expect(of).toBe(told.session.planned!.plan.activities);
  told.hears({ is: 'clinicalWay', of, way });
  expect(told.session.clinical).toMatchObject({ state: 'asking', ways: [way] });
  told.hears({ is: 'clinicalDone', of });
  expect(told.session.clinical).toMatchObject({ state: 'answered', ways: [way] });
});

test('an edit drops what was found at once, and what comes later is not heard', () => {
  const told = opened(week).plans().hears({ is: 'askClinical' });
  const { of } = told.session.clinical!;
  told.hears({ is: 'clinicalWay', of, way });
  told.hears({ is: 'edit', act: { label: 'x', recipe: (draft) => void draft.patients.pop() } });
  expect(told.session.clinical).toBeNull();
  expect(told.asked).toContain('stopClinical');
  told.hears({ is: 'clinicalWay', of, way });
  expect(told.session.clinical).toBeNull();
  told.plans(planOf(told.session.scenario)).hears({ is: 'clinicalDone', of });
  expect(told.session.clinical).toBeNull();
});

test('a failure is told, and the question can be stopped', () => {
  const told = opened(week).plans().hears({ is: 'askClinical' });
  told.hears({ is: 'clinicalFailed', of: told.session.clinical!.of, why: 'no memory' });
  expect(told.session.clinical).toMatchObject({ state: 'failed', message: 'no memory' });
  told.hears({ is: 'stopClinical' });
  expect(told.session.clinical).toBeNull();
  expect(told.asked).toEqual(['stopClinical']);
});
