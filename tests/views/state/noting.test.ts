import { describe, expect, test } from 'vitest';
import { planFrom } from '../../../electron/command/planFrom.ts';
import type { Activity } from '../../../src/plan/plan.ts';
import type { Draft, Entry } from '../../../src/record/entries.ts';
import type { Start } from '../../../src/record/from.ts';
import { lineOf, readJournal } from '../../../src/record/journal.ts';
import { writeScenario } from '../../../src/scenario/read.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { attentionOf } from '../../../src/views/home/Strip.tsx';
import { NO_RECORD, startOf, withLines, withParts } from '../../../src/views/state/dayRecord.ts';
import type { Event } from '../../../src/views/state/events.ts';
import { reduce } from '../../../src/views/state/reduce.ts';
import { isCurrent, isRecorded, meant, opening, type Session } from '../../../src/views/state/session.ts';
import type { State } from '../../../src/views/state/store.ts';
import { at, test as testAt, tinyWorld } from '../../world.ts';

const TIME = '2031-02-03 06:12';
const FILE = { handle: 'h', name: 'week.json' };
const passed = { kind: 'test', water: 'RO', result: 'pass', at: at(0), by: 'AB' } as Draft;
const failed = { ...passed, result: 'fail', at: at(60) } as Draft;

/** Lines as the host writes them, one after the other. */
function lines(...drafts: Draft[]): string[] {
  let last = readJournal('', '').last;
  return drafts.map((draft) => {
    const line = lineOf(draft, 'icu', '2031-02-03T00:00:00Z', last);
    last = readJournal('icu.jsonl', `${line}\n`, { line: last.n + 1, last }).last;
    return line;
  });
}
const run = (session: Session, ...events: Event[]): Session =>
  events.reduce((now, event) => reduce(now, event, TIME).session, session);
const opened = () =>
  run(
    opening(),
    { is: 'load', scenario: tinyWorld(), file: FILE },
    { is: 'set', part: { station: 'icu', by: 'AB' } },
  );
const answer = (...drafts: Draft[]) => ({ file: 'icu.jsonl', lines: lines(...drafts), faults: [] });
const noted = (...drafts: Draft[]): Event => ({ is: 'noted', answer: answer(...drafts), drafts });

describe('saved as another file', () => {
  const savedAs = (session: Session, file: { handle: string; name: string }) =>
    run(session, { is: 'fileWritten', file, of: session.scenario });
  test('what was noted stays with the file it lies beside: the new one shows none of it, and that is said', () => {
    const session = savedAs(run(opened(), noted(passed)), { handle: 'other', name: 'copy.json' });
    expect(session.file?.name).toBe('copy.json');
    expect(session.record.noted).toEqual([]);
    expect(session.notice).toEqual({
      tone: 'warn',
      text: 'What was noted stays with week.json. Open week.json to go on noting: copy.json has no record.',
    });
  });
  test('under the same name elsewhere the record there is read; saved where it was, nothing changes', () => {
    const before = run(opened(), noted(passed));
    expect(savedAs(before, { handle: 'other', name: 'week.json' }).notice).toBeNull();
    const same = savedAs(before, FILE);
    expect(same.record).toBe(before.record);
    expect(same.notice).toBeNull();
  });
});

test('an opening round that nobody noted is asked about before any work, until somebody says', () => {
  const scenario = tinyWorld({
    patients: [{ id: 'bed-1', weight: 100, dose: 65, bath: '2K', from: at(0) }],
    stock: [{ lot: 'P-1', bath: '2K', bags: 9, litres: 6.5 }],
  });
  const begun = run(opened(), { is: 'load', scenario, file: FILE });
  const asks = (...drafts: Draft[]) => attentionOf(run(begun, noted(...drafts)) as State);
  const left = (declared: 'carried' | 'not carried') =>
    ({ kind: 'leave', at: at(0), by: 'AB', round: 0, loads: [], declared }) as Draft;
  expect(asks(passed)).toEqual({
    tone: 'warn',
    text: 'Were the bags of 00:00 carried? Note it, or say no.',
  });
  expect(asks(passed, left('carried')).text).not.toMatch(/^Were the bags/);
  // Said no: they are due, which is more urgent.
  expect(asks(passed, left('not carried'))).toMatchObject({
    tone: 'bad',
    text: expect.stringMatching(/^Carry /),
  });
});

