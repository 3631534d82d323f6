import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';

const ROOT = path.resolve(import.meta.dirname, '../..');
const read = (file: string) => readFileSync(path.join(ROOT, file), 'utf8');
const defined = [...read('src/scenario/MEANING.md').matchAll(/^- \*\*([MV]\d+)\b/gm)].map(([, id]) => id!);

it('the rules are numbered one after the other', () => {
  for (const letter of ['M', 'V']) {
    const own = defined.filter((id) => id.startsWith(letter));
    expect(own.length).toBeGreaterThan(9);
    expect(own).toEqual(own.map((_, index) => `${letter}${index + 1}`));
  }
});

it('the code cites no rule that is not there, and every rule of a valid plan', () => {
  const files = ['src', 'electron'].flatMap((folder) =>
    readdirSync(path.join(ROOT, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.tsx?$/.test(file))
      .map((file) => path.join(folder, file)),
  );
  const cited = files.flatMap((file) =>
    [...read(file).matchAll(/\((?:[^()]*\W)?([MV]\d+)\b[^()]*\)/g)].map(([, id]) => id!),
  );
  expect(cited.filter((id) => !defined.includes(id))).toEqual([]);
  const valid = defined.filter((id) => id.startsWith('V'));
  expect(valid.filter((id) => !cited.includes(id))).toEqual([]);
});
