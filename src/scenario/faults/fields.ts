import { z } from 'zod';
import { scenarioSchema } from '../schema.ts';
import { type Fault, type FaultRule, type Ground, warning } from './fault.ts';

/** One object of a file, with the names of the fields that the format has there. */
interface Place {
  readonly path: Fault['path'];
  readonly value: object;
  readonly names: readonly string[];
}

/** Every object of a file for which the format names the fields; records by bath have none. Takes odd values too. */
export function* objectsIn(
  type: z.core.$ZodType,
  value: unknown,
  path: Fault['path'] = [],
): Generator<Place> {
  if (typeof value !== 'object' || value === null) return;
  if (type instanceof z.ZodOptional || type instanceof z.ZodNullable)
    yield* objectsIn(type.unwrap(), value, path);
  else if (type instanceof z.ZodUnion)
    for (const choice of type.options) yield* objectsIn(choice, value, path);
  else if (Array.isArray(value)) {
    if (type instanceof z.ZodArray)
      for (const [i, row] of value.entries()) yield* objectsIn(type.element, row, [...path, i]);
  } else if (type instanceof z.ZodObject) {
    const fields = Object.entries<z.core.$ZodType>(type.shape);
    // One without a name is free in its fields.
    if (fields.length > 0) yield { path, value, names: fields.map(([name]) => name) };
    for (const [name, field] of fields)
      yield* objectsIn(field, (value as Record<string, unknown>)[name], [...path, name]);
  }
}

/** Letters to add, drop, change or swap with their neighbour until one word is the other (optimal string alignment). */
export function editsBetween(a: string, b: string): number {
  const rows = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      row[j] = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, rows[i - 1]![j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        row[j] = Math.min(row[j]!, rows[i - 2]![j - 2]! + 1);
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
}

/** The name that was probably meant: one slip in short names, two in long ones; case and separators are no slip. */
export function nearestName(typed: string, names: readonly string[]): string | undefined {
  const plain = (name: string) => name.toLowerCase().replaceAll(/[^\p{L}\p{N}]/gu, '');
  // A name much longer than any of the format's is none of them, and would take long to compare.
  if (typed.length > 40) return undefined;
  const [best] = names
    .map((name) => ({ name, edits: editsBetween(plain(typed), plain(name)) }))
    .filter(({ name, edits }) => edits <= (Math.min(typed.length, name.length) < 6 ? 1 : 2))
    .sort((a, b) => a.edits - b.edits);
  return best?.name;
}

/** What the sheets write beside a result on any object: the text that a person typed for it (`sheets/edits.ts`). */
const OURS = 'typed';

/**
 * A field that the format does not have at its place: kept on saving, but a misspelt optional field would else go unused
 * in silence. A name that is near to none (a site's own remark on each bed) is told once, not for each row.
 */
function* unknownField({ scenario }: Ground): Iterable<Fault> {
  const others = new Map<string, { at: Fault['path']; names: readonly string[]; count: number }>();
  for (const { path, value, names } of objectsIn(scenarioSchema, scenario))
    for (const field of Object.keys(value)) {
      if (field === OURS || names.includes(field)) continue;
      const at = [...path, field];
      const meant = nearestName(field, names);
      const kind = at.map((key) => (typeof key === 'number' ? '' : key)).join('.');
      if (meant !== undefined) yield warning(at, `unknown field ${field}; it is kept, but not used`, meant);
      else others.set(kind, { at, names, ...others.get(kind), count: (others.get(kind)?.count ?? 0) + 1 });
    }
  for (const { at, names, count } of others.values())
    yield warning(
      at,
      `unknown field ${at.at(-1)}${count > 1 ? ` in ${count} places` : ''}; it is kept, but not used`,
      `no such field; those known here are ${names.join(', ')}`,
    );
}

export const FIELD_RULES: Record<string, FaultRule> = { unknownField };
