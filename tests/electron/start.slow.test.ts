import { spawnSync } from 'node:child_process';
import { beforeAll, expect, test } from 'vitest';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { launch } from './launch.ts';

beforeAll(async () => {
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
});
const start = (...args: string[]) =>
  spawnSync(process.execPath, ['electron/start.mjs', ...args], { encoding: 'utf8', timeout: 60_000 });

test('says where the app runs and why, prints the link, and ends with Ctrl-C', async () => {
  const started = await launch([]);
  expect(started.said()).toMatch(
    /^Bathtide runs in a browser, from this computer only \(asked for\)\. Ctrl-C ends it\.$/m,
  );
  expect(started.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]{43}$/);
  expect(await started.stop()).toBe(0);
  expect(started.said()).not.toContain('CONNECT');
});

test.each([
  [['nowhere.json'], /nowhere\.json: there is no such file\. Name a scenario file/],
  [['--folder', 'nowhere'], /nowhere: there is no such folder/],
  [['a.json', 'b.json'], /One scenario at a time, not 2/],
  [['--wrong'], /--wrong[\s\S]*Use: npm start/],
])('%j: status 2 and what would be right', (args, words) => {
  const { status, stderr, stdout } = start(...args);
  expect(stderr).toMatch(words);
  expect([status, stdout]).toEqual([2, '']);
});
