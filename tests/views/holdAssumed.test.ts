import { expect, test } from 'vitest';
import { FIELDS, readAssumed } from '../../src/views/pictures/HoldAssumed.tsx';

const read = (label: string, text: string, locale = 'en-US') =>
  readAssumed(FIELDS.find((one) => one.label.startsWith(label))!, text, locale);

test('a number is read with its unit or without, as the locale writes it', () => {
  expect(read('Fills', '5')).toEqual({ value: 5 });
  expect(read('Fills', ' 5 % ')).toEqual({ value: 5 });
  expect(read('Fills', '2,5', 'de-DE')).toEqual({ value: 2.5 });
  expect(read('Fills', '2,5')).toEqual({ value: 2.5 });
  expect(read('Swaps', '15 min')).toEqual({ value: 15 });
  expect(read('A machine', '0.05')).toEqual({ value: 0.05 });
});

test('a number that cannot be is named: where, what is wrong, what is expected', () => {
  expect(read('Fills', '60')).toEqual({
    wrong:
      "Will it hold? › Fills take longer by up to: '60' is more than 50. Expected: a number from 0 to 50 (%).",
  });
  for (const [label, text, why] of [
    ['Fills', '', 'nothing is typed'],
    ['Fills', 'a lot', "'a lot' is no number of %"],
    ['Fills', '5 min', "'5 min' is no number of %"],
    ['Swaps', '-1', "'-1' is less than 0"],
    ['Swaps', '2.5', "'2.5' is no whole number"],
    // Thousands, which a decimal comma would make a thousand times smaller.
    ['down each', '1,440', "'1,440' is no number of min"],
  ] as const)
    expect(read(label, text)).toMatchObject({ wrong: expect.stringContaining(`: ${why}. Expected: `) });
});
