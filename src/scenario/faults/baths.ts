import { limitsOf } from '../fields.ts';
import type { Bath } from '../schema.ts';
import { error, type Fault, type FaultRule, type Ground, outside, repeated, warning } from './fault.ts';

/** Measured in-house dialysate showed a gap of up to 3.8 mEq/L (acetate not measured), so a narrower band would cry wolf. */
const CHARGE_GAP = 5;
/** mmol/L; more is likely a number of mg/dL. */
export const MOST_GLUCOSE = limitsOf('baths[].glucose').usual![1];
const IONS = ['potassium', 'sodium', 'calcium', 'magnesium', 'chloride', 'bicarbonate', 'acetate'] as const;
/** mmol/L between a bath's name and what is typed for it; measured fluid is nearer to its name. Common practice, no source. */
const NAME_GAP = 0.5;

function* duplicateBath({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('baths', scenario.baths, 'id');
}

function* concentrationOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, bath] of scenario.baths.entries())
    for (const field of [...IONS, 'glucose'] as const)
      yield* outside(['baths', i, field], bath[field], limitsOf(`baths[].${field}`));
}

/** A name that says its potassium, e.g. '2K' or '4K-35', is what people go by when they hang the bag. */
function* nameAgainstPotassium({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { id, potassium }] of scenario.baths.entries()) {
    const said = /^(\d+(?:\.\d+)?)\s*K(?![a-z])/i.exec(id)?.[1];
    if (said != null && potassium != null && Math.abs(Number(said) - potassium) >= NAME_GAP)
      yield warning(
        ['baths', i, 'potassium'],
        `potassium is ${potassium} mmol/L in a bath named "${id}"`,
        `${said} mmol/L, or another name`,
      );
  }
}

/** Positive less negative charge, mEq/L; null unless all ions are given. Calcium and magnesium are in mEq/L already. */
export function chargeGap(bath: Bath): number | null {
  const [potassium, sodium, calcium, magnesium, chloride, bicarbonate, acetate] = IONS.map(
    (ion) => bath[ion],
  );
  if (IONS.some((ion) => bath[ion] == null)) return null;
  return potassium! + sodium! + calcium! + magnesium! - chloride! - bicarbonate! - acetate!;
}

function* chargeOutOfBalance({ scenario }: Ground): Iterable<Fault> {
  for (const [i, bath] of scenario.baths.entries()) {
    const gap = chargeGap(bath);
    if (gap !== null && Math.abs(gap) > CHARGE_GAP)
      yield warning(
        ['baths', i],
        `positive and negative ions differ by ${Number(gap.toFixed(2))} mEq/L`,
        `within ${CHARGE_GAP} mEq/L: one of the ions may be mistyped or in another unit`,
        'BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1 (measured: +1.8 and +3.8 mEq/L)',
      );
  }
}

function* tintMalformed({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { tint }] of scenario.baths.entries())
    if (tint != null && !/^#[0-9a-f]{6}$/i.test(tint))
      yield error(
        ['baths', i, 'tint'],
        `"${tint}" is no colour`,
        'six hexadecimal digits after #, e.g. #2f6f9f',
      );
}

/** A bath that nobody defined, named by a row of any list; the plan cannot know what to fill. */
function* unknownBath({ scenario, baths }: Ground): Iterable<Fault> {
  const known = [...baths].join(', ');
  function* check(path: Fault['path'], id: string | null | undefined): Iterable<Fault> {
    if (id != null && !baths.has(id))
      yield error(
        path,
        `bath "${id}" is not in the list of baths`,
        known ? `one of ${known}` : 'list it in baths',
      );
  }
  for (const [i, row] of scenario.patients.entries()) {
    yield* check(['patients', i, 'bath'], row.bath);
    for (const [j, change] of (row.changes ?? []).entries())
      yield* check(['patients', i, 'changes', j, 'bath'], change.bath);
  }
  for (const [i, row] of scenario.machines.entries()) {
    for (const [j, id] of (row.baths ?? []).entries()) yield* check(['machines', i, 'baths', j], id);
    yield* check(['machines', i, 'loaded', 'bath'], row.loaded?.bath);
  }
  for (const list of ['stock', 'deliveries', 'supplies'] as const)
    for (const [i, row] of (scenario[list] ?? []).entries()) yield* check([list, i, 'bath'], row.bath);
  for (const [i, row] of (scenario.substitutes ?? []).entries()) {
    yield* check(['substitutes', i, 'bath'], row.bath);
    yield* check(['substitutes', i, 'by'], row.by);
  }
  for (const field of ['reserve', 'minStock'] as const)
    for (const id of Object.keys(scenario.rules?.[field] ?? {})) yield* check(['rules', field, id], id);
}

/** A substitute is another bath than the one it stands for (that both are there: `unknownBath`), and excludes beds that are there; its dates are in order. */
function* substituteUnclear({ scenario, minute }: Ground): Iterable<Fault> {
  const beds = new Set(scenario.patients.map(({ id }) => id));
  for (const [i, { bath, by, from, until, except }] of (scenario.substitutes ?? []).entries()) {
    const path = ['substitutes', i] as const;
    if (by && by === bath) yield error([...path, 'by'], `"${by}" in place of itself`, 'another bath');
    for (const [j, id] of (except ?? []).entries())
      if (id && !beds.has(id) && !beds.has(''))
        yield error([...path, 'except', j], `unknown bed "${id}"`, 'a bed of the list');
    const [begin, end] = [from ? minute(from) : null, until ? minute(until) : null];
    if (begin != null && end != null && end <= begin)
      yield error([...path, 'until'], `${until} is not after ${from}`, 'a time after from');
  }
}

export const BATH_RULES: Record<string, FaultRule> = {
  duplicateBath,
  concentrationOutOfRange,
  nameAgainstPotassium,
  chargeOutOfBalance,
  tintMalformed,
  unknownBath,
  substituteUnclear,
};
