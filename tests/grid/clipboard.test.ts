import { expect, test } from 'vitest';
import { inUnitOf, isHeaderLine } from '../../src/grid/clipboard.ts';

test.each([
  [['Bed', 'Weight', 'Dose'], true],
  [[' BED', 'weight (kg)', 'Dose [mL/kg/h]'], true],
  [['Bed', 'Weight (lb)'], true],
  [['Bed', 'Weight', 'Dose', 'beyond the last column'], true],
  [['Bed', 'Dose', 'Weight'], false],
  [['bed-01', '80', '25'], false],
  [['', '', ''], false],
])('a line of headers: %j %s', (line, expected) => {
  expect(isHeaderLine(line, [['Bed'], ['Weight'], ['Effluent dose (prescribed)', 'dose']])).toBe(expected);
});

test.each([
  ['Weight (lb)', '180', 'kg', '180 lb'],
  ['Weight (kg)', '80', 'kg', '80'],
  ['Weight', '80', 'kg', '80'],
  ['Weight (dry)', '80', 'kg', '80'],
  ['Weight (lb)', '80 kg', 'kg', '80 kg'],
  ['Bath (lb)', '2', undefined, '2'],
])('below %s %s stands in %s for %s', (header, text, unit, expected) => {
  expect(inUnitOf(header, text, unit)).toBe(expected);
});
