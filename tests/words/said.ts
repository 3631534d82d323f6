import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { parseSync } from 'vite';

export interface Said {
  readonly file: string;
  readonly line: number;
  /** As it is written; what is filled in stands as FILLED. */
  readonly text: string;
}

/** Stands for what is filled in. */
const FILLED = '$' + '{...}';

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}
const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';
const childrenOf = (node: Node): Node[] =>
  Object.values(node).flatMap((value) =>
    Array.isArray(value) ? value.filter(isNode) : isNode(value) ? value : [],
  );

/** Attributes that the page reads, not a person. */
const FOR_THE_PAGE =
  /^(className|type|key|id|role|href|d|fill|stroke|name|htmlFor|accept|data-.*|viewBox|transform)$/;
const passedOver = (node: Node): boolean =>
  (/^TS/.test(node.type) && !/^TS(As|Satisfies|NonNull)/.test(node.type)) ||
  (/^(Import|Export(All|Named))/.test(node.type) && isNode(node.source)) ||
  (node.type === 'JSXAttribute' && FOR_THE_PAGE.test(String((node.name as Node).name))) ||
  (node.type === 'CallExpression' &&
    /querySelector|matchMedia/.test(JSON.stringify((node.callee as Node).property ?? '')));

function textOf(node: Node): string | null {
  if (node.type === 'Literal' && typeof node.value === 'string') return node.value;
  if (node.type === 'JSXText') return String(node.value).replace(/\s+/g, ' ').trim();
  if (node.type !== 'TemplateLiteral') return null;
  return (node.quasis as { value: { cooked: string } }[]).map(({ value }) => value.cooked).join(FILLED);
}

/** Looks like words for a person: has a space between words, or begins with a capital. */
const isSaid = (text: string): boolean =>
  /[A-Za-z]{2,} +\S|^[A-Z][a-z]+/.test(text) && !/^[\w-]+: /.test(text);

/** Every text of these files that a person may read, comments and names for the machine apart. */
export function saidIn(root: string, folders: readonly string[]): Said[] {
  const files = folders.flatMap((folder) =>
    readdirSync(path.join(root, folder), { recursive: true, encoding: 'utf8' })
      .map((name) => `${folder}/${name.split(path.sep).join('/')}`)
      .filter((name) => /\.tsx?$/.test(name)),
  );
  return files.flatMap((file) => {
    const code = readFileSync(path.join(root, file), 'utf8');
    const found: Said[] = [];
    const walk = (node: Node): void => {
      if (passedOver(node)) return;
      const text = textOf(node);
      if (text !== null && isSaid(text))
        found.push({ file, line: code.slice(0, node.start).split('\n').length, text });
      for (const child of childrenOf(node)) walk(child);
    };
    walk(parseSync(file, code).program as unknown as Node);
    return found;
  });
}
