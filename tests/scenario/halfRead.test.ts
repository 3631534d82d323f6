import { describe, expect, test } from 'vitest';
import { setCells } from '../../src/grid/edits.ts';
import { commit, NO_HISTORY } from '../../src/grid/history.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { repairable } from '../../src/scenario/faults/repairable.ts';
import { faultsOfTheRest } from '../../src/scenario/halfRead.ts';
import { allFaults, pathText, readScenario, shapeFaults, writeScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { judge, parted, toPutRight } from '../../src/views/state/judge.ts';
import { paths, set, sound } from './sound.ts';

/** Six beds, each with one thing wrong, as a tester's file had them: three of kind, three of value. */
const sixWrong = () =>
  sound((s) => {
    s.patients = Array.from({ length: 6 }, (_, i) => ({ id: `b${i}`, weight: 80, dose: 25, bath: '2K' }));
    Object.assign(s.patients[0]!, { bath: undefined });
    Object.assign(s.patients[1]!, { dose: '25 mL/kg/h' });
    Object.assign(s.machines[1]!, { flow: null });
    Object.assign(s.patients[2]!, { weight: -70 });
    Object.assign(s.patients[3]!, { bath: '9K' });
    Object.assign(s.patients[4]!, { until: '2031-02-31T07:00' });
  });
const WRONG = [
  'machines[1] (M2).flow',
  'patients[0] (b0).bath',
  'patients[1] (b1).dose',
  'patients[2] (b2).weight',
  'patients[3] (b3).bath',
  'patients[4] (b4).until',
];
const errorsAt = (scenario: Scenario) =>
  judge(scenario)
    .faults.filter(({ level }) => level === 'error')
    .map(pathText)
    .sort();

describe('faults of a scenario of which some values have the wrong kind', () => {
  test('are all told at once, of kind and of value, by the name of the bed, in file and sheets alike', () => {
    const read = readScenario(writeScenario(sixWrong()));
    expect(read.ok ? [] : read.faults.map(pathText).sort()).toEqual(WRONG);
    expect(errorsAt(JSON.parse(writeScenario(sixWrong())))).toEqual(WRONG);
  });

  test('seven pasted rows are marked at once', () => {
    const scenario = sound((s) => {
      s.patients = Array.from({ length: 7 }, (_, i) => ({ id: `b${i}`, weight: 80, dose: 25, bath: '2K' }));
    });
    const sheet = sheetOf('patients');
    const cells = [
      ['dose', '25 mL/kg/h'], // a quantity in the cell's own unit: fine
      ['weight', '81,5'],
      ['dose', '1,5'],
      ['dose', '-25'],
      ['bath', '9K'],
      ['weight', '700'],
      ['until', '31 February'],
    ].map(([field, text], i) => ({
      row: sheet.rows(scenario)[i]!,
      field: sheet.fields.find(({ key }) => key === field)!,
      text: text!,
    }));
    const pasted = commit({ scenario, history: NO_HISTORY }, 'paste', setCells(sheet, cells)).scenario;
    expect(errorsAt(pasted)).toEqual([
      'patients[1] (b1).weight',
      'patients[2] (b2).dose',
      'patients[3] (b3).dose',
      'patients[4] (b4).bath',
      'patients[5] (b5).weight',
      'patients[6] (b6).until',
    ]);
  });

  test('sheets and file count alike, where one cell holds several faults too', () => {
    const scenario = sound((s) => Object.assign(s.rules, { rounds: ['25:00', '26:00'], fillLitres: 'six' }));
    expect(errorsAt(scenario)).toEqual(['rules.fillLitres', 'rules.rounds[0]', 'rules.rounds[1]']);
    expect(allFaults(scenario)).toHaveLength(3);
  });

  test('none is made up: whatever is put out of a sound scenario, the rest stays sound', () => {
    const odd: readonly unknown[] = [true, null, undefined, 'x', '', {}, [], [null], 7.5];
    let tried = 0;
    for (const path of paths(sound()))
      for (const value of odd) {
        const scenario = sound(set(path, structuredClone(value)));
        if (shapeFaults(scenario).length === 0) continue;
        tried += 1;
        expect(faultsOfTheRest(scenario), `${path} ${JSON.stringify(value)}`).toEqual([]);
      }
    expect(tried).toBeGreaterThan(500);
  });

  test('a bath without a name is not told as missing to each who uses it', () => {
    const scenario = sound((s) => Object.assign(s.baths[1]!, { id: undefined, potassium: -4 }));
    expect(allFaults(scenario).map(pathText)).toEqual(['baths[1].id', 'baths[1].potassium']);
  });
});

describe('repairable', () => {
  const opened = (path: string, value: unknown) =>
    repairable(JSON.stringify(sound(set(path, value)))) !== null;

  test('a file whose cells hold something odd is opened', () => {
    expect(opened('patients.1.weight', '81,5')).toBe(true);
    expect(opened('patients.1.weight', undefined)).toBe(true);
    expect(opened('machines.0.loaded', null)).toBe(true);
    expect(opened('forecast.stayDays', { law: 'sample', values: 'three' })).toBe(true);
  });

  test('one with something else where rows or fields belong is not, at any depth', () => {
    for (const path of ['patients', 'patients.0', 'patients.0.changes', 'patients.0.changes.0', 'rules'])
      expect(opened(path, 5), path).toBe(false);
    expect(opened('forecast.bathByDay', 'x')).toBe(false);
    expect(opened('title', 5)).toBe(false);
    expect(opened('version', 2)).toBe(false);
    for (const text of ['', '[', 'null', '[]', '5']) expect(repairable(text)).toBeNull();
  });
});

test('toPutRight counts errors as errors and warnings as warnings', () => {
  const { errors, warnings } = parted(
    judge(
      sound((s) => {
        s.patients[0]!.dose = 40;
        s.patients[1]!.dose = 400;
        Object.assign(s.machines[0]!, { flow: 'fast' });
      }),
    ).faults,
  );
  expect([errors.map(pathText), warnings.map(pathText)]).toEqual([
    ['machines[0] (M1).flow', 'patients[1] (bed-02).dose'],
    ['patients[0] (bed-01).dose'],
  ]);
  expect(toPutRight(4, 4)).toBe('4 errors to correct before planning, and 4 warnings.');
  expect(toPutRight(1, 0)).toBe('1 error to correct before planning.');
});
