import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';

const BELOW_VIEWS = [
  'exact',
  'calendar',
  'words',
  'scenario',
  'demand',
  'plan',
  'audit',
  'planner',
  'capacity',
  'hold',
  'grid',
  'reports',
  'chemistry',
  'record',
  'bridge',
];
/** Folder -> folders of src that it may import besides itself: the table of DEVELOPERS.md. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  exact: [],
  calendar: [],
  words: ['calendar'],
  scenario: ['exact', 'calendar', 'words'],
  demand: ['exact', 'scenario'],
  plan: ['exact', 'scenario', 'demand'],
  audit: ['exact', 'words', 'scenario', 'demand', 'plan'],
  planner: ['exact', 'words', 'scenario', 'demand', 'plan'],
  chemistry: ['scenario'],
  record: ['exact', 'calendar', 'words', 'scenario', 'demand', 'plan', 'chemistry'],
  capacity: ['exact', 'calendar', 'words', 'scenario', 'demand', 'plan', 'audit', 'planner'],
  hold: ['exact', 'scenario', 'demand', 'plan', 'capacity', 'planner', 'record'],
  grid: [
    'exact',
    'calendar',
    'words',
    'scenario',
    'demand',
    'plan',
    'audit',
    'planner',
    'chemistry',
    'capacity',
  ],
  reports: [
    'exact',
    'calendar',
    'words',
    'scenario',
    'demand',
    'plan',
    'audit',
    'planner',
    'capacity',
    'grid',
    'chemistry',
    'record',
    'hold',
  ],
  views: BELOW_VIEWS,
  bridge: [],
  electron: BELOW_VIEWS,
};

/** Library -> the files it may enter through. A library that is missing here has no door yet: give it one. */
const DOORS: readonly (readonly [library: RegExp, doors: RegExp])[] = [
  [/^temporal-polyfill$/, /^src\/calendar\/clock\.ts$/],
  [/^zod$/, /^(src\/scenario\/|src\/record\/entries\.ts|electron\/)/],
  [/^@noble\/hashes\//, /^src\/record\/hash\.ts$/],
  [/^jsonc-parser$/, /^src\/scenario\/read\.ts$/],
  [/^highs$/, /^src\/planner\/bounds\/highs\.ts$/],
  [/^highs\/runtime\?url$/, /^src\/views\/worker\//], // where its WebAssembly lies: the page's own build says so
  [/^pure-rand\//, /^src\/(planner\/search\/chance|capacity\/draws\/random)\.ts$/],
  [/^mathjs$/, /^src\/grid\/formula\.ts$/],
  [/^immer$/, /^src\/grid\/history\.ts$/],
  [/^papaparse$/, /^src\/grid\//],
  [/^(read|write)-excel-file(\/|$)/, /^src\/(grid|reports|views)\//],
  [/^fflate$/, /^src\/reports\//],
  [/^ical-generator$/, /^src\/reports\//],
  [/^ag-grid-/, /^src\/views\/sheet\/[gG]rid\w*\.tsx?$/],
  [/^zustand(\/|$)/, /^src\/views\/state\/store\.ts$/],
  [/^(react|react-dom)(\/|$)/, /^src\/views\//],
  [/^(d3-scale|d3-shape|@observablehq\/plot)$/, /^src\/views\//],
  [/^bwip-js(\/|$)/, /^src\/views\/print\//],
  [/^comlink$/, /^src\/views\//],
  [
    /^(electron|commander|cli-table3|atomically|chokidar|piscina|tsx|vite|bullmq|ioredis)(\/|$)/,
    /^electron\//,
  ],
  [/^ajv(-formats)?$/, /^electron\/package\/validate\.mjs$/], // fetched by it, not installed
  [/^node:/, /^electron\//],
];

const ROOT = path.resolve(import.meta.dirname ?? 'tests', '..');
const SOURCE = /\.(ts|tsx|mts|mjs)$/;
const files = ['src', 'electron'].flatMap((top) =>
  readdirSync(path.join(ROOT, top), { recursive: true, encoding: 'utf8' })
    .filter((name) => SOURCE.test(name) && !name.endsWith('.d.ts'))
    .map((name) => `${top}/${name.split(path.sep).join('/')}`),
);

/** Code without comments, so that a word in a sentence is not taken for a deed. */
const bare = (text: string) => text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:'"`])\/\/.*$/gm, '$1');
const codeOf = (file: string) => bare(readFileSync(path.join(ROOT, file), 'utf8'));
const IMPORT =
  /(?:(?<!['"])\bfrom|\bimport|\bimport\s*\(|\brequire\s*\(|\bnew URL\(|\bimport\.meta\.(?:glob(?:<[^>]*>)?|resolve)\()\s*['"]([^'"\s]+)['"]/g;
const importsOf = (code: string) => [...code.matchAll(IMPORT)].map((match) => match[1]!);

/** src/planner/highs.ts -> planner, src/bridge.ts -> bridge, electron/main.ts -> electron */
const folderOf = (file: string) => {
  const [top = '', second = ''] = file.split('/');
  return top === 'src' ? second.replace(SOURCE, '') : top;
};

/** What is wrong with one import, in words, or null. */
function fault(file: string, specifier: string): string | null {
  const where = `${file} imports '${specifier}'`;
  if (specifier.startsWith('.')) {
    const target = path.posix.normalize(path.posix.join(path.posix.dirname(file), specifier));
    const [from, to] = [folderOf(file), folderOf(target)];
    if (from === to || !/^(src|electron)\//.test(target)) return null;
    const allowed = MAY_IMPORT[from] ?? [];
    return allowed.includes(to)
      ? null
      : `${where}; ${from} may import: ${allowed.join(', ') || 'nothing'} (DEVELOPERS.md)`;
  }
  if (/^(https?|app|data|blob):/.test(specifier)) return null;
  const known = DOORS.filter(([library]) => library.test(specifier));
  if (known.length === 0)
    return `${where}, a library without a door; name its one file in DOORS of tests/layers.test.ts`;
  if (known.some(([, doors]) => doors.test(file))) return null;
  return `${where}; allowed in: ${known.map(([, doors]) => doors.source).join(', ')} (DEVELOPERS.md)`;
}

test('imports follow the table, and each library enters through its door', () => {
  const faults = files.flatMap((file) => importsOf(codeOf(file)).map((one) => fault(file, one)));
  expect(faults.filter((one) => one !== null)).toEqual([]);
});

test('the table names every folder, here and in DEVELOPERS.md', () => {
  const rows = readFileSync(path.join(ROOT, 'DEVELOPERS.md'), 'utf8');
  for (const folder of new Set(files.map(folderOf))) {
    expect(Object.keys(MAY_IMPORT)).toContain(folder);
    expect(rows).toMatch(new RegExp(`^\\| \`(src/)?${folder}(\\.ts)?\` +\\|`, 'm'));
  }
});

const FORBIDDEN =
  /\bMath\.random\b|\bDate\.now\b|\bnew Date\(\s*\)|\bDate\(\)|\bperformance\b|\bTemporal\.Now\b|\bcrypto\.(random|getRandom)|\bprocess\.|\bfetch\(/g;
test('the core knows no clock and no chance of its own', () => {
  const core = files.filter((file) => file.startsWith('src/') && !file.startsWith('src/views/'));
  const found = core.flatMap((file) =>
    [...codeOf(file).matchAll(FORBIDDEN)].map((match) => `${file}: ${match[0]}`),
  );
  expect(found).toEqual([]);
});

test('nothing in the app or its host asks the network or hands out strings as code', () => {
  const found = files.flatMap((file) =>
    [...codeOf(file).matchAll(/\beval\(|new Function\(|dangerouslySetInnerHTML|WebSocket\(|sendBeacon/g)].map(
      (match) => `${file}: ${match[0]}`,
    ),
  );
  expect(found).toEqual([]);
});

describe('the check itself', () => {
  test.each([
    ['src/audit/rules.ts', '../planner/plan.ts', /audit may import: exact, words, scenario, demand, plan \(/],
    ['src/planner/x.ts', '../audit/audit.ts', /planner may import/],
    ['src/exact/fraction.ts', '../scenario/schema.ts', /exact may import: nothing/],
    ['src/sheets/a/b.ts', '../../views/store.ts', /sheets may import/],
    ['electron/main.ts', '../src/views/state/store.ts', /electron may import/],
    ['src/capacity/x.ts', 'node:fs', /allowed in: \^electron/],
    ['src/planner/other.ts', 'highs', /allowed in: \^src\\\/planner\\\/bounds\\\/highs/],
    ['src/views/App.tsx', 'ag-grid-react', /allowed in/],
    ['src/views/App.tsx', 'left-pad', /without a door/],
  ])('%s may not import %s', (file, specifier, words) => {
    expect(fault(file, specifier)).toMatch(words);
  });
  test('finds imports of every kind, not in comments', () => {
    const code = `import a from './a.ts';\nexport {\n b } from "./b.ts";\nimport './c.css';\nawait import('./d.ts');
      new URL('./e.ts', import.meta.url); // import './no.ts'\n/* from './no.ts' */ import.meta.glob<x>('./f.ts')`;
    expect(importsOf(bare(code))).toEqual(['./a.ts', './b.ts', './c.css', './d.ts', './e.ts', './f.ts']);
  });
});
