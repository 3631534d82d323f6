import { describe, expect, it, test } from 'vitest';
import { z } from 'zod';
import { groundOf } from '../../src/scenario/faults/fault.ts';
import { FAULT_RULES, faultsOf } from '../../src/scenario/faults/faults.ts';
import { editsBetween, nearestName, objectsIn } from '../../src/scenario/faults/fields.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { faultLine } from '../../src/scenario/read.ts';
import { generate } from '../bench/generate.ts';
import { FIELDS_CASES } from './cases-fields.ts';
import { FLOOR_CASES } from './cases-floor.ts';
import { LOTS_CASES } from './cases-lots.ts';
import { MACHINES_CASES } from './cases-machines.ts';
import { OFFERS_CASES } from './cases-offers.ts';
import { PATIENTS_CASES } from './cases-patients.ts';
import { RULES_CASES } from './cases-rules.ts';
import { TIMES_CASES } from './cases-times.ts';
import { type Edit, sound } from './sound.ts';

const CASES = {
  ...FIELDS_CASES,
  ...TIMES_CASES,
  ...PATIENTS_CASES,
  ...MACHINES_CASES,
  ...LOTS_CASES,
  ...OFFERS_CASES,
  ...RULES_CASES,
  ...FLOOR_CASES,
  fillWindowEmpty: [...MACHINES_CASES.fillWindowEmpty!, ...FLOOR_CASES.fillWindowEmpty!],
};

describe('faultsOf', () => {
  it('finds nothing in the sound scenario', () => {
    expect(faultsOf(sound())).toEqual([]);
  });

  it('has cases of firing and of silence for every rule', () => {
    expect(Object.keys(CASES).sort()).toEqual(Object.keys(FAULT_RULES).sort());
    for (const [name, cases] of Object.entries(CASES))
      expect(
        cases.some(([, , faults]) => faults.length > 0),
        `${name} never fires`,
      ).toBe(true);
  });

  for (const [name, cases] of Object.entries(CASES))
    describe(name, () => {
      for (const [what, edit, faults] of cases)
        it(`${what}: ${faults.length > 0 ? faults.join(', ') : 'silent'}`, () => {
          const found = [...FAULT_RULES[name]!(groundOf(sound(edit)))];
          expect(found.map(({ level, path }) => `${level} ${path.join('.')}`)).toEqual(faults);
          for (const fault of found) {
            expect(fault.message).not.toMatch(/undefined|NaN|null/);
            expect(fault.hint.length).toBeGreaterThan(2);
          }
        });
    });

  it('tells all faults of all rules at once, with the name of the row', () => {
    const found = faultsOf(
      sound((s) => {
        s.patients[1]!.dose = -1;
        s.machines[1]!.flow = 0;
        s.stock[0]!.bath = '9K';
        s.water[0]!.testEvery = 0;
        s.timeZone = 'Nowhere';
      }),
    );
    expect(found.map(({ path, row }) => `${path.join('.')} ${row ?? ''}`.trim()).sort()).toEqual([
      'machines.1.flow M2',
      'patients.1.dose bed-02',
      'stock.0.bath P-1',
      'timeZone',
      'water.0.testEvery RO-A',
    ]);
  });

  it('lets nothing pass that compile cannot take', () => {
    for (const [name, cases] of Object.entries(CASES))
      for (const [what, edit] of cases) {
        const scenario = sound(edit);
        if (faultsOf(scenario).some(({ level }) => level === 'error')) continue;
        expect(() => compile(scenario), `${name}: ${what}`).not.toThrow();
      }
  });
});

