import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { beginningWith, halfWritten, sweep } from '../../electron/files/leftovers.ts';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { launch } from './launch.ts';

// What another account of the computer sees of a start: every argument of every program.
const home = mkdtempSync(path.join(os.tmpdir(), 'bathtide-handover-'));
beforeAll(async () => {
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

/** A system whose way to open a page is noted and nothing else. */
function fakeOpener() {
  const bin = path.join(home, 'bin');
  mkdirSync(bin, { recursive: true });
  const seen = path.join(home, 'seen');
  writeFileSync(path.join(bin, 'xdg-open'), `#!/bin/sh\necho "$@" >>${seen}\n`);
  chmodSync(path.join(bin, 'xdg-open'), 0o755);
  return { seen, env: { PATH: `${bin}:${process.env.PATH}`, DISPLAY: ':0', CI: '' } };
}

test('a browser is handed a page that only the user can read, never the link itself; it opens the app and is gone', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  if (process.platform !== 'linux') return context.skip('not run: the stand-in for xdg-open is for Linux');
  const { seen, env } = fakeOpener();
  const started = await launch([], {}, { env, open: true });
  try {
    const said = readFileSync(seen, 'utf8').trim();
    expect(said).toMatch(/^file:\/\/\S+bathtide\.html$/);
    const page = fileURLToPath(said);
    const token = /token=([\w-]{43})/.exec(readFileSync(page, 'utf8'))?.[1] ?? 'none';
    expect(said).not.toContain(token);
    expect(started.child.spawnargs.join(' ')).not.toMatch(/token/);
    expect([statSync(page).mode & 0o777, statSync(path.dirname(page)).mode & 0o777]).toEqual([0o600, 0o700]);
    const browser = await launchChromium();
    const visitor = await browser.newContext();
    const tab = await visitor.newPage();
    await tab.goto(said).catch(() => undefined); // it goes on before it is whole
    await tab.getByRole('button', { name: 'I understand' }).waitFor();
    expect(new URL(tab.url()).hash).toBe('');
    expect(existsSync(path.dirname(page))).toBe(false);
    // A reload keeps its key; a tab that was not let in has the cookie, and no key.
    await tab.reload();
    await tab.getByRole('button', { name: 'I understand' }).waitFor();
    const stranger = await visitor.newPage();
    await stranger.goto(new URL('/', tab.url()).href);
    await stranger.getByText('This page has no key of its own').first().waitFor();
    await browser.close();
  } finally {
    await started.stop();
  }
});

test('what a kill left is swept at the next start; what is young, or not ours by its name, stays', async () => {
  const folder = path.join(home, 'left');
  mkdirSync(path.join(folder, 'open-abc'), { recursive: true });
  const old = [
    'week.json.tmp-1234567890abcdef',
    'week.json',
    'notes.tmp-1',
    'open-abc/bathtide.html',
    'open-abc',
  ];
  for (const name of old) {
    const file = path.join(folder, name);
    if (name !== 'open-abc') writeFileSync(file, 'x');
    utimesSync(file, new Date(0), new Date(0));
  }
  writeFileSync(path.join(folder, 'new.json.tmp-1234567890abcdef'), 'x');
  const gone = await sweep([halfWritten(folder), beginningWith(folder, 'open-')], Date.now());
  expect(gone.map((one) => path.basename(one)).sort()).toEqual([
    'open-abc',
    'week.json.tmp-1234567890abcdef',
  ]);
  expect(existsSync(path.join(folder, 'new.json.tmp-1234567890abcdef'))).toBe(true);
  expect(existsSync(path.join(folder, 'week.json'))).toBe(true);
});
