// One room a run, named in ROOM: its files are mutated, its quick tests judge. `npm run mutants` sets it.
import { readFileSync } from 'node:fs';

const room = process.env.ROOM;
const rooms = JSON.parse(readFileSync(new URL('rooms.json', import.meta.url), 'utf8'));
const { mutate } = rooms[room];

/** @type {import('@stryker-mutator/api/core').PartialStrykerOptions} */
export default {
  testRunner: 'vitest',
  vitest: { configFile: 'tests/mutation/vitest.config.mjs', related: false },
  coverageAnalysis: 'perTest',
  mutate: process.env.MUTATE ? process.env.MUTATE.split(',') : mutate,
  ignorePatterns: ['dist', 'tests/out'],
  // Its rewriting of a tsconfig needs the compiler's old API, which TypeScript 7 has no more; nothing here needs it.
  tsconfigFile: 'none',
  tempDirName: 'dist/mutation/tmp',
  // Judge again only what code or tests have changed since; a change in a test's helper is not seen.
  incremental: process.env.ON === '1',
  incrementalFile: `dist/mutation/${room}.incremental.json`,
  reporters: ['json', 'clear-text', 'progress-append-only'],
  jsonReporter: { fileName: `dist/mutation/${room}.json` },
  clearTextReporter: { reportTests: false, reportMutants: false, allowColor: false },
  concurrency: 1,
  // A busy machine is late, not wrong: only what never ends is to run into this.
  timeoutMS: Number(process.env.PATIENCE ?? 60_000),
  timeoutFactor: 4,
  thresholds: { high: 95, low: 90, break: 90 },
};
