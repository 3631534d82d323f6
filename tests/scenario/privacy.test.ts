import { expect, test } from 'vitest';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { looksLike } from '../../src/scenario/faults/privacy.ts';
import { tinyWorld } from '../world.ts';

// Invented people and numbers.
test.each([
  ['Ada Example', 'a name'],
  ['Example, Ada', 'a name'],
  ["O'Hara Ann-Lee", 'a name'],
  ['Ada E.', 'a name'],
  ['A.E. 12/03/1961', 'a date of birth'],
  ['1961-03-12', 'a date of birth'],
  ['12.3.61', 'a date of birth'],
  ['MRN 1', 'a record number'],
  ['00482913', 'a record number'],
])('%s looks like %s', (id, kind) => {
  expect(looksLike(id)).toBe(kind);
});
test.each([
  'bed-04',
  'Bed 4',
  'Room West',
  'ICU North',
  'Study Arm',
  'S-0042',
  '12',
  '4.2',
  'bed 4/2',
  'HDU-3 left',
  '2031',
])('%s is a label', (id) => {
  expect(looksLike(id)).toBeNull();
});
test('it is a warning where the label stands, and no word of it stops planning', () => {
  const world = tinyWorld();
  const patients = [{ ...world.patients[0]!, id: 'Ada Example' }];
  const faults = faultsOf({ ...world, patients }).filter(({ message }) => /looks like/.test(message));
  expect(faults).toMatchObject([{ level: 'warning', path: ['patients', 0, 'id'] }]);
  expect(faultsOf(world).filter(({ message }) => /looks like/.test(message))).toEqual([]);
});
test('a label of any length is looked at in no time', () => {
  expect(looksLike('A'.repeat(100_000))).toBeNull();
  expect(looksLike(`${'1'.repeat(199)}`)).toBe('a record number');
});
