import type { Bath, MachineRow, Scenario, ShiftRow, WaterRow } from '../scenario/schema.ts';
import { countText } from '../words/numbers.ts';
import { fromCsv } from './csv.ts';
import { freeName } from './edits.ts';
import { isHeadingLine, leftOutOf, type Mapping } from './headings.ts';
import type { Recipe } from './history.ts';
import { previewImport } from './import.ts';
import { LISTS } from './lists.ts';
import { passedText, tableIn } from './messy.ts';
import { readClockTime } from './readTime.ts';

/** A composition that somebody published, to start from: the site's own prescription takes its place. */
interface TypicalBath {
  readonly bath: Bath;
  readonly source: string;
}
const STORED = 'BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1 (measured)';
/** Calcium and magnesium in mEq/L, all else in mmol/L. What a source does not give is not typed. */
export const TYPICAL_BATHS: readonly TypicalBath[] = [
  {
    // Printed as calcium 1.25 and magnesium 0.5 mmol/L.
    bath: {
      id: '1K',
      potassium: 1,
      sodium: 140,
      calcium: 2.5,
      magnesium: 1,
      chloride: 107.5,
      bicarbonate: 34,
      glucose: 5.5,
    },
    source: 'GPnotebook, "Composition of dialysate fluid"',
  },
  {
    bath: {
      id: '2K',
      potassium: 2.3,
      sodium: 140,
      calcium: 2.5,
      magnesium: 1,
      chloride: 110,
      bicarbonate: 34,
    },
    source: STORED,
  },
  { bath: { id: '3K', potassium: 3, sodium: 142, calcium: 2.6, chloride: 110 }, source: STORED },
];

/** What typed words came to: what was understood, what was not said yet or cannot be, and the act that adds it. */
export interface Understood {
  readonly said: readonly string[];
  readonly missing: readonly string[];
  /** null: nothing to add yet. */
  readonly recipe: Recipe | null;
}
/** The first name that nobody has. */
const nextName = (list: readonly Record<string, unknown>[], key: string, first: string): string =>
  list.some((row) => row[key] === first) ? freeName(list, key, first) : first;
const NOTHING: Understood = { said: [], missing: [], recipe: null };

/** Typical baths that are not listed yet under their names, added as they were published. */
export const addBaths =
  (baths: readonly Bath[]): Recipe =>
  (draft) => {
    for (const bath of baths)
      if (!draft.baths.some(({ id }) => id === bath.id)) draft.baths.push({ ...bath });
  };

const NUMBERS = [
  '',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];
/** '2,400' and '0.8'; 'eight' counts as well. */
const numberIn = (text: string): number => {
  const word = NUMBERS.indexOf(text.toLowerCase());
  if (word > 0) return word;
  return Number(/^\d{1,3}(,\d{3})+$/.test(text) ? text.replaceAll(',', '') : text.replace(',', '.'));
};
const FLOW = String.raw`([\d.,]+)\s*(mL\/min|L\/min|L\/h)\b`;
const perMinute = (match: RegExpExecArray | null): number | undefined => {
  if (!match) return undefined;
  const factor = { 'ml/min': 1, 'l/min': 1000, 'l/h': 1000 / 60 }[match[2]!.toLowerCase()]!;
  return Math.round(numberIn(match[1]!) * factor * 1000) / 1000;
};
const GIVES = new RegExp(String.raw`(?:gives|capacity(?:\s+of)?)\s*${FLOW}`, 'i');
const EVERY = /tests?(?:ed)?\s+every\s+([\d.,]+)\s*(h|min)/i;
const TAKES = /tests?\s+takes\s+([\d.,]+)\s*min/i;

/** What is said of a water source in a description of a machine. */
function waterIn(
  text: string,
  scenario: Scenario,
): { row: Partial<WaterRow> & { id: string }; old: boolean } {
  const named =
    /\bfrom\s+(?:the\s+)?(?:water\s+(?:source\s+)?)?([\p{L}][\p{L}\p{N} -]*?)(?=\s*(?:[,.;\n]|$|\bwhich\b|\bthat\b|\bgives\b))/iu.exec(
      text,
    )?.[1];
  const id = named?.trim() ?? String(scenario.water[0]?.id ?? 'Water 1');
  const before = scenario.water.find((one) => one.id === id);
  const every = EVERY.exec(text);
  const takes = TAKES.exec(text);
  return {
    old: before !== undefined,
    row: {
      id,
      capacity: perMinute(GIVES.exec(text)) ?? before?.capacity,
      testEvery: every
        ? Math.round(numberIn(every[1]!) * (every[2]!.toLowerCase() === 'h' ? 60 : 1))
        : before?.testEvery,
      testMinutes: takes ? Math.round(numberIn(takes[1]!)) : before?.testMinutes,
    },
  };
}

