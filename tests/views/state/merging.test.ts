import { describe, expect, test } from 'vitest';
import { conflictKey } from '../../../src/scenario/merge.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import type { Newer } from '../../../src/views/state/session.ts';
import { invented } from '../../browser/scenario.ts';
import { Told } from './session.ts';

// Two people have one file open. What the second one's save is answered with, and what comes of it.
const week = invented(3, 1);
const text = (scenario: Scenario) => `${JSON.stringify(scenario, null, 2)}\n`;
const file = { handle: 'h', name: 'week.json', digest: 'old' };
const opened = () => new Told().hears({ is: 'load', scenario: week, file });
const change = (patient: number, part: object): Scenario => ({
  ...week,
  patients: week.patients.map((one, at) => (at === patient ? { ...one, ...part } : one)),
});
const edit = (patient: number, part: object) =>
  ({
    is: 'edit',
    act: { label: 'x', recipe: (draft: Scenario) => void Object.assign(draft.patients[patient]!, part) },
  }) as const;
const newer = (theirs: Scenario, part: Partial<Newer> = {}): { is: 'fileNewer'; newer: Newer } => ({
  is: 'fileNewer',
  newer: { file, text: text(theirs), digest: 'new', base: text(week), saving: true, ...part },
});

describe('a save that is refused because somebody else saved', () => {
  test('different fields: both are saved at once, over what the other saved, and what came in is told', () => {
    const told = opened().hears(edit(0, { weight: 150 }), newer(change(1, { weight: 160 })));
    const save = told.last.find((one) => one.do === 'save');
    if (save?.do !== 'save') throw new Error('nothing was saved');
    expect(save.file).toMatchObject({ handle: 'h', digest: 'new' });
    expect(
      JSON.parse(save.text)
        .patients.map(({ weight }: { weight: number }) => weight)
        .slice(0, 2),
    ).toEqual([150, 160]);
    told.hears({ is: 'fileWritten', file: { ...file, digest: 'both' }, of: save.of, notice: save.notice });
    expect(told.session).toMatchObject({ unsaved: false, file: { digest: 'both' } });
    expect(told.session.notice!.text).toMatch(/^week\.json: 1 change by somebody else came in\./);
    expect(told.session.notice!.details).toEqual([expect.stringMatching(/weight: .* → 160$/)]);
    // What the other did can be taken back like any act.
    expect(told.hears({ is: 'undo' }).session.scenario.patients[1]!.weight).toBe(week.patients[1]!.weight);
  });
  test('the same field: nothing is written until a person has chosen, and their choice is', () => {
    const told = opened().hears(edit(0, { weight: 150 }), newer(change(0, { weight: 160 })));
    expect(told.asked).not.toContain('save');
    const [conflict] = told.session.clash!.conflicts;
    expect(conflict).toMatchObject({ mine: 150, theirs: 160, base: week.patients[0]!.weight });
    for (const [side, weight] of [
      ['mine', 150],
      ['theirs', 160],
    ] as const) {
      const answered = new Told();
      answered.session = told.session;
      answered.hears({ is: 'clashAnswered', choices: new Map([[conflictKey(conflict!), side]]) });
      expect(answered.session.clash).toBeNull();
      expect(answered.session.scenario.patients[0]!.weight).toBe(weight);
      expect(answered.session.file!.digest).toBe('new');
      // Where theirs is chosen the file holds it all already.
      expect(answered.asked.includes('save')).toBe(side === 'mine');
      expect(answered.session.unsaved).toBe(side === 'mine');
    }
  });
  test('Cancel leaves both as they are: the edit here, the file there; the next save asks again', () => {
    const told = opened().hears(edit(0, { weight: 150 }), newer(change(0, { weight: 160 })));
    told.hears({ is: 'clashAnswered', choices: null });
    expect(told.session).toMatchObject({ clash: null, unsaved: true, file: { digest: 'old' } });
    expect(told.session.scenario.patients[0]!.weight).toBe(150);
  });
  test('what does not fit together is not saved: it comes up with its errors', () => {
    const bath = week.baths[0]!.id;
    const theirs = {
      ...week,
      baths: week.baths.slice(1),
      patients: [],
      machines: [],
      stock: [],
      deliveries: [],
    };
    const told = opened().hears(
      {
        is: 'edit',
        act: {
          label: 'x',
          recipe: (draft) => void draft.patients.push({ id: 'new', weight: 80, dose: 25, bath }),
        },
      },
      newer(theirs as unknown as Scenario),
    );
    expect(told.session.scenario.patients.map(({ id }) => id)).toEqual(['new']);
    expect(told.asked).not.toContain('save');
    expect(told.session).toMatchObject({ unsaved: true, file: { digest: 'new' } });
  });
  test('a file that is no scenario any more is not merged with', () => {
    const told = opened().hears(edit(0, { weight: 150 }), newer(week, { text: '{"a":1}' }));
    expect(told.session.notice).toMatchObject({
      tone: 'bad',
      text: expect.stringMatching(/is no scenario any more/),
    });
    expect(told.asked).not.toContain('save');
  });
});

describe('what somebody else saves while one looks', () => {
  const seen = (theirs: Scenario) => newer(theirs, { saving: false });
  test('each change is taken or left; what is left differs from the file until it is saved', () => {
    const theirs = change(1, { weight: 160, dose: 20 });
    const told = opened().hears(seen(theirs));
    const { conflicts } = told.session.clash!;
    expect(conflicts.map(({ path }) => path.at(-1)).sort()).toEqual(['dose', 'weight']);
    const choices = new Map(
      conflicts.map((one) => [conflictKey(one), one.path.at(-1) === 'dose' ? 'mine' : 'theirs'] as const),
    );
    told.hears({ is: 'clashAnswered', choices });
    expect(told.session.scenario.patients[1]).toMatchObject({ weight: 160, dose: week.patients[1]!.dose });
    expect(told.session).toMatchObject({ unsaved: true, file: { digest: 'new' } });
    expect(told.asked).not.toContain('save');
  });
  test('all taken: nothing is left to save', () => {
    const told = opened().hears(seen(change(1, { weight: 160 })));
    told.hears({ is: 'clashAnswered', choices: new Map() });
    expect(told.session).toMatchObject({ unsaved: false, file: { digest: 'new' } });
    expect(told.session.scenario.patients[1]!.weight).toBe(160);
  });
  test('an edit of one’s own is not asked about', () => {
    const told = opened().hears(edit(0, { weight: 150 }), seen(change(1, { weight: 160 })));
    expect(told.session.clash!.conflicts).toHaveLength(1);
    told.hears({ is: 'clashAnswered', choices: new Map() });
    expect(told.session.scenario.patients.map(({ weight }) => weight).slice(0, 2)).toEqual([150, 160]);
    expect(told.session.unsaved).toBe(true);
  });
  test('one’s own save, seen late, is nothing new', () => {
    const told = opened().hears(newer(week, { saving: false, digest: 'old' }));
    expect(told.session.clash).toBeNull();
  });
});

test('edits of a page that died come up unsaved, and know what they began from', () => {
  const told = new Told().hears({
    is: 'draftTaken',
    draft: {
      id: 'd',
      handle: 'h',
      name: 'week.json',
      text: text(change(0, { weight: 150 })),
      base: 'old',
      at: '',
      file: { handle: 'h', name: 'week.json', digest: 'new', text: text(week) },
    },
  });
  expect(told.session).toMatchObject({ unsaved: true, file: { handle: 'h', digest: 'old' } });
  expect(told.session.scenario.patients[0]!.weight).toBe(150);
});
