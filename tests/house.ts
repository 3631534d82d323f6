import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { parseSync } from 'vite';

/** A piece of the syntax tree: what the parser gives, read as plain data. */
interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}
/** One import or re-export of a file of this project. */
export interface Link {
  readonly to: string;
  /** The names taken, as the other file exports them; '*' for all of them. */
  readonly names: readonly string[];
}
export interface Measured {
  readonly name: string;
  readonly line: number;
  readonly lines: number;
  readonly parameters: number;
}
export interface HouseFile {
  readonly file: string;
  readonly lines: number;
  readonly links: readonly Link[];
  readonly exports: readonly string[];
  readonly functions: readonly Measured[];
  /** Module variables that change: `let`, or a collection that is written to. */
  readonly changing: readonly string[];
}

const SOURCE = /\.(ts|tsx|mts|mjs)$/;
const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

function* childrenOf(node: Node): Generator<Node> {
  for (const value of Object.values(node))
    if (Array.isArray(value)) yield* value.filter(isNode);
    else if (isNode(value)) yield value;
}

const idOf = (node: unknown): string => (isNode(node) ? String(node.name ?? node.value ?? '') : '');

/** Every function of a tree, each with the name it is known by. */
function* functionsOf(node: Node, text: string, known = ''): Generator<Measured> {
  const named =
    node.type === 'VariableDeclarator'
      ? idOf(node.id)
      : node.type === 'MethodDefinition' || node.type === 'Property' || node.type === 'PropertyDefinition'
        ? idOf(node.key)
        : '';
  if (/^(FunctionDeclaration|FunctionExpression|ArrowFunctionExpression)$/.test(node.type) && node.body) {
    const lineOf = (at: number) => text.slice(0, at).split('\n').length;
    yield {
      name: idOf(node.id) || known || 'unnamed',
      line: lineOf(node.start),
      lines: lineOf(node.end) - lineOf(node.start) + 1,
      parameters: (node.params as unknown[]).length,
    };
  }
  for (const child of childrenOf(node))
    yield* functionsOf(child, text, named || (isFunction(child) ? known : ''));
}
const isFunction = (node: Node): boolean => /Function/.test(node.type);

/** What a statement at the top of a file exports, by name. */
function exportsOf(statement: Node): string[] {
  if (statement.type === 'ExportDefaultDeclaration') return ['default'];
  if (statement.type !== 'ExportNamedDeclaration') return [];
  const { declaration, specifiers } = statement as Node & { declaration: Node | null; specifiers: Node[] };
  if (!declaration) return specifiers.map(({ exported }) => idOf(exported));
  if (declaration.type !== 'VariableDeclaration') return [idOf(declaration.id)];
  return (declaration.declarations as Node[]).map(({ id }) => idOf(id));
}

function changingOf(program: Node, text: string): string[] {
  const found: string[] = [];
  for (const statement of program.body as Node[]) {
    const declaration = (statement.declaration as Node | null) ?? statement;
    if (declaration.type !== 'VariableDeclaration') continue;
    for (const { id, init } of declaration.declarations as Node[]) {
      const name = idOf(id);
      const written = new RegExp(`\\b${name}(\\.(set|add|push|delete|clear|splice)\\(|\\[[^\\]]+\\] = )`);
      const collection =
        isNode(init) &&
        (init.type === 'ArrayExpression' ||
          init.type === 'NewExpression' ||
          init.type === 'ObjectExpression');
      if (declaration.kind === 'let' || (collection && written.test(text))) found.push(name);
    }
  }
  return found;
}

function readFile(root: string, file: string): HouseFile {
  const text = readFileSync(path.join(root, file), 'utf8');
  const { program, module, errors } = parseSync(file, text) as unknown as {
    program: Node;
    module: { staticImports: StaticImport[]; staticExports: { entries: StaticEntry[] }[] };
    errors: { message: string }[];
  };
  if (errors.length > 0) throw new Error(`${file}: ${errors[0]!.message}`);
  const resolve = (specifier: string) =>
    path.posix.normalize(path.posix.join(path.posix.dirname(file), specifier));
  const links = new Map<string, Set<string>>();
  const link = (specifier: string, names: readonly string[]) => {
    if (!specifier.startsWith('.')) return;
    const to = resolve(specifier);
    links.set(to, new Set([...(links.get(to) ?? []), ...names]));
  };
  for (const { moduleRequest, entries } of module.staticImports)
    link(
      moduleRequest.value,
      entries.map(({ importName: { kind, name } }) => (kind === 'Default' ? 'default' : (name ?? '*'))),
    );
  for (const { entries } of module.staticExports)
    for (const { moduleRequest, importName } of entries)
      if (moduleRequest) link(moduleRequest.value, [importName.name ?? '*']);
  for (const match of text.matchAll(/\bimport\(\s*'(\.[^']+)'/g)) link(match[1]!, ['*']);
  return {
    file,
    lines: text.split('\n').length - 1,
    links: [...links].map(([to, names]) => ({ to, names: [...names] })),
    exports: (program.body as Node[]).flatMap(exportsOf),
    functions: [...functionsOf(program, text)],
    changing: changingOf(program, text),
  };
}
interface StaticImport {
  readonly moduleRequest: { readonly value: string };
  readonly entries: readonly {
    readonly importName: { readonly kind: string; readonly name: string | null };
  }[];
}
interface StaticEntry {
  readonly moduleRequest: { readonly value: string } | null;
  readonly importName: { readonly name: string | null };
}

/** Every source file of some top folders, with what it imports, exports and defines. */
export function readHouse(root: string, tops: readonly string[] = ['src', 'electron']): HouseFile[] {
  return tops
    .flatMap((top) =>
      readdirSync(path.join(root, top), { recursive: true, encoding: 'utf8' })
        .filter((name) => SOURCE.test(name) && !name.endsWith('.d.ts'))
        .map((name) => `${top}/${name.split(path.sep).join('/')}`),
    )
    .sort()
    .map((file) => readFile(root, file));
}

/**
 * Circles: groups of places that can each be reached from the other, by Tarjan's algorithm.
 * @param edges from each place to those it imports
 */
export function circlesOf(edges: ReadonlyMap<string, ReadonlySet<string>>): string[][] {
  const index = new Map<string, number>();
  const low = new Map<string, number>();
  const stack: string[] = [];
  const circles: string[][] = [];
  const visit = (place: string) => {
    index.set(place, index.size);
    low.set(place, index.get(place)!);
    stack.push(place);
    for (const next of edges.get(place) ?? []) {
      if (!index.has(next)) visit(next);
      if (stack.includes(next)) low.set(place, Math.min(low.get(place)!, low.get(next)!));
    }
    if (low.get(place) !== index.get(place)) return;
    const group = stack.splice(stack.indexOf(place));
    if (group.length > 1) circles.push(group.sort());
  };
  for (const place of edges.keys()) if (!index.has(place)) visit(place);
  return circles;
}

/** Places, each a file or the folder that `at` says, and what they import. */
export function edgesOf(house: readonly HouseFile[], at: (file: string) => string): Map<string, Set<string>> {
  const known = new Set(house.map(({ file }) => file));
  const edges = new Map<string, Set<string>>();
  for (const { file, links } of house) {
    const from = at(file);
    const to = links.map((one) => one.to).filter((one) => known.has(one));
    edges.set(from, new Set([...(edges.get(from) ?? []), ...to.map(at).filter((one) => one !== from)]));
  }
  return edges;
}
