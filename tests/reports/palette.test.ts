import { describe, expect, test } from 'vitest';
import { bathLooks, contrast, luminance, TINTS } from '../../src/reports/palette.ts';

type Vector = readonly [number, number, number];

/**
 * How eyes without one kind of cone see linear RGB. Machado, Oliveira, Fernandes: A physiologically-based model for
 * simulation of color vision deficiency. IEEE TVCG 2009;15(6):1291-1298, severity 1.0 (matrices from memory).
 */
const EYES: Readonly<Record<string, readonly Vector[]>> = {
  'all cones': [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'no red cones': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'no green cones': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'no blue cones': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};
const linear = (hex: string): Vector => {
  const [r, g, b] = [1, 3, 5].map((from) => luminance(`#${hex.slice(from, from + 2).repeat(3)}`));
  return [r!, g!, b!];
};
const seen = (eye: readonly Vector[], [r, g, b]: Vector): Vector => {
  const [x, y, z] = eye.map((row) => Math.min(1, Math.max(0, row[0] * r + row[1] * g + row[2] * b)));
  return [x!, y!, z!];
};
/** CIE L*a*b* for white D65 (CIE 15). */
const lab = ([r, g, b]: Vector): Vector => {
  const f = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : (t * 24389) / 27 / 116 + 16 / 116);
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
};
const distance = (a: Vector, b: Vector) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
const pairs = <T>(list: readonly T[]) =>
  list.flatMap((a, index) => list.slice(index + 1).map((b) => [a, b] as const));

describe('palette', () => {
  test.each(Object.keys(EYES))('tints are far apart for %s', (name) => {
    // A CIE76 difference of 2.3 is just noticeable (Mahy et al. 1994, from memory); bars lie apart, so ask for five of them.
    for (const [a, b] of pairs(TINTS.map((tint) => lab(seen(EYES[name]!, linear(tint))))))
      expect(distance(a, b)).toBeGreaterThan(11.5);
  });

  test('the first four, which most sites need, are apart in grey', () => {
    for (const [a, b] of pairs(TINTS.slice(0, 4).map((tint) => lab(linear(tint))[0])))
      expect(Math.abs(a - b)).toBeGreaterThan(8);
  });

  test('text on a tint reaches WCAG 2.2 contrast 4.5', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 9);
    for (const { tint, ink } of bathLooks(TINTS.map((_, index) => `bath ${index}`)))
      expect(contrast(tint, ink)).toBeGreaterThanOrEqual(4.5);
  });

  test('marks and patterns differ; a site may set its own tint, never a broken one', () => {
    const looks = bathLooks(['2K', 'A', 'a long name', 'another long name'], { '2K': '#123456', A: 'red' });
    // A and B mean the concentrates; C, S, T and D stand for work on the timeline.
    expect(looks.map(({ mark }) => mark)).toEqual(['2K', 'E', 'F', 'G']);
    const many = bathLooks(Array.from({ length: 45 }, (_, index) => `bath number ${index}`)).map(
      ({ mark }) => mark,
    );
    expect(new Set(many).size).toBe(45);
    expect(many.filter((mark) => /^[ABCDST]/.test(mark))).toEqual([]);
    expect(new Set(looks.map(({ pattern }) => pattern)).size).toBe(4);
    expect([looks[0]!.tint, looks[0]!.ink, looks[1]!.tint]).toEqual(['#123456', '#ffffff', TINTS[1]]);
  });
});