describe('unknownField', () => {
  test('objectsIn: each object whose fields the format names, with its path; free ones are left alone', () => {
    const free = z.looseObject({
      rows: z.array(z.looseObject({})).nullish(),
      one: z.looseObject({ a: z.number() }),
    });
    const found = [...objectsIn(free, { rows: [{ kind: 'fill' }, 5], one: { b: 1 }, more: { c: 1 } })];
    expect(found.map(({ path, names }) => [path.join('.'), names.join()])).toEqual([
      ['', 'rows,one'],
      ['one', 'a'],
    ]);
  });

  test('editsBetween counts letters added, dropped, changed and swapped', () => {
    // The usual example, and one of each.
    for (const [a, b, edits] of [
      ['kitten', 'sitting', 3],
      ['', 'dose', 4],
      ['dose', 'dose', 0],
      ['dsoe', 'dose', 1],
      ['doses', 'dose', 1],
      ['dse', 'dose', 1],
    ] as const)
      expect([editsBetween(a, b), editsBetween(b, a)]).toEqual([edits, edits]);
  });

  test('nearestName: one slip in a short name, two in a long one, case and separators are none', () => {
    const names = ['id', 'dose', 'weight', 'fluidRemoval', 'until'];
    expect(nearestName('fluidRemovel', names)).toBe('fluidRemoval');
    expect(nearestName('Fluid_removals', names)).toBe('fluidRemoval');
    expect(nearestName('DOSE', names)).toBe('dose');
    expect(nearestName('doze', names)).toBe('dose');
    for (const far of ['note', 'kg', 'x-site', 'nose-', 'w', '\u0000'.repeat(5000)])
      expect(
        nearestName(
          far,
          names.filter((name) => name !== 'dose'),
        ),
        far,
      ).toBeUndefined();
  });

  test('names the field that is right, else those that there are', () => {
    const lines = faultsOf(
      sound((s) => {
        Object.assign(s.patients[1]!, { fluidRemovel: 500, note: 'by the lift' });
        Object.assign(s.patients[0]!, { note: '' });
      }),
    ).map((fault) => faultLine('week.json', fault));
    expect(lines).toEqual([
      'week.json: patients[1] (bed-02).fluidRemovel: unknown field fluidRemovel; it is kept, but not used. Expected: fluidRemoval',
      'week.json: patients[0] (bed-01).note: unknown field note in 2 places; it is kept, but not used. Expected: no such field; those known here are id, weight, dose, fluidRemoval, replacement, hoursPerDay, anticoagulation, citrateFlow, bath, from, until, changes, ward, priority, hanging, session',
    ]);
  });

  test('is silent on all that the bench generates', () => {
    for (let seed = 1; seed <= 10; seed++)
      for (const kind of ['tiny', 'week'] as const)
        expect(
          faultsOf(generate({ seed, kind })).filter(({ message }) => message.startsWith('unknown')),
        ).toEqual([]);
  });
});

test('a fault speaks of a field by its name on the screen, not by its key in the file', () => {
  const wrong = (edit: Edit) => faultsOf(sound(edit)).map(({ message }) => message);
  expect(wrong((s) => Object.assign(s.patients[0]!, { dose: -1 }))).toContain(
    'Effluent dose (prescribed) is -1 mL/kg/h',
  );
  expect(wrong((s) => Object.assign(s.water[0]!, { testMinutes: 0 }))).toContain('Test takes 0 min');
  expect(wrong((s) => Object.assign(s.machines[0]!, { flowTolerance: 0.4 }))[0]).toMatch(
    /^Flow tolerance is 0\.4/,
  );
  // No message of a number out of range holds a key of the file.
  const keys =
    /\b(fillLitres|maxLitres|shelfHours|circuitHours|flowTolerance|hoursPerDay|fluidRemoval|slackMinutes|walkMinutes|onHand|perFill|testEvery)\b/;
  const everything = wrong((s) => {
    Object.assign(s.rules!, { shelfHours: -1, circuitHours: -1, maxLitres: 99, walkMinutes: -1 });
    Object.assign(s.patients[0]!, { hoursPerDay: 99, fluidRemoval: -5 });
    Object.assign(s.duties![0]!, { slackMinutes: -1 });
    Object.assign(s.supplies![0]!, { onHand: -1, perFill: -1 });
  });
  expect(everything.length).toBeGreaterThan(8);
  expect(everything.filter((message) => keys.test(message))).toEqual([]);
});
