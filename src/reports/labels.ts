import { alsoAs, unitOf } from '../grid/readIon.ts';
import type { Activity } from '../plan/plan.ts';
import { MOST_GLUCOSE } from '../scenario/faults/baths.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Bath } from '../scenario/schema.ts';
import { freeOf } from '../words/solutes.ts';

/** One bag's label, as planned; the real end of the fill is written on it by hand. */
export interface BagLabel {
  readonly bath: string;
  /** What the bath is made of, as typed; '' where nothing is. */
  readonly contents: string;
  /** What the bath lacks, in capitals, e.g. CALCIUM-FREE: shown large. */
  readonly warnings: readonly string[];
  readonly machine: string;
  /** Minute at which its fill ends, as planned. */
  readonly made: number;
  readonly expires: number;
  readonly litres: number;
  /** Bag `number` of `of` in its fill. */
  readonly number: number;
  readonly of: number;
  /** What the barcode says. */
  readonly code: string;
}

/** UTC, e.g. 20310203T1445Z: local times repeat at a clock change, a code must not. */
const stamp = (problem: Problem, minute: number): string =>
  `${new Date(problem.clock.epochOf(minute)).toISOString().slice(0, 16).replaceAll(/[-:]/g, '')}Z`;

/**
 * Text of a bag's barcode, plain ASCII in six fields: `BT1/bath/machine/made/expires/bag-of`, e.g.
 * `BT1/2K/M1/20310203T1445Z/20310208T1445Z/3-8`. Names are percent-encoded (RFC 3986), so a slash in a name is no
 * separator.
 */
export const labelCode = (
  problem: Problem,
  label: Omit<BagLabel, 'code' | 'contents' | 'warnings'>,
): string =>
  [
    'BT1',
    encodeURIComponent(label.bath),
    encodeURIComponent(label.machine),
    stamp(problem, label.made),
    stamp(problem, label.expires),
    `${label.number}-${label.of}`,
  ].join('/');

/** The fields of a label's code. @throws SyntaxError when the text is none. */
export function readLabelCode(
  text: string,
): Pick<BagLabel, 'bath' | 'machine' | 'number' | 'of'> & { made: string; expires: string } {
  const fields = /^BT1\/([^/]+)\/([^/]+)\/(\d{8}T\d{4}Z)\/(\d{8}T\d{4}Z)\/(\d+)-(\d+)$/.exec(text);
  if (!fields) throw new SyntaxError(`not a bag label's code: '${text}'`);
  const [, bath, machine, made, expires, number, of] = fields;
  return {
    bath: decodeURIComponent(bath!),
    machine: decodeURIComponent(machine!),
    made: made!,
    expires: expires!,
    number: Number(number),
    of: Number(of),
  };
}

const MMOL = [
  ['potassium', 'K'],
  ['sodium', 'Na'],
  ['chloride', 'Cl'],
  ['bicarbonate', 'HCO₃'],
  ['acetate', 'acetate'],
] as const;
/** Those of which labels use two units: both are said. */
const IN_BOTH = [
  ['calcium', 'Ca'],
  ['magnesium', 'Mg'],
  ['glucose', 'glucose'],
] as const;

/** No line ends between a number and its name or unit. */
const TIED = '\u00a0';

/**
 * A bath's composition as typed, with its units, e.g. 'K 2, Na 140 mmol/L; Ca 2.5 mEq/L (1.25 mmol/L)'. A label must not
 * state what is likely a slip: glucose in doubt is said to be.
 */
export function contentsText(bath: Bath): string {
  const single = MMOL.flatMap(([ion, name]) => (bath[ion] == null ? [] : [`${name}${TIED}${bath[ion]}`]));
  const both = IN_BOTH.flatMap(([solute, name]) => {
    const value = bath[solute];
    if (value == null) return [];
    if (solute === 'glucose' && value > MOST_GLUCOSE) return [`glucose ${value} (unit in doubt)`];
    const also = alsoAs(solute, value);
    return [`${name}${TIED}${value}${TIED}${unitOf(solute)}${also && ` (${also.replace(' ', TIED)})`}`];
  });
  return [single.length > 0 ? `${single.join(', ')}${TIED}mmol/L` : '', both.join(', ')]
    .filter((text) => text !== '')
    .join('; ');
}

/** A label for each bag of each fill that ends in from..to-1, in order of time. */
export function bagLabels(
  problem: Problem,
  activities: readonly Activity[],
  from: number,
  to: number,
  baths: readonly Bath[],
): BagLabel[] {
  const known = new Map(baths.map((bath) => [bath.id, bath]));
  return activities
    .filter((activity) => activity.kind === 'fill' && activity.end >= from && activity.end < to)
    .sort((a, b) => a.end - b.end)
    .flatMap((activity) => {
      if (activity.kind !== 'fill') return [];
      const bath = known.get(activity.bath);
      const positions = problem.machines.find(({ id }) => id === activity.machine)?.positions ?? 0;
      return Array.from({ length: positions }, (_, index) => {
        const label = {
          bath: activity.bath,
          contents: bath ? contentsText(bath) : '',
          warnings: freeOf(bath),
          machine: activity.machine,
          made: activity.end,
          expires: activity.end + problem.rules.shelf,
          litres: problem.rules.fillLitres,
          number: index + 1,
          of: positions,
        };
        return { ...label, code: labelCode(problem, label) };
      });
    });
}