/** 'M1 fills 8 bags at 800 mL/min from RO-A, which gives 2,400 mL/min, tested every 4 h, a test takes 10 min'. */
export function machineInWords(text: string, scenario: Scenario): Understood {
  if (text.trim() === '') return NOTHING;
  const own = text.replace(GIVES, '');
  const flow = perMinute(new RegExp(FLOW, 'i').exec(own));
  const bags = new RegExp(`\\b(\\d+|${NUMBERS.slice(1).join('|')})\\s*(?:bags?|positions?)`, 'i').exec(
    own,
  )?.[1];
  const positions = bags === undefined ? undefined : numberIn(bags);
  const name = /^\s*(?:machine\s+)?([\p{L}][\p{L}\p{N}-]*\d[\p{L}\p{N}-]*)\b/iu.exec(text)?.[1];
  const id = name ?? nextName(scenario.machines, 'id', 'M1');
  const { row: water, old } = waterIn(text, scenario);
  const machine: Partial<MachineRow> = { id, flow, positions, water: water.id };
  const taken = scenario.machines.some((one) => one.id === id);
  const missing = [
    taken && `another name: ${id} is listed already`,
    flow === undefined && 'the flow, e.g. 800 mL/min',
    positions === undefined && 'the bags per fill, e.g. 8 bags',
    water.capacity === undefined && `what ${water.id} gives, e.g. gives 2,400 mL/min`,
    water.testEvery === undefined && 'how often the water is tested, e.g. tested every 4 h',
    water.testMinutes === undefined && 'how long a test takes, e.g. a test takes 10 min',
  ].filter((one) => one !== false);
  const shown = (value: number | undefined, unit: string) => (value === undefined ? '?' : `${value} ${unit}`);
  return {
    said: [
      `Machine ${id}: ${shown(positions, 'bags per fill')}, ${shown(flow, 'mL/min')}, water ${water.id}`,
      `Water ${water.id}: gives ${shown(water.capacity, 'mL/min')}, tested every ${shown(water.testEvery, 'min')}, a test takes ${shown(water.testMinutes, 'min')}`,
    ],
    missing,
    recipe:
      missing.length > 0
        ? null
        : (draft) => {
            if (!old) draft.water.push({ ...(water as WaterRow) });
            draft.machines.push({ ...(machine as MachineRow) });
          },
  };
}

const TIME = String.raw`(\d{1,2}(?::\d{2})?\s*(?:am|pm)?)`;
const SHIFT = new RegExp(String.raw`^(.*?)\s*\b${TIME}\s*(?:-|–|to|until)\s*${TIME}\D+(\d+)`, 'i');

/** 'day 07:00-19:00, 2 technicians; night 19:00-07:00, 1 technician': one shift a line, or between semicolons. */
export function shiftsInWords(text: string, scenario: Scenario): Understood {
  const lines = text.split(/[;\n]/).filter((line) => line.trim() !== '');
  const rows: ShiftRow[] = [];
  const missing: string[] = [];
  for (const line of lines) {
    const [, name = '', begin = '', end = '', people = ''] = SHIFT.exec(line) ?? [];
    const clock = (said: string) =>
      readClockTime(/^\d{1,2}$/.test(said.trim()) ? `${said.trim()}:00` : said.trim());
    const [from, to] = [clock(begin), clock(end)];
    if (!from || !to || people === '') {
      missing.push(`'${line.trim()}': say it like day 07:00-19:00, 2 technicians`);
      continue;
    }
    const id =
      name.replace(/[\s,:]+$/, '').trim() || nextName([...scenario.shifts, ...rows], 'id', 'shift 1');
    if ([...scenario.shifts, ...rows].some((one) => one.id === id))
      missing.push(`another name: ${id} is listed already`);
    rows.push({ id, from, to, technicians: Number(people) });
  }
  return {
    said: rows.map(
      ({ id, from, to, technicians }) =>
        `Shift ${id}: ${from} to ${to} each day, technicians: ${technicians}`,
    ),
    missing,
    recipe: rows.length === 0 || missing.length > 0 ? null : (draft) => void draft.shifts.push(...rows),
  };
}

const LOT = /(\d+)\s*bags?\s*(?:of\s+)?(\S+?),?\s*(?:of|with|at|,|x)?\s*([\d.,]+)\s*L\b/i;

