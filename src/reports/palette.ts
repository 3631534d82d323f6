import { TAKEN_LETTERS } from '../words/activities.ts';

/**
 * Bath tints of our own: apart in hue for colour-blind eyes and apart in lightness for grey print. Marks and patterns
 * say the same without colour. `tests/reports/palette.test.ts` holds them to it.
 */
export const TINTS = [
  '#81d5f2',
  '#d27a1f',
  '#f8ee53',
  '#53718f',
  '#9d8af7',
  '#f4b18d',
  '#274a6e',
  '#8c290e',
] as const;

export type Tints = Readonly<Record<string, string>>;
/** None of them is the slanted hatch of what is unmet, nor the crosses of what is away: one hatch has one meaning. */
const PATTERNS = ['plain', 'dots', 'backslash', 'rows', 'rings', 'columns', 'cross', 'waves'] as const;
type PatternName = (typeof PATTERNS)[number];

export interface BathLook {
  readonly bath: string;
  /** #rrggbb */
  readonly tint: string;
  /** Black or white, whichever reads better on the tint. */
  readonly ink: '#000000' | '#ffffff';
  /** Short sign for narrow bars: the id where it is short and no letter that means something else; else a letter. */
  readonly mark: string;
  readonly pattern: PatternName;
}

const HEX = /^#[0-9a-f]{6}$/i;

/** Relative luminance, 0 black .. 1 white (WCAG 2.2, definition of relative luminance). */
export function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((from) => {
    const share = Number.parseInt(hex.slice(from, from + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

/** Contrast of two colours, 1..21 (WCAG 2.2, definition of contrast ratio). */
export function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

/**
 * How each bath looks, in the scenario's order. A site's own tint goes before the default; one that is no #rrggbb is
 * passed over.
 */
export function bathLooks(baths: readonly string[], tints: Tints = {}): BathLook[] {
  const bears = (bath: string) => bath.length <= 4 && !TAKEN_LETTERS.includes(bath.toUpperCase());
  const short = baths.filter(bears);
  const letters = 'EFGHIJKLMNOPQRUVWXYZ'
    .split('')
    .filter((letter) => !TAKEN_LETTERS.includes(letter) && !short.includes(letter));
  let next = 0;
  /** The next free letter; once all are used, each twice. */
  const letter = () => {
    const one = letters[next % letters.length]!;
    return one.repeat(1 + Math.floor(next++ / letters.length));
  };
  return baths.map((bath, index) => {
    const own = tints[bath];
    const tint = own && HEX.test(own) ? own : TINTS[index % TINTS.length]!;
    return {
      bath,
      tint,
      ink: contrast(tint, '#000000') >= contrast(tint, '#ffffff') ? '#000000' : '#ffffff',
      mark: bears(bath) ? bath : letter(),
      pattern: PATTERNS[index % PATTERNS.length]!,
    };
  });
}