describe('another scenario comes in', () => {
  const asked = ({ effects }: ReturnType<typeof reduce>) =>
    effects.flatMap((effect) => (effect.do === 'plan' ? [effect.request] : []));
  const noting = () => run(opened(), noted(passed));
  test('a file that is opened is never planned by the record of the one before', () => {
    const text = writeScenario(tinyWorld());
    const opening = { handle: 'other', name: 'other.json', text };
    const step = reduce(noting(), { is: 'fileRead', opened: opening }, TIME);
    expect(asked(step)).toHaveLength(1);
    expect(asked(step)[0]).not.toHaveProperty('noted');
    expect(step.session.record.noted).toEqual([]);
    expect(step.effects.map((effect) => effect.do)).toContain('readRecord');
  });
  test('nor is a new scenario', () => {
    const wish = { act: 'create', blank: tinyWorld() } as const;
    const step = reduce(noting(), { is: 'file', wish, stage: 'agreed' }, TIME);
    expect(asked(step)).toHaveLength(1);
    expect(asked(step)[0]).not.toHaveProperty('noted');
    expect(isRecorded(step.session)).toBe(false);
  });
  test('the same file with what somebody else saved keeps its record', () => {
    const session = run(noting(), { is: 'load', scenario: tinyWorld(), file: FILE });
    expect(isRecorded(session)).toBe(true);
  });
});

describe('noting', () => {
  test('an entry goes to the disk first: until it is there it does not count', () => {
    const step = reduce(opened(), { is: 'note', drafts: [passed] }, TIME);
    expect(step.effects).toEqual([{ do: 'note', handle: 'h', station: 'icu', drafts: [passed] }]);
    expect(isRecorded(step.session)).toBe(false);
    expect(step.session.record.noting).toEqual([passed]);
    const there = reduce(step.session, noted(passed), TIME);
    expect(there.session.record).toMatchObject({ noting: [], failure: null });
    expect(isRecorded(there.session)).toBe(true);
  });
  test('the plan follows: it is asked for with what was noted, short and from now', () => {
    const { effects } = reduce(run(opened(), { is: 'set', part: { now: 60 } }), noted(passed), TIME);
    expect(effects).toContainEqual(
      expect.objectContaining({
        do: 'plan',
        wait: 0,
        request: expect.objectContaining({ now: 60, anew: false, noted: expect.any(Array) }),
      }),
    );
  });
  test('what could not be noted is kept, told, and can be noted again', () => {
    const session = run(
      opened(),
      { is: 'note', drafts: [passed] },
      { is: 'noteFailed', why: 'Disk full.', drafts: [passed] },
    );
    expect(session.record).toMatchObject({ failure: 'Disk full.', failed: [passed], noting: [] });
    expect(reduce(session, { is: 'note', drafts: session.record.failed }, TIME).effects).toHaveLength(1);
  });
  test('without a file or a name of the station nothing is noted, and it is said why', () => {
    const nameless = run(
      opening(),
      { is: 'load', scenario: tinyWorld(), file: FILE },
      { is: 'note', drafts: [passed] },
    );
    expect(nameless.record).toMatchObject({ failure: expect.stringContaining('name'), failed: [passed] });
    const fileless = run(
      opening(),
      { is: 'load', scenario: tinyWorld(), file: null },
      { is: 'note', drafts: [passed] },
    );
    expect(fileless.record.failure).toMatch(/Save the scenario first/);
  });
});

