import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { scenarioSchema } from '../../src/scenario/schema.ts';
import { fieldTable } from './fieldTable.ts';

/** Names of all fields that the format has at any depth. */
function* fieldsOf(type: z.core.$ZodType): Generator<string> {
  if (type instanceof z.ZodOptional || type instanceof z.ZodNullable) yield* fieldsOf(type.unwrap());
  else if (type instanceof z.ZodArray) yield* fieldsOf(type.element);
  else if (type instanceof z.ZodUnion) for (const choice of type.options) yield* fieldsOf(choice);
  else if (type instanceof z.ZodObject)
    for (const [name, field] of Object.entries<z.core.$ZodType>(type.shape)) {
      yield name;
      yield* fieldsOf(field);
    }
}

test('every field of the scenario file is named in README.md or MEANING.md', () => {
  const pages = ['README.md', 'src/scenario/MEANING.md']
    .map((name) => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8'))
    .join('\n');
  // As a field is written there: `dose`, `changes[]`, or in an example of a law.
  const named = (name: string) =>
    [
      `\`${name}\``,
      `\`${name}[]\``,
      `"${name}":`,
      `.${name}\``,
      `\`${name}[].`,
      `.${name}[]`,
      `.${name}.`,
    ].some((word) => pages.includes(word));
  const fields = [...new Set(fieldsOf(scenarioSchema))];
  expect(fields.length).toBeGreaterThan(100);
  expect(fields.filter((name) => !named(name))).toEqual([]);
});

/** Without the blanks and dashes that only make columns alike. */
const plain = (table: string): string => table.replaceAll(/ {2,}/g, ' ').replaceAll(/-{2,}/g, '--');

test('the table of fields in README.md is the one that the app goes by', () => {
  const readme = new URL('../../README.md', import.meta.url);
  const text = readFileSync(readme, 'utf8');
  const [before, rest] = text.split('<!-- fields: made from src/scenario/fields.ts -->\n\n');
  const [table, after] = rest!.split('\n\n<!-- end of fields -->');
  // To write it anew: WRITE_FIELDS=1 npx vitest run tests/scenario/documented
  if (process.env.WRITE_FIELDS)
    writeFileSync(
      readme,
      `${before}<!-- fields: made from src/scenario/fields.ts -->\n\n${fieldTable()}\n\n<!-- end of fields -->${after}`,
    );
  else expect(plain(table!)).toBe(plain(fieldTable()));
});
