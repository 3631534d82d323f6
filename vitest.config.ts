import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    environment: 'node',
    testTimeout: 120_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
    // A busy machine is late, not wrong: the default of 1 s fails tests there.
    expect: { poll: { timeout: 20_000 } },
  },
});
