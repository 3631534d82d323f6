import { describe, expect, test } from 'vitest';
import { entryFault } from '../../src/record/entries.ts';

// What each kind of entry bears, as src/record/RECORD.md tells them: a sound one, and the value that each field may not have.

const common = {
  n: 1,
  id: 'icu/1',
  noted: '2031-02-03T13:00:00Z',
  by: 'AB',
  before: 'a'.repeat(64),
  at: '2031-02-03T07:00',
};
/** Field by field a sound value and a wrong one; `?` before a name: it may be left out, and may be null. */
const SHAPES: Readonly<Record<string, Readonly<Record<string, readonly [sound: unknown, wrong: unknown]>>>> =
  {
    test: { water: ['RO', ''], result: ['fail', 'failed'], '?totalChlorine': [0, -0.1] },
    circuit: {
      machine: ['M1', ''],
      bath: ['2K', 2],
      '?lots': [{ filter: 'F-1' }, 'F-1'],
      '?began': ['2031-02-03T06:30', '06:30'],
    },
    bath: {
      machine: ['M1', null],
      bath: ['2K', ''],
      '?lots': [{ acid: 'A-1', tubing: null }, { acid: 7 }],
      '?began': ['2031-02-03T06:30', '2031-02-03'],
    },
    reading: {
      machine: ['M1', 1],
      '?conductivity': [14, '14'],
      '?temperature': [-1, '36'],
      '?pH': [7.2, -1],
      '?potassium': [0, -2],
    },
    fill: { machine: ['M1', ''] },
    off: {
      machine: ['M1', ''],
      good: [8, 7.5],
      '?rejected': [[{ reason: 'leak', bags: 1 }], [{ reason: 'leak' }]],
      '?litres': [6.5, -1],
    },
    stop: { machine: ['M1', ''], '?why': ['alarm', 3] },
    hold: { lot: ['P-1', ''], '?bags': [0, -1], '?why': ['turbid', 0] },
    release: { lot: ['P-1', 7], '?bags': [2, 1.5], '?why': ['signed', {}] },
    discard: { lot: ['P-1', null], '?bags': [2, '2'], '?why': ['leak', []] },
    leave: {
      round: ['2031-02-03T06:00', '06:00'],
      loads: [[{ lot: 'P-1', bags: 2, bed: 'bed-01' }], [{ lot: 'P-1' }]],
      '?declared': ['not carried', 'perhaps'],
    },
    arrive: {
      lot: ['C-9', ''],
      bags: [60, 0.5],
      '?bath': ['4K', ''],
      '?litres': [5, -5],
      '?expires': ['2031-02-04T06:00', 'soon'],
    },
    count: { lot: ['P-1', ''], bags: [3, -3] },
    out: { '?machine': ['M1', ''], '?water': ['RO', ''], '?until': ['2031-02-03T09:00', 9] },
    back: { '?machine': ['M1', 1], '?water': ['RO', false], '?until': ['2031-02-03T09:00', ''] },
    staff: {
      shift: ['day', ''],
      date: ['2031-02-03', '2031-02-30'],
      technicians: [0, -1],
      '?names': [['AB'], ['']],
    },
    duty: { duty: ['break', ''], '?place': ['M1', 4] },
    void: { of: ['icu/1', ''], '?at': ['2031-02-03T07:00', '07:00'], '?why': ['typed twice', 2] },
    note: { text: ['the pump hums', null] },
  };
const bare = (field: string) => field.replace('?', '');
const sound = (kind: string): Record<string, unknown> => ({
  ...common,
  kind,
  ...Object.fromEntries(Object.entries(SHAPES[kind]!).map(([field, [value]]) => [bare(field), value])),
});

describe.each(Object.keys(SHAPES))('an entry "%s"', (kind) => {
  test('is sound with all its fields, and with none that may be left out', () => {
    expect(entryFault(sound(kind))).toBeNull();
    for (const field of Object.keys(SHAPES[kind]!).filter((name) => name.startsWith('?'))) {
      const { [bare(field)]: _, ...without } = sound(kind);
      expect(entryFault(without), field).toBeNull();
      expect(entryFault({ ...without, [bare(field)]: null }), field).toBeNull();
    }
    expect(entryFault({ ...sound(kind), more: 'kept' })).toBeNull();
  });
  test('is told by its field where one is wrong, or missing', () => {
    for (const [field, [, wrong]] of Object.entries(SHAPES[kind]!)) {
      const name = bare(field);
      expect(entryFault({ ...sound(kind), [name]: wrong }), field).toMatch(new RegExp(`^${name}(\\.|:)`));
      const { [name]: _, ...without } = sound(kind);
      if (!field.startsWith('?')) expect(entryFault(without), field).toMatch(new RegExp(`^${name}: `));
    }
  });
});

test.each([
  ['n', 0, /^n: /],
  ['id', '', /^id: /],
  ['by', null, /^by: invalid input/],
  ['before', `x${'a'.repeat(64)}`, /^before: Expected: 64 hexadecimal digits$/],
  ['before', `${'a'.repeat(64)}0`, /^before: Expected: 64 hexadecimal digits$/],
  [
    'at',
    '2031-02-03T07:00:30',
    /^at: Expected: a local date and time in whole minutes, like 2031-02-03T07:00$/,
  ],
  ['again', 'yes', /^again: /],
  ['kind', 'gone', /^kind: /],
])('what every entry bears: %s is not %j', (field, wrong, told) => {
  expect(entryFault({ ...sound('note'), [field]: wrong })).toMatch(told);
});

test('a date is told what it should look like', () => {
  expect(entryFault({ ...sound('staff'), date: 'Monday' })).toBe('date: Expected: a date like 2031-02-03');
});

test.each([
  ['2031-02-03T13:00Z', true],
  ['2031-02-03T13:00:05Z', true],
  ['2031-02-03T13:00:05.123456789Z', true],
  ['2031-02-03T13:00:05+00:00', true],
  ['2031-02-03T13:00:05+01:00', false],
  ['2031-02-03T13:00:05', false],
  [' 2031-02-03T13:00:05Z', false],
  ['2031-02-03T13:00:05Z ', false],
  ['2031-02-03T13:00:05.Z', false],
  ['2031-02-30T25:00:05Z', false],
  ['2031-02-03', false],
])('an instant is in UTC: %s', (noted, fine) => {
  const fault = entryFault({ ...sound('note'), noted });
  expect(fault).toBe(fine ? null : 'noted: Expected: an instant in UTC, like 2031-02-03T13:00:00Z');
});

test.each([2031, null, 'note', []])('%j is no entry', (value) => {
  expect(entryFault(value)).toMatch(/^invalid input/);
});

test.each([
  ['test', 'result', ['pass', 'fail']],
  ['leave', 'declared', ['carried', 'not carried', 'carried over']],
] as const)('an entry "%s" may have each word of its %s', (kind, field, words) => {
  for (const word of words) expect(entryFault({ ...sound(kind), [field]: word })).toBeNull();
});
