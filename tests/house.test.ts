import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { circlesOf, edgesOf, readHouse } from './house.ts';

// The laws of the house, each on the real imports and functions. DEVELOPERS.md says why.
const house = readHouse(path.resolve(import.meta.dirname, '..'));
const at = <T>(list: (file: (typeof house)[number]) => readonly T[]) =>
  house.flatMap((file) => list(file).map((one) => ({ file: file.file, one })));
const functions = at(({ functions }) => functions);

/** A function is read on one screen. */
const LONGEST = 100;
/** What was longer when the law was made and waits to be split: nothing is ever added. */
const STILL_LONG: readonly string[] = ['src/views/print/PaperPart.tsx PaperPart'];
/** Beyond so many, one object with named fields. */
const PARAMETERS = 4;
const STILL_MANY: readonly string[] = [
  'electron/desktop/shell.ts answer',
  'src/grid/edits.ts giveTo',
  'src/grid/forms.ts rule',
  'src/grid/import.ts previewImport',
  'src/reports/calendarFile.ts toCalendar',
  'src/reports/labels.ts bagLabels',
  'src/reports/planTables.ts planTables',
  'src/reports/trace.ts computed',
  'src/reports/trace.ts ruleCell',
  'src/reports/tracePlan.ts cellOf',
  'src/scenario/read.ts onObjectProperty',
  'src/views/pictures/plotLayout.ts hitAt',
  'src/views/pictures/ticks.ts hourTicks',
];
/** Variables of a module that change and may: a cache that only saves work, named with its file. */
const MAY_CHANGE: readonly string[] = [
  'electron/desktop/main.ts closing',
  'electron/desktop/main.ts unsaved',
  'electron/desktop/main.ts variants',
  'src/calendar/clock.ts clocks',
  'src/capacity/answers/job.ts known',
  'src/demand/demand.ts known',
  'src/grid/sheet.ts seen',
  'src/grid/where.ts known',
  'src/planner/bounds/highs.ts instance',
  'src/planner/bounds/highs.ts wasmUrl',
  'src/scenario/problem/course.ts courses',
  'src/views/pictures/TimelineMachines.tsx placed',
  'src/views/pictures/ticks.ts midnights',
  'src/views/print/useBarcodes.ts drawn',
];
/** Files whose names are taken by workers and plain programs. */
const LOADED =
  /\.mjs$|\.worker\.ts$|^electron\/local\/hostMain\.ts$|^src\/plan\/latest\.ts$|^src\/views\/state\/store\.ts$/;
/** Every word of the tests. */
function readTests(root: string): Set<string> {
  const files = readdirSync(path.join(root, 'tests'), { recursive: true, encoding: 'utf8' });
  const words = files
    .filter((file) => /\.(ts|tsx|mjs)$/.test(file))
    .flatMap((file) => readFileSync(path.join(root, 'tests', file), 'utf8').match(/\w+/g) ?? []);
  return new Set(words);
}
/** Folder -> its doors: what others may import of it. */
const DOORS: Readonly<Record<string, RegExp>> = {
  'src/demand': /^src\/demand\/demand\.ts$/,
  'src/chemistry': /^src\/chemistry\/(conductivity|ions|concentrate)\.ts$/,
  'src/plan': /^src\/plan\/\w+\.ts$/,
  'src/audit': /^src\/audit\/(audit|verdict|account)\.ts$/,
  'src/planner': /^src\/planner\/plan(ner)?\.ts$/,
  'src/record': /^src\/record\/(\w+|state\/(lots|books|recall)|judge\/reading)\.ts$/,
  'src/scenario':
    /^src\/scenario\/(\w+|faults\/(faults|repairable|baths)|problem\/(types|compile|rules|course|water))\.ts$/,
  'src/hold': /^src\/hold\/(hold|variation|offers|learned|remade)\.ts$/,
  'src/capacity':
    /^src\/capacity\/(answers|region|forecast)\/\w+\.ts$|^src\/capacity\/(draws\/(copies|random)|model\/causes)\.ts$/,
  'src/grid': /^src\/grid\/\w+\.ts$/,
  'src/views/home': /^src\/views\/home\/(Home|Strip|FirstUnit)\.tsx$/,
  'src/views/sheet': /^src\/views\/sheet\/(SheetPane|SheetTabs|ImportDialog|ReviewDialog)\.tsx$|\.css$/,
  'src/views/print': /^src\/views\/print\/(PaperPart\.tsx|snapshot\.ts)$/,
  'src/views/capacity': /^src\/views\/capacity\/(CapacityView\.tsx|capacitySheets\.ts)$/,
  'electron/command': /^electron\/command\/input\.ts$/,
};

