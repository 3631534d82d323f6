import { describe, expect, test } from 'vitest';
import { commit, NO_HISTORY, type Recipe } from '../../src/grid/history.ts';
import { pulled } from '../../src/grid/levers.ts';
import { bedsIn, leavingOut, prescriptionChanges } from '../../src/grid/prescriptions.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';

const ward = (): Scenario =>
  tinyWorld({
    baths: [
      { id: '2K', potassium: 2, calcium: 2.5 },
      { id: '4K', potassium: 4, calcium: 2.5 },
      { id: '4K0', potassium: 4, calcium: 0 },
    ],
    patients: [
      { id: 'bed-01', weight: 80, dose: 30, bath: '2K' },
      { id: 'bed-02', weight: 70, dose: 25, bath: '4K', changes: [{ at: '2031-02-03T12:00', bath: '2K' }] },
      {
        id: 'bed-03',
        weight: 90,
        dose: 25,
        bath: '4K0',
        anticoagulation: 'citrate',
      } as Scenario['patients'][0],
    ],
  });
const done = (recipe: Recipe, scenario = ward()) => ({
  before: scenario,
  after: commit({ scenario, history: NO_HISTORY }, 'act', recipe).scenario,
});
const told = (recipe: Recipe, scenario = ward()) => {
  const { before, after } = done(recipe, scenario);
  return prescriptionChanges(before, after).map(({ bed, from, risks }) => [
    bed,
    from?.slice(11) ?? 'start',
    ...risks,
  ]);
};

describe('what an act changes in prescriptions', () => {
  // That a calcium-free dialysate belongs with citrate, and citrate with it: common practice, no source.
  test('one bath for all: each bed, each time, and what to look at again', () => {
    expect(told(pulled({ kind: 'bath', bath: '4K0' }))).toEqual([
      ['bed-01', 'start', 'CALCIUM-FREE without citrate', 'potassium 2 → 4 mmol/L'],
      ['bed-02', 'start', 'CALCIUM-FREE without citrate'],
      ['bed-02', '12:00', 'CALCIUM-FREE without citrate', 'potassium 2 → 4 mmol/L'],
    ]);
    expect(told(pulled({ kind: 'bath', bath: '4K' }))).toContainEqual([
      'bed-03',
      'start',
      'citrate with calcium in the bath',
    ]);
  });
  // Usual: 20 to 25 mL/kg/h delivered (KDIGO Clinical Practice Guideline for AKI 2012, recommendation 5.8.4).
  test('a lower dose: delivered = dose x hours / 24, marked below 20', () => {
    const [row] = told(pulled({ kind: 'dose', most: 21 }));
    expect(row).toEqual(['bed-01', 'start']);
    expect(told(pulled({ kind: 'dose', most: 19.9 }))[0]).toEqual([
      'bed-01',
      'start',
      'delivered 19.9 mL/kg/h: below the usual 20 to 25',
    ]);
    const { before, after } = done(pulled({ kind: 'hours', most: 12 }));
    expect(prescriptionChanges(before, after).map((one) => one.after!.delivered)).toEqual([
      15, 12.5, 12.5, 12.5,
    ]);
  });
  test('a bath whose potassium is typed anew changes all on it, and none can be left out alone', () => {
    const { before, after } = done((draft) => {
      draft.baths[0]!.potassium = 0;
    });
    expect(prescriptionChanges(before, after)).toMatchObject([
      { bed: 'bed-01', from: null, shared: true, risks: ['potassium 2 → 0 mmol/L'] },
      { bed: 'bed-02', from: '2031-02-03T12:00', shared: true },
    ]);
  });
  test('a bath that is only called otherwise changes none', () => {
    const rename: Recipe = (draft) => {
      draft.baths[0]!.id = '2K blue';
      draft.patients[0]!.bath = '2K blue';
      draft.patients[1]!.changes![0]!.bath = '2K blue';
    };
    expect(told(rename)).toEqual([]);
  });
  test('new beds, and beds not yet typed in full, are no change; beds that go are', () => {
    const blank = ward();
    const half = { ...blank, patients: [{ id: 'bed-09' } as Scenario['patients'][0], ...blank.patients] };
    expect(
      told((draft) => {
        Object.assign(draft.patients[0]!, { weight: 60, dose: 25, bath: '2K' });
        draft.patients.push({ id: 'bed-10', weight: 60, dose: 25, bath: '2K' });
      }, half),
    ).toEqual([]);
    const { before, after } = done((draft) => {
      draft.patients.splice(0, 2);
    });
    expect(prescriptionChanges(before, after).map((one) => [one.bed, one.after])).toEqual([
      ['bed-01', null],
      ['bed-02', null],
      ['bed-02', null],
    ]);
  });
  test('beds that are left out stay as they were, also when the act would take them out of the list', () => {
    const scenario = ward();
    const { after } = done(
      leavingOut(pulled({ kind: 'bath', bath: '4K0' }), scenario, new Set([1])),
      scenario,
    );
    expect(after.patients.map(({ bath }) => bath)).toEqual(['4K0', '4K', '4K0']);
    expect(after.patients[1]).toEqual(scenario.patients[1]);
    const remove: Recipe = (draft) => {
      draft.patients.splice(0, 2);
    };
    const kept = done(leavingOut(remove, scenario, new Set([1])), scenario).after;
    expect(kept.patients.map(({ id }) => id).sort()).toEqual(['bed-02', 'bed-03']);
    expect(bedsIn(prescriptionChanges(scenario, kept))).toBe(1);
  });
});
