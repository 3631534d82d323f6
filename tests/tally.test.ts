import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import semver from 'semver';
import { describe, expect, test } from 'vitest';
import { runsOn } from '../electron/setup.mjs';
import { judge } from './tally.mjs';

describe('what a test came to', () => {
  test.each([
    [{ state: 'passed', fullName: 'a' }, 'passed'],
    [{ state: 'failed', fullName: 'a' }, 'failed'],
    [{ state: 'skipped', note: 'not run: no Chromium', fullName: 'a' }, 'skipped'],
    [{ state: 'skipped', fullName: 'a queue (not run: no redis-server) > b' }, 'skipped'],
    [{ state: 'skipped', fullName: 'a' }, 'failed'],
    [{ state: 'pending', fullName: 'a' }, 'failed'],
    [{ state: 'pending', fullName: 'a queue (not run: no redis-server) > b' }, 'failed'],
  ])('%j: %s', (told, outcome) => {
    expect(judge(told).outcome).toBe(outcome);
  });

  test('a test process that dies fails its tests, those it had not begun too', () => {
    const folder = mkdtempSync(path.join(import.meta.dirname, 'dies-'));
    const script = path.join(folder, 'run.mjs');
    writeFileSync(
      path.join(folder, 'dies.test.ts'),
      `import { test } from 'vitest';
test('before', () => {});
test('dies', () => new Promise(() => process.kill(process.pid, 'SIGKILL')));
test('after', () => {});`,
    );
    writeFileSync(
      script,
      `import { startVitest } from 'vitest/node';
import { judge } from '../tally.mjs';
const vitest = await startVitest('test', [], { root: ${JSON.stringify(folder)}, config: false, watch: false, reporters: [] });
const told = vitest.state.getTestModules().flatMap((one) => [...one.children.allTests()]);
console.log(JSON.stringify({
  outcomes: told.map((one) => judge({ ...one.result(), fullName: one.fullName }).outcome),
  broken: vitest.state.getTestModules().filter((one) => one.errors().length > 0 || !one.ok()).length,
  stray: vitest.state.getUnhandledErrors().length,
}));
process.exit(0);`,
    );
    try {
      const { VITEST: _, ...env } = process.env;
      const { stdout, stderr } = spawnSync(process.execPath, [script], { encoding: 'utf8', env });
      const line = stdout.split('\n').find((one) => one.startsWith('{"outcomes"'));
      const { outcomes, stray } = JSON.parse(line ?? `{"outcomes":["${stderr.slice(0, 300)}"]}`);
      expect(outcomes).not.toContain('skipped');
      expect(outcomes.filter((one: string) => one === 'failed').length + stray).toBeGreaterThan(0);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

describe('which Node', () => {
  const { engines } = JSON.parse(readFileSync('package.json', 'utf8'));
  const lock = JSON.parse(readFileSync('package-lock.json', 'utf8')).packages as Record<
    string,
    { optional?: boolean; engines?: { node?: string } }
  >;
  // Electron's download asks for a newer Node than the rest: where it is refused, the browser takes Electron's place.
  const fetching = /node_modules\/(electron|@electron\/get|@electron-internal\/extract-zip)$/;
  const tools = Object.entries(lock).filter(
    ([name, one]) => name !== '' && !one.optional && !fetching.test(name),
  );
  const versions = [18, 20, 21, 22, 23, 24, 25, 26].flatMap((major) =>
    [0, 11, 12, 18, 19, 20].map((minor) => `${major}.${minor}.0`),
  );
  test.each(versions)('%s: engines, the start and all tools say the same', (version) => {
    const refusing = tools.filter(
      ([, { engines }]) => engines?.node && !semver.satisfies(version, engines.node),
    );
    expect(semver.satisfies(version, engines.node), refusing.map(([name]) => name).join(' ')).toBe(
      refusing.length === 0,
    );
    expect(runsOn(version)).toBe(semver.satisfies(version, engines.node));
  });
});