/** '40 bags of 2K, 6.5 L': one lot a line, or between semicolons. It keeps until the Stock sheet says otherwise. */
export function stockInWords(text: string, scenario: Scenario): Understood {
  const lines = text.split(/[;\n]/).filter((line) => line.trim() !== '');
  const lots: NonNullable<Scenario['stock']> = [];
  const missing: string[] = [];
  for (const line of lines) {
    const [, bags = '', bath = '', litres = ''] = LOT.exec(line) ?? [];
    if (bags === '') missing.push(`'${line.trim()}': say it like 40 bags of 2K, 6.5 L`);
    else if (!scenario.baths.some(({ id }) => id === bath))
      missing.push(`bath ${bath} is not listed: add it first`);
    else
      lots.push({
        lot: nextName([...(scenario.stock ?? []), ...lots], 'lot', 'S-1'),
        bath,
        bags: Number(bags),
        litres: numberIn(litres),
      });
  }
  return {
    said: lots.map(
      ({ lot, bath, bags, litres }) =>
        `Lot ${lot}: ${countText(bags, 'bag')} of ${bath}, ${litres} L each. No expiry was said: type it in Stock`,
    ),
    missing,
    recipe:
      lots.length === 0 || missing.length > 0
        ? null
        : (draft) => {
            draft.stock = [...(draft.stock ?? []), ...lots];
          },
  };
}

const PATIENTS = LISTS.find(({ id }) => id === 'patients')!;
/** Without a line of headings the columns are these. */
const PLAIN_ORDER: Mapping = ['id', 'weight', 'dose', 'bath'].map((field) => ({ field }));

/** Beds as they are pasted from a table, with or without its headings. */
export function bedsInTable(text: string, scenario: Scenario): Understood {
  if (text.trim() === '') return NOTHING;
  let lines: string[][];
  try {
    lines = fromCsv(text);
  } catch (error) {
    return { said: [], missing: [error instanceof Error ? error.message : String(error)], recipe: null };
  }
  const tabled = tableIn(PATIENTS, lines);
  const headed = isHeadingLine(tabled.mapping, tabled.headings);
  const mapping = headed ? tabled.mapping : PLAIN_ORDER;
  const rows = headed ? tabled.rows : lines;
  const { changes, recipe } = previewImport(PATIENTS, scenario, rows, mapping, 'match');
  const at = mapping.findIndex((one) => one?.field === 'bath');
  const known = new Set(scenario.baths.map(({ id }) => id));
  const unknown = [...new Set(rows.map((line) => (line[at] ?? '').trim()))].filter(
    (id) => id !== '' && !known.has(id),
  );
  const columns = mapping.flatMap(
    (one) => PATIENTS.fields.find(({ key }) => key === one?.field)?.header ?? [],
  );
  return {
    said: [
      `Rows: ${rows.length}. Columns: ${columns.join(', ')}${headed ? '' : ' (no headings: this order)'}`,
      ...leftOutOf(tabled.headings, rows, headed ? mapping : []).map(
        ({ heading, values }) => `Left out: ${heading} (values: ${values})`,
      ),
      ...(headed && tabled.passed.length > 0 ? [passedText(tabled.passed)] : []),
    ],
    missing: [
      ...changes.flatMap(({ row, problem }) => (problem === null ? [] : [`${row}: ${problem}`])),
      ...unknown.map((id) => `bath ${id} is not listed: add it first, or choose it in Patients afterwards`),
    ],
    recipe: changes.length > 0 ? recipe : null,
  };
}

/** The steps to a first plan, in the order in which each finds what it needs. */
export type FirstStep = 'baths' | 'patients' | 'machines' | 'shifts' | 'stock';

/** What a first plan still lacks, by step: nothing is guessed in its place. */
export function missingFor(
  scenario: Scenario,
): readonly { readonly step: FirstStep; readonly text: string }[] {
  const { baths, patients, machines, water, shifts } = scenario;
  const beds = (field: 'weight' | 'dose' | 'bath') =>
    patients.filter((row) => row[field] == null || (row[field] as unknown) === '').map(({ id }) => id);
  const open = (['weight', 'dose', 'bath'] as const).flatMap((field) => {
    const list = beds(field);
    return list.length > 0 ? [{ step: 'patients' as const, text: `${field} of ${list.join(', ')}` }] : [];
  });
  return [
    ...(baths.length === 0 ? [{ step: 'baths' as const, text: 'a bath' }] : []),
    ...(patients.length === 0
      ? [{ step: 'patients' as const, text: 'a bed with weight, dose and bath' }]
      : []),
    ...open,
    ...(machines.length === 0 ? [{ step: 'machines' as const, text: 'a machine' }] : []),
    ...(water.length === 0 ? [{ step: 'machines' as const, text: 'a water source with its tests' }] : []),
    ...(shifts.length === 0 ? [{ step: 'shifts' as const, text: 'a shift with its technicians' }] : []),
  ];
}
