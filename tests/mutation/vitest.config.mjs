import { readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';
import { BaseSequencer } from 'vitest/node';

const rooms = JSON.parse(readFileSync(new URL('rooms.json', import.meta.url), 'utf8'));
const { tests } = rooms[process.env.ROOM];

/** In the order of rooms.json, where the quickest stand first: the first test that fails ends a mutant. */
class AsListed extends BaseSequencer {
  async sort(files) {
    const place = ({ moduleId }) => tests.findIndex((one) => moduleId.endsWith(one));
    return [...files].sort((a, b) => place(a) - place(b));
  }
}

export default defineConfig({
  test: {
    root: process.cwd(),
    include: tests,
    exclude: ['**/node_modules/**', '**/*.slow.test.ts'],
    environment: 'node',
    setupFiles: ['tests/mutation/quick.mjs'],
    // The code is loaded once a mutant, not once a test file.
    isolate: false,
    testTimeout: 120_000,
    hookTimeout: 120_000,
    maxWorkers: 1,
    sequence: { sequencer: AsListed },
  },
});