describe('what was noted', () => {
  test('makes the plan before it old at once, so that nothing of it is shown as next', () => {
    const before = opened();
    const planned = {
      scenario: before.scenario,
      problem: before.problem,
      proof: { state: 'none' },
      plan: { activities: [] },
    } as unknown as Session['planned'];
    const session = { ...before, planned };
    expect(isCurrent(session)).toBe(true);
    const after = run(before, noted(passed));
    expect(isCurrent({ ...after, planned })).toBe(false);
    const following = { ...planned!, problem: meant(after)!.problem };
    expect(isCurrent({ ...after, planned: following })).toBe(true);
    // Another minute, another day to plan.
    expect(isCurrent({ ...after, planned: following, now: 5 })).toBe(false);
  });
  test('a test under way by the plan on screen is one of the next plan too: its fill is not given up', () => {
    const circuit = { kind: 'circuit', machine: 'M1', bath: '2K', at: at(170), by: 'AB' } as Draft;
    const fill = { kind: 'fill', machine: 'M1', at: at(171), by: 'AB' } as Draft;
    const session = { ...run(opened(), noted(passed, circuit, fill)), now: 235 };
    const { scenario } = session;
    const followed = (of: Scenario, ...activities: Activity[]) =>
      startOf({
        ...session,
        planned: { scenario: of, plan: { activities } } as unknown as Session['planned'],
      })!;
    const endOf = ({ ended }: Start) => ended.find(({ kind }) => kind === 'fill')?.end;
    // The window is 236 to 246; the test at 0 serves to 240, and one technician tests until 241.
    expect(endOf(followed(scenario))).toBe(236);
    const one = followed(scenario, testAt(231));
    expect(one.underWay.map(({ kind }) => kind)).toEqual(['fill', 'test']);
    expect(endOf(one)).toBe(241);
    // The plan made from it has the test too: it is current.
    expect(followed(scenario, testAt(231), testAt(400))).toBe(one);
    // Minutes of a plan with another start are others.
    expect(endOf(followed({ ...scenario, start: at(1440) }, testAt(231)))).toBe(236);
  });
  test('outlives undo, redo and a change of start', () => {
    const edit = (label: string, recipe: (draft: Scenario) => void): Event => ({
      is: 'edit',
      act: { label, recipe },
    });
    const retitled = edit('title', (draft) => {
      draft.title = 'other';
    });
    const session = run(opened(), noted(passed, failed), retitled, { is: 'undo' }, { is: 'redo' });
    expect(session.scenario.title).toBe('other');
    expect(session.record.noted).toHaveLength(2);
    const restarted = edit('start', (draft) => {
      draft.start = at(30);
    });
    const moved = run(session, restarted);
    expect(moved.record.noted).toHaveLength(2);
    expect(run(moved, { is: 'undo' }).record.noted).toHaveLength(2);
  });
  test('a change of start and its undo leave the time, what was done, and each task that people were told', async () => {
    const week = tinyWorld({
      patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
      rules: { rounds: ['06:00', '12:00', '18:00'] },
    });
    const restarted = (start: string): Event => ({
      is: 'edit',
      act: {
        label: 'plan starts',
        recipe: (draft: Scenario) => {
          draft.start = start;
        },
      },
    });
    const begun = run(
      opening(),
      { is: 'load', scenario: week, file: FILE },
      { is: 'set', part: { station: 'icu', by: 'AB', now: 61 } },
      noted(passed, { ...passed, at: at(60) } as Draft),
    );
    const plan = await planFrom(startOf(begun)!, { tries: 20 });
    const told = run(begun, { is: 'planned', run: begun.run!.number, plan }, { is: 'noteChanges' });
    // An hour earlier, a typed month later, and a day that does not exist: each is undone.
    for (const start of ['2031-02-02T23:00', '2031-03-03T00:00', '2031-02-30T00:00']) {
      let moved = run(told, restarted(start));
      if (start === '2031-02-02T23:00') expect(moved.now).toBe(121);
      // Where it has no errors, another plan is on screen by then.
      const other = moved.run && { ...plan, activities: plan.activities.slice(0, 1) };
      if (other) moved = run(moved, { is: 'planned', run: moved.run!.number, plan: other });
      const { session: back, effects } = reduce(moved, { is: 'undo' }, TIME);
      expect(back, start).toMatchObject({ now: 61, scenario: week });
      expect(startOf(back)?.state.water).toMatchObject([{ last: 'pass', lastEnd: 60 }]);
      const asked = effects.flatMap((one) => (one.do === 'plan' ? [one.request] : []));
      expect(asked, start).toMatchObject([{ now: 61, anew: false, noted: expect.any(Array) }]);
      // What begins soon stays to the minute of the plan that is planned on from.
      expect(asked[0]!.previous, start).toEqual(plan.activities);
      expect(back.given, start).toEqual(told.given);
    }
  });
  test('a failed test leaves the source without water, whatever was planned', () => {
    const session = run(opened(), { is: 'set', part: { now: 61 } }, noted(passed, failed));
    expect(startOf(session)?.state.water).toMatchObject([{ id: 'RO', last: 'fail' }]);
    expect(meant(session)!.problem.water[0]!.lastTest).toBeNull();
  });
  test('goes with its file: another one begins with its own', () => {
    const text = JSON.stringify(tinyWorld());
    const step = reduce(
      run(opened(), noted(passed)),
      { is: 'fileRead', opened: { handle: 'other', name: 'b.json', text } },
      TIME,
    );
    expect(step.session.record).toEqual(NO_RECORD);
    expect(step.effects).toContainEqual({ do: 'readRecord', handle: 'other', known: {} });
  });
});

