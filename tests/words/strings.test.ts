import path from 'node:path';
import { expect, test } from 'vitest';
import { saidIn } from './said.ts';

const ROOT = path.resolve(import.meta.dirname, '../..');
const said = saidIn(ROOT, ['src/views', 'src/reports', 'src/grid', 'electron/command']);

/** A word that has another name, and what it is called. */
const NOT: readonly (readonly [word: RegExp, name: string])[] = [
  [/\baudit/i, 'plan check'],
  [/\bnot released\b/i, 'DO NOT USE THIS PLAN'],
  [/\brun sheet/i, 'shift worksheet'],
  [/\bchange of bath\b|\bchange bath\b/i, 'bath change'],
  [/\bwater test|\btest water\b/i, 'total chlorine test'],
  [/\bdraws? of\b|\bof draws\b|\bof 100 draws\b|\bDraws\b|\bDraw again\b/, 'simulated run'],
  [/\bconfidence\b/i, 'service level'],
  [/\bgives first\b/i, 'bottlenecks'],
  [/\blevers?\b|\bpull the\b/i, 'what-if changes'],
  [/\bneed and cover\b/i, 'need and supply'],
  [/\btake in\b|\bleave it\b|^noted$|\bstop here\b/i, 'import, cancel, mark as read, keep this plan'],
  [/\bmachine hours\b|\bout of service\b|\bmachine away\b/i, 'machine availability, unavailable'],
  [/\bbags a day\b|\bhours a day\b|\bL\/day\b|\bbags\/d\b|\bpatients a day\b|\bh a day\b/i, 'per day'],
  [/(?<!net )\bfluid removal\b/i, 'net fluid removal'],
  [/\blife of a (bag|circuit)\b/i, 'shelf life, circuit life'],
  [/\b(must|may) hold\b/i, 'minimum, maximum fill volume'],
  [/\bhung bag lasts\b/i, 'maximum hang time'],
  [/^positions$/i, 'bags per fill'],
  [/\btaken as lost\b|\bbags? lost\b|\bthrown away\b/i, 'discarded'],
  [/^round$/i, 'bag round'],
  [/^paper$/i, 'print'],
  [/^right: |\. right: /i, 'expected'],
  [/\blower bound\b|\bworker thread\b/i, 'proof'],
  [/\bput right\b|\bmended\b/i, 'correct'],
  [/\binfusion\b/i, 'the caution of src/words/cautions.ts'],
  [/\bcolour/i, 'color'],
];
/** Where such a word is right all the same: where, which, why. */
const EXCEPT: readonly (readonly [file: RegExp, text: RegExp, why: string])[] = [
  [/^src\/views\/day\//, /^Noted$/, 'what was written into the record'],
  [/^src\/grid\/headings\.ts$/, /./, 'headings that people write in their own tables: read, never said'],
  [/^src\/grid\/lists\.ts$/, /^(hours?|hrs?)\/day$/, 'spellings of a unit that a person may type'],
];

test('each thing goes by its one name', () => {
  const found = said.flatMap(({ file, line, text }) =>
    NOT.filter(([word]) => word.test(text))
      .filter(() => !EXCEPT.some(([where, which]) => where.test(file) && which.test(text)))
      .map(([, name]) => `${file}:${line} "${text}": say ${name}`),
  );
  expect(found).toEqual([]);
});

test('a count takes its noun from the one function of singular and plural', () => {
  // '${n} bags', 'n === 1 ? "bag" : "bags"' and 'bag(s)' read wrong for one of them.
  const nouns =
    'bags|machines|patients|technicians|rules|rounds|fills|circuits|days|draws|errors|warnings|rows|cells|pages';
  const found = said
    .filter(({ text }) => new RegExp(`\\}\\s(${nouns})\\b|\\w\\(s\\)`).test(text))
    .map(({ file, line, text }) => `${file}:${line} "${text}"`);
  expect(found.filter((one) => !COUNTED.some((known) => one.includes(known)))).toEqual([]);
});
/** What cannot be one, or is a list of numbers. */
const COUNTED: readonly string[] = ['src/reports/workbookLimits.ts', 'electron/command/capacityText.ts'];

test('the walk finds what a person reads', () => {
  expect(said.length).toBeGreaterThan(800);
  expect(
    said.some(({ text }) => text.endsWith('Note what is done as it is done. The plan goes on from there.')),
  ).toBe(true);
  expect(said.some(({ text }) => text.startsWith('Plan check'))).toBe(true);
});