/** Circles that wait to be opened: nothing is ever added. */
const STILL_CIRCLES: readonly string[] = [];
test('no circle of files, types included', () => {
  const circles = circlesOf(edgesOf(house, (file) => file));
  expect(circles.filter(([first]) => !STILL_CIRCLES.includes(first!))).toEqual([]);
});

test('outsiders come in by the doors of a room', () => {
  const found = house.flatMap(({ file, links }) =>
    links.flatMap(({ to }) => {
      const room = Object.keys(DOORS).find((one) => to.startsWith(`${one}/`));
      return room && !file.startsWith(`${room}/`) && !DOORS[room]!.test(to) ? [`${file} -> ${to}`] : [];
    }),
  );
  expect(found).toEqual([]);
});

test(`no function is longer than ${LONGEST} lines`, () => {
  const long = functions.filter(({ one }) => one.lines > LONGEST);
  expect(
    long.map(({ file, one }) => `${file} ${one.name}`).filter((name) => !STILL_LONG.includes(name)),
  ).toEqual([]);
});

test(`no function has more than ${PARAMETERS} parameters`, () => {
  const many = functions.filter(({ one }) => one.parameters > PARAMETERS);
  expect(
    many.map(({ file, one }) => `${file} ${one.name}`).filter((name) => !STILL_MANY.includes(name)),
  ).toEqual([]);
});

test('a debt that is paid leaves the list', () => {
  const long = functions
    .filter(({ one }) => one.lines > LONGEST)
    .map(({ file, one }) => `${file} ${one.name}`);
  const many = functions
    .filter(({ one }) => one.parameters > PARAMETERS)
    .map(({ file, one }) => `${file} ${one.name}`);
  const changing = at((one) => one.changing).map(({ file, one }) => `${file} ${one}`);
  expect(STILL_LONG.filter((name) => !long.includes(name))).toEqual([]);
  expect(STILL_MANY.filter((name) => !many.includes(name))).toEqual([]);
  expect(MAY_CHANGE.filter((name) => !changing.includes(name))).toEqual([]);
});

test('no name is handed out that nobody takes', () => {
  const taken = new Map<string, Set<string>>();
  for (const { links } of house)
    for (const { to, names } of links) taken.set(to, new Set([...(taken.get(to) ?? []), ...names]));
  // Tests take names too, and plain programs load some files while they run.
  const tests = readTests(path.resolve(import.meta.dirname, '..'));
  const found = at((file) => file.exports).filter(({ file, one }) => {
    const by = taken.get(file);
    return one !== 'default' && !by?.has(one) && !by?.has('*') && !tests.has(one) && !LOADED.test(file);
  });
  expect(found.map(({ file, one }) => `${file} ${one}`)).toEqual([]);
});

test('no variable of a module changes outside the state of the views', () => {
  const changing = at(({ changing }) => changing).filter(({ file }) => !file.startsWith('src/views/state/'));
  expect(
    changing.map(({ file, one }) => `${file} ${one}`).filter((name) => !MAY_CHANGE.includes(name)),
  ).toEqual([]);
});

describe('the measuring itself', () => {
  test('finds circles, also of three', () => {
    const edges = new Map([
      ['a', new Set(['b'])],
      ['b', new Set(['c'])],
      ['c', new Set(['a', 'd'])],
      ['d', new Set<string>()],
    ]);
    expect(circlesOf(edges)).toEqual([['a', 'b', 'c']]);
  });
  test('reads imports of types, functions with their lines, and what changes', () => {
    const clock = house.find(({ file }) => file === 'src/calendar/clock.ts')!;
    expect(clock.exports).toContain('makeClock');
    expect(clock.functions.find(({ name }) => name === 'makeClock')?.parameters).toBe(2);
    const links = house.flatMap(({ links }) => links);
    expect(links).toContainEqual(expect.objectContaining({ to: 'src/calendar/clock.ts', names: ['Clock'] }));
    expect(Math.max(...functions.map(({ one }) => one.lines))).toBeGreaterThan(40);
  });
});