describe('files as they grow', () => {
  const part = (text: string, from = 0) => ({ name: 'icu.jsonl', from, size: from + text.length, text });
  const [one, two] = lines(passed, failed) as [string, string];
  const ids = ({ noted: all }: typeof NO_RECORD) => all.map(({ entry }: { entry: Entry }) => entry.id);
  test('own lines that are read again count once', () => {
    const own = withLines(NO_RECORD, { file: 'icu.jsonl', lines: [one], faults: [] });
    expect(ids(withParts(own, [part(`${one}\n`)]))).toEqual(['icu/1']);
    expect(
      ids(
        withLines(withParts(NO_RECORD, [part(`${one}\n${two}\n`)]), {
          file: 'icu.jsonl',
          lines: [two],
          faults: [],
        }),
      ),
    ).toEqual(['icu/1', 'icu/2']);
  });
  test('a line that is still being written counts with the next reading', () => {
    const first = withParts(NO_RECORD, [part(`${one}\n${two.slice(0, 20)}`)]);
    expect(ids(first)).toEqual(['icu/1']);
    expect(first.faults).toEqual([]);
    expect(ids(withParts(first, [part(`${two}\n`, one.length + 1)]))).toEqual(['icu/1', 'icu/2']);
  });
  test('a changed line is told', () => {
    const { faults } = withParts(NO_RECORD, [part(`${one.replace('"by":"AB"', '"by":"XY"')}\n${two}\n`)]);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(/icu\.jsonl, line 2: .*Expected:/);
  });
});

describe('what the record names', () => {
  const P = { lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 };
  const base = {
    ...tinyWorld({ stock: [P] }),
    shifts: [{ id: 'day', from: '00:00', to: '00:00', technicians: 2 }],
  };
  const entries = [
    failed,
    { kind: 'circuit', machine: 'M1', bath: '2K', at: at(40), by: 'AB' },
    { kind: 'hold', lot: 'P-1', at: at(50), by: 'AB' },
    { kind: 'staff', shift: 'day', date: at(0).slice(0, 10), technicians: 1, at: at(50), by: 'AB' },
  ] as Draft[];
  const day = () => run(opening(), { is: 'load', scenario: base, file: FILE }, noted(...entries));
  const edits: Record<string, (draft: Scenario) => void> = {
    'a water source under another name': (draft) => {
      draft.water[0]!.id = 'RO 1';
      for (const machine of draft.machines) machine.water = 'RO 1';
    },
    'a machine under another name': (draft) => {
      draft.machines[0]!.id = 'West';
    },
    'a bath under another name': (draft) => {
      draft.baths[0]!.id = '2K low';
    },
    'a lot on hold under another name': (draft) => {
      draft.stock![0]!.lot = 'P-01';
    },
    'a lot on hold that is deleted': (draft) => {
      draft.stock = [];
    },
    'a shift under another name': (draft) => {
      draft.shifts[0]!.id = 'early';
    },
  };
  test.each(Object.entries(edits))('%s is refused: what was done would be lost', (_, recipe) => {
    const session = run(day(), { is: 'edit', act: { label: 'x', recipe } });
    expect(session.scenario).toEqual(base);
    expect(session.history.past).toEqual([]);
    expect(session.notice).toMatchObject({ tone: 'warn' });
    expect(session.notice!.text).toMatch(
      /^(RO|M1|2K|P-1|day) stays as typed: the record has 1 entry under this name, and the plan would lose what was done\./,
    );
  });
  test.each(Object.entries(edits))('%s is done where nothing of it is noted', (_, recipe) => {
    const before = run(opening(), { is: 'load', scenario: base, file: FILE });
    const session = run(before, { is: 'edit', act: { label: 'x', recipe } });
    expect(session.history.past).toHaveLength(1);
  });
  test('undo stops before it would take away a row that is noted since', () => {
    const recipe = (draft: Scenario) => {
      draft.stock = [P, { ...P, lot: 'P-2' }];
    };
    const added = run(run(opening(), { is: 'load', scenario: base, file: FILE }), {
      is: 'edit',
      act: { label: 'x', recipe },
    });
    const held = run(added, noted({ kind: 'hold', lot: 'P-2', at: at(50), by: 'AB' } as Draft));
    const back = run(held, { is: 'undo' });
    expect(back.scenario).toBe(held.scenario);
    expect(back.notice!.text).toContain('P-2 stays as typed');
    expect(run(added, { is: 'undo' }).scenario.stock).toHaveLength(1);
  });
  test('an entry that does not count names nothing', () => {
    const [hold] = lines({ kind: 'hold', lot: 'P-1', at: at(50), by: 'AB' } as Draft);
    const { id } = JSON.parse(hold!) as Entry;
    const drafts = [
      { kind: 'hold', lot: 'P-1', at: at(50), by: 'AB' },
      { kind: 'void', of: id, at: at(51), by: 'AB' },
    ] as Draft[];
    const session = run(run(opening(), { is: 'load', scenario: base, file: FILE }), noted(...drafts));
    const recipe = edits['a lot on hold under another name']!;
    expect(run(session, { is: 'edit', act: { label: 'x', recipe } }).scenario.stock![0]!.lot).toBe('P-01');
  });
});

