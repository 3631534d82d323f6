import { describe, expect, it } from 'vitest';
import { groundOf } from '../../src/scenario/faults/fault.ts';
import { FAULT_RULES, faultsOf } from '../../src/scenario/faults.ts';
import { compile } from '../../src/scenario/problem.ts';
import { LOTS_CASES } from './cases-lots.ts';
import { MACHINES_CASES } from './cases-machines.ts';
import { PATIENTS_CASES } from './cases-patients.ts';
import { RULES_CASES } from './cases-rules.ts';
import { TIMES_CASES } from './cases-times.ts';
import { sound } from './sound.ts';

const CASES = { ...TIMES_CASES, ...PATIENTS_CASES, ...MACHINES_CASES, ...LOTS_CASES, ...RULES_CASES };

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
