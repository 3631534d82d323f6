import { looksLike, tidy } from '../tidy.ts';
import { error, type Fault, type FaultRule, type Ground, warning } from './fault.ts';

/** Lists whose rows are named, and the field that names them. */
const NAMED = [
  ['baths', 'id'],
  ['patients', 'id'],
  ['machines', 'id'],
  ['water', 'id'],
  ['supplies', 'item'],
] as const;

function* named({ scenario }: Ground): Generator<{ path: Fault['path']; name: string; before: string[] }> {
  for (const [list, key] of NAMED) {
    const before: string[] = [];
    for (const [index, row] of (scenario[list] ?? []).entries()) {
      const name = (row as Record<string, unknown>)[key];
      if (typeof name !== 'string' || name === '') continue;
      yield { path: [list, index, key], name, before };
      before.push(name);
    }
  }
}

/** Two baths that a tired reader takes for one another end in the wrong bag on the right hook. */
function* namesAlike(ground: Ground): Iterable<Fault> {
  for (const { path, name, before } of named(ground)) {
    const twin = before.find((other) => looksLike(other, name));
    if (twin !== undefined)
      yield warning(
        path,
        `"${name}" is easily taken for "${twin}"`,
        'names that differ in more than case and blanks',
      );
  }
}

/** Letters that cannot be seen, or that only look like Latin ones: the name then matches no reference typed by hand. */
function* nameWithHiddenLetters(ground: Ground): Iterable<Fault> {
  for (const { path, name } of named(ground)) {
    const plain = tidy(name);
    if (plain === '') yield error(path, 'the name is blank', 'a name');
    else if (plain !== name)
      yield warning(path, `"${name}" holds letters or blanks that do not show`, `"${plain}", typed anew`);
  }
}

export const NAME_RULES: Record<string, FaultRule> = { namesAlike, nameWithHiddenLetters };
