import { describe, expect, test } from 'vitest';
import { changedFields, changeWords, readChanges } from '../../src/scenario/changed.ts';

const at = '2031-02-03T07:00:00.000Z';
const change = (what: string[], from: unknown, to: unknown, when = at) => ({
  at: when,
  by: 'kim',
  on: 'icu-desk',
  what,
  from,
  to,
});
const line = (one: object) => `${JSON.stringify(one)}\n`;

test('of two texts of a scenario, the fields of prescriptions that differ; a title is none', () => {
  const scenario = (dose: number, title = 'Week') =>
    JSON.stringify({ title, patients: [{ id: 'bed-04', dose, weight: 80 }] });
  expect(changedFields(scenario(25), scenario(30, 'Another'))).toEqual([
    { what: ['bed-04', 'dose'], from: 25, to: 30 },
  ]);
  expect(changedFields(scenario(25), scenario(25, 'Another'))).toEqual([]);
  for (const none of ['', 'x', '[]', '{}', 'null']) expect(changedFields(none, scenario(25))).toEqual([]);
});

describe('histories of several computers', () => {
  test('are one, the latest first', () => {
    const early = change(['bed-04', 'dose'], 25, 30);
    const late = change(['bed-05', 'dose'], 25, 20, '2031-02-03T08:00:00.000Z');
    const { changes, faults } = readChanges([
      { name: 'a.changes', text: line(late) },
      { name: 'b.changes', text: line(early) },
    ]);
    expect(changes).toEqual([late, early]);
    expect(faults).toEqual([]);
  });
  test('a line that is cut off, or none of ours, is told by file and number, and the others stand', () => {
    const good = change(['bed-04', 'dose'], 25, 30);
    const wrong = [
      line(good).slice(0, 40),
      '[]',
      'null',
      '{}',
      JSON.stringify({ ...good, what: [] }),
      JSON.stringify({ ...good, what: 'bed-04' }),
      JSON.stringify({ ...good, at: 'yesterday' }),
      JSON.stringify({ ...good, by: 7 }),
      JSON.stringify({ ...good, to: undefined }),
    ];
    const { changes, faults } = readChanges([
      { name: 'a.changes', text: [JSON.stringify(good), ...wrong, JSON.stringify(good), ''].join('\n') },
    ]);
    expect(changes).toEqual([good, good]);
    expect(faults).toEqual(
      wrong.map((_, n) => `a.changes, line ${n + 2}, cannot be read. It counts for nothing.`),
    );
  });
});

describe('a change in words', () => {
  test.each([
    [
      change(['bed-04', 'dose'], 25, 30),
      ['bed-04', 'Effluent dose (prescribed)', '25 mL/kg/h', '30 mL/kg/h'],
    ],
    [change(['bed-04', 'weight'], 80, null), ['bed-04', 'Weight', '80 kg', 'empty']],
    [change(['bed-04', 'bath'], '2K', '4K'), ['bed-04', 'Bath', '2K', '4K']],
    [
      change(['bed-04', 'changes', '2031-02-04T07:00', 'dose'], 25, 20),
      ['bed-04', '2031-02-04T07:00 › Effluent dose (prescribed)', '25 mL/kg/h', '20 mL/kg/h'],
    ],
    [
      change(['bed-05'], null, { id: 'bed-05', dose: 25, weight: 70 }),
      ['bed-05', 'Prescription added', '', 'Effluent dose (prescribed) 25 mL/kg/h, Weight 70 kg'],
    ],
    [
      change(['bed-05'], { id: 'bed-05', bath: '2K' }, null),
      ['bed-05', 'Prescription removed', 'Bath 2K', ''],
    ],
    [change(['bed-05', 'invented'], false, [1]), ['bed-05', 'invented', 'no', '[1]']],
  ])('%#', (one, [bed, field, from, to]) => {
    expect(changeWords(one)).toEqual({ bed, field, from, to });
  });
});