test('of a recorded day nothing is asked of the whole scenario beside a plan of what is left', () => {
  const session = run(opened(), noted(passed));
  expect(run({ ...session, planned: {} as never }, { is: 'explain' }).explained).toBeNull();
});

describe('a prescription changed on a recorded day', () => {
  const BED = { id: 'bed-1', weight: 80, dose: 25, bath: '2K' };
  const base = tinyWorld({ patients: [BED, { ...BED, id: 'bed-2', from: at(900) }] });
  const edit = (recipe: (draft: Scenario) => void): Event => ({ is: 'edit', act: { label: 'x', recipe } });
  const day = (...more: Event[]) =>
    run(
      opening(),
      { is: 'load', scenario: base, file: FILE },
      { is: 'set', part: { now: 600 } },
      noted(passed),
      ...more,
    );
  const dose = edit((draft) => Object.assign(draft.patients[0]!, { dose: 35 }));
  const answered = (go: 'on' | 'fromNow'): Event => ({ is: 'reviewed', answer: { go, leftOut: new Set() } });
  test('is asked about: what hung already was prescribed before', () => {
    const session = day(dose);
    expect(session.scenario.patients[0]).toMatchObject({ dose: 25 });
    expect(session.review?.fromNow?.at).toBe(at(600));
    const later = run(session, answered('fromNow')).scenario.patients[0]!;
    expect(later).toMatchObject({ dose: 25, changes: [{ at: at(600), dose: 35 }] });
    expect(run(session, answered('on')).scenario.patients[0]).toMatchObject({ dose: 35 });
    expect(run(session, answered('on')).scenario.patients[0]!.changes ?? []).toEqual([]);
  });
  test('ends a bed that is taken out now, and no bag of it that hung is forgotten', () => {
    const session = run(day(edit((draft) => void draft.patients.shift())), answered('fromNow'));
    expect(session.scenario.patients.map(({ id, until }) => [id, until])).toEqual([
      ['bed-1', at(600)],
      ['bed-2', undefined],
    ]);
  });
  test('is not asked about before the therapy begins, with a time of its own, or where nothing is recorded', () => {
    const before = edit((draft) => Object.assign(draft.patients[1]!, { dose: 35 }));
    expect(day(before).review).toBeNull();
    const later = edit((draft) =>
      Object.assign(draft.patients[0]!, { changes: [{ at: at(300), dose: 35 }] }),
    );
    expect(day(later).review).toBeNull();
    expect(run(opening(), { is: 'load', scenario: base, file: FILE }, dose).review).toBeNull();
  });
  test('on top of a later prescription changes what holds now', () => {
    const changed = { ...base, patients: [{ ...BED, changes: [{ at: at(300), dose: 30 }] }] };
    const session = run(
      opening(),
      { is: 'load', scenario: changed, file: FILE },
      { is: 'set', part: { now: 600 } },
      noted(passed),
      edit((draft) => Object.assign(draft.patients[0]!, { dose: 35, bath: '4K' })),
      answered('fromNow'),
    );
    // The dose of the row holds no more by now; the bath does.
    expect(session.scenario.patients[0]).toMatchObject({
      dose: 25,
      bath: '2K',
      changes: [{ dose: 30 }, { at: at(600), bath: '4K' }],
    });
  });
});

test('nobody continues from the second pass of a repeated hour: the new start would be read as the first', () => {
  // Chicago, 2031-11-02: 01:00 to 01:59 come twice (IANA time zone database, US rules since 2007).
  const scenario = { ...tinyWorld(), timeZone: 'America/Chicago', start: '2031-11-02T00:00' };
  const autumn = (minute: number) =>
    run(
      opening(),
      { is: 'load', scenario, file: FILE },
      { is: 'set', part: { station: 'icu', by: 'AB', now: minute } },
      noted({ ...passed, at: '2031-11-02T00:10' } as Draft),
      { is: 'set', part: { now: minute } },
    );
  const after = (minute: number) => {
    const session = autumn(minute);
    expect(isRecorded(session)).toBe(true);
    const next = run(session, { is: 'continue' });
    return { goesOn: next.scenario !== session.scenario, says: next.notice?.text };
  };
  expect([60, 119, 120, 179, 180].map((minute) => after(minute).goesOn)).toEqual([
    true,
    true,
    false,
    false,
    true,
  ]);
  expect(after(120).says).toContain('comes twice');
});
