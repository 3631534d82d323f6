import { expect, test } from 'vitest';
import { hasOneOf } from '../../../src/views/look/typeface.ts';

// CSS Fonts 4, the unicode-range descriptor: single characters, spans and wildcards.
test('a face is taken along for the letters of a text alone', () => {
  expect(hasOneOf('U+0000-00FF, U+20AC', 'M1: 65 bags')).toBe(true);
  expect(hasOneOf('U+0100-02BA, U+20A0-20AB', 'M1: 65 bags')).toBe(false);
  expect(hasOneOf('U+0100-02BA', 'Dvořák')).toBe(true);
  expect(hasOneOf('U+4??', 'Ж')).toBe(true);
  expect(hasOneOf('U+26', 'R&D')).toBe(true);
  expect(hasOneOf('U+1F600', '😀')).toBe(true);
  expect(hasOneOf('', 'any')).toBe(true);
  expect(hasOneOf('', '')).toBe(false);
});
