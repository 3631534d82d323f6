import { knowsUnit } from './formula.ts';
import type { Field } from './sheet.ts';

/** Other headings that people give a column, by the key of its field. Never a person's name. Common practice, no source. */
const SYNONYMS: Readonly<Record<string, readonly string[]>> = {
  id: [
    'bed',
    'room',
    'label',
    'study label',
    'bed label',
    'bed no',
    'bed number',
    'shift',
    'source',
    'machine',
    'bath',
  ],
  weight: ['wt', 'body weight', 'bw', 'patient weight', 'dry weight'],
  dose: [
    'effluent',
    'effluent dose',
    'effluent dose (prescribed)',
    'dialysate dose (prescribed)',
    'prescribed dose',
    'prescribed effluent',
    'rx dose',
    'ml/kg/h',
    'ml/kg/hr',
  ],
  bath: ['dialysate', 'dialysate bath', 'solution', 'k bath', 'prescribed bath', 'bag type'],
  fluidRemoval: [
    'fluid removal',
    'net fluid removal',
    'net uf',
    'uf',
    'uf rate',
    'net ultrafiltration',
    'ultrafiltration',
    'net removal',
  ],
  replacement: [
    'replacement fluid',
    'replacement fluid (pre- and post-filter)',
    'pre-filter',
    'prefilter',
    'post-filter',
    'postfilter',
    'pre-filter replacement',
    'substitution',
    'rf',
  ],
  hoursPerDay: [
    'h/day',
    'h/d',
    'hours/day',
    'hrs/day',
    'hours',
    'therapy',
    'therapy a day',
    'therapy hours per day',
    'hours per day',
    'run time',
  ],
  anticoagulation: ['anticoag', 'anticoagulant'],
  citrateFlow: ['citrate', 'citrate flow', 'citrate rate', 'citrate flow in the effluent'],
  from: ['start', 'starts', 'start time', 'begin', 'therapy start'],
  until: ['end', 'ends', 'stop', 'end time', 'therapy end'],
  at: ['time', 'when', 'date', 'date and time', 'change at'],
  flow: ['qd', 'flow', 'flow rate', 'dialysate flow'],
  positions: ['bags per fill', 'positions', 'bags side by side'],
  lot: ['batch', 'lot no', 'lot number'],
  bags: ['qty', 'quantity', 'number of bags', 'count'],
  litres: ['volume', 'bag volume', 'litres', 'liters', 'bag size'],
  expires: ['expiry', 'exp', 'exp date', 'use by', 'expiration'],
  ready: ['available', 'arrives', 'ready at'],
  potassium: ['k', 'k+'],
  sodium: ['na', 'na+'],
  calcium: ['ca', 'ca++', 'ca2+'],
  magnesium: ['mg', 'mg++', 'mg2+'],
  chloride: ['cl', 'cl-'],
  bicarbonate: ['hco3', 'hco3-', 'bicarb'],
  glucose: ['dextrose', 'gluc'],
  item: ['supply', 'product', 'name'],
  onHand: ['stock', 'on hand', 'in stock', 'qty', 'quantity'],
};

const plain = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '');

/** A heading parted from its unit: 'Weight (lb)', 'Weight, lb', 'Net UF mL/h'. */
export function partHeading(heading: string): { readonly name: string; readonly unit?: string } {
  const bracketed = /^(.*?)\s*[([]([^)\]]+)[)\]]\s*$/.exec(heading);
  // '(prescribed)' is part of a name, no unit; mEq is one that only labels know.
  if (bracketed && (knowsUnit(bracketed[2]!) || /meq|mval/i.test(bracketed[2]!)))
    return { name: bracketed[1]!, unit: bracketed[2]!.trim() };
  const trailing = /^(.+?)[,;]?\s+(\S+)$/.exec(heading.trim());
  return trailing && knowsUnit(trailing[2]!) ? { name: trailing[1]!, unit: trailing[2]! } : { name: heading };
}

/** For each heading the field it means, and the unit of its plain numbers; null: none here. */
export type Mapping = readonly ({ readonly field: string; readonly unit?: string } | null)[];

/** How sure a heading means a field: 2 its own name, 1 a usual other one, 0 neither. */
function fitOf(field: Field, heading: string): 0 | 1 | 2 {
  const wanted = new Set([plain(partHeading(heading).name), plain(heading)]);
  const own = [
    field.key,
    field.header,
    `${field.header} ${field.unit ?? ''}`,
    // The last key of a deeper path says too little: 'start' of a session is no start of therapy.
    ...(field.path.length === 1 ? field.path.map(String) : []),
  ];
  if (own.some((text) => wanted.has(plain(text)))) return 2;
  const others = SYNONYMS[field.key] ?? [];
  // The unit alone names a column where no other has it: mL/kg/h.
  return others.some((text) => wanted.has(plain(text))) ? 1 : 0;
}

/** Which field each heading means; each field once, the one that is named outright before one that is only usual. */
export function mapHeadings(fields: readonly Field[], headings: readonly string[]): Mapping {
  const open = fields.filter((field, at) => field.kind !== 'fixed' || at === 0);
  const found = new Map<number, Field>();
  for (const sure of [2, 1] as const)
    for (const [at, heading] of headings.entries()) {
      if (found.has(at) || plain(heading) === '') continue;
      const taken = new Set(found.values());
      const field = open.find((one) => !taken.has(one) && fitOf(one, heading) === sure);
      if (field) found.set(at, field);
    }
  return headings.map((heading, at) => {
    const field = found.get(at);
    if (!field) return null;
    const { unit } = partHeading(heading);
    return unit && unit !== field.unit && field.kind === 'number'
      ? { field: field.key, unit }
      : { field: field.key };
  });
}

/** A line of a pasted block that says what its columns are: two of them are known, and at least half. */
export function isHeadingLine(mapping: Mapping, line: readonly string[]): boolean {
  const known = mapping.filter((one) => one !== null).length;
  const said = line.filter((text) => text.trim() !== '').length;
  return known >= 2 && known * 2 >= said;
}

/** A column of a table that nothing here matches, with how many values it holds. */
export interface LeftOut {
  readonly heading: string;
  readonly values: number;
}
export const leftOutOf = (
  headings: readonly string[],
  table: readonly (readonly string[])[],
  mapping: Mapping,
): LeftOut[] =>
  headings.flatMap((heading, at) => {
    const values = table.filter((line) => (line[at] ?? '').trim() !== '').length;
    return mapping[at] === null && values > 0 ? [{ heading: heading || `column ${at + 1}`, values }] : [];
  });
