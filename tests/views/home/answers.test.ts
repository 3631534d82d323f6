import { expect, test } from 'vitest';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { answersOf, attentionOf } from '../../../src/views/home/Strip.tsx';
import type { State } from '../../../src/views/state/store.ts';
import { invented } from '../../browser/scenario.ts';
import { opened } from '../state/session.ts';

const answers = (scenario: Scenario, standing: 'settled' | 'searching' | 'old') => {
  const { planned } = opened(scenario).plans().session;
  return answersOf(planned!, 0, standing).map(({ tone, text }) => `${tone}: ${text}`);
};
/** More than two machines can make, and nothing in stock. */
const short = (): Scenario => ({ ...invented(12, 1), stock: [], machines: [] });

test('what is unmet while the search goes on is not said as final', () => {
  expect(answers(short(), 'settled')[0]).toMatch(/^bad: Today: \d+ bags unmet$/);
  expect(answers(short(), 'searching')[0]).toMatch(/^quiet: Today: \d+ bags unmet so far$/);
});

test('a unit that needs nothing is not said to be covered', () => {
  expect(answers({ ...invented(2, 1), patients: [] }, 'settled')).toEqual(['quiet: No bag is needed yet']);
});

test('where no plan can be made, what is in the way is named before any warning', () => {
  const told = opened(invented(2, 1));
  const why =
    'Duty break on 2031-02-04 at 03:00 has no valid place: too few technicians are free. Expected: more slack, another time, or more technicians.';
  told.hears({ is: 'planFailed', run: told.session.run!.number, why });
  expect(told.session.planned).toBeNull();
  expect(attentionOf(told.session as State)).toEqual({
    tone: 'bad',
    text: 'No plan: Duty break on Tue, Feb 4, 03:00 has no valid place: too few technicians are free',
  });
});

test('no work is asked for by a plan that breaks a rule', () => {
  const { session } = opened({ ...invented(12, 1), stock: [] }).plans();
  const view = { ...session.view, arrangement: 'technician' as const };
  const planned = session.planned!;
  const verdict = { ...planned.verdict, ok: false };
  const asks = (now: typeof planned) => attentionOf({ ...session, view, planned: now } as State);
  expect(asks(planned).tone).toBe('now');
  expect(asks({ ...planned, verdict })).toEqual({ tone: 'bad', text: 'Do not use this plan. Plan again' });
});
