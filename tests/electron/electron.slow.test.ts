import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { _electron } from 'playwright-core';
import { expect, test } from 'vitest';
import { hasDisplay } from '../../electron/local/browsers.mjs';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { tinyWorld } from '../world.ts';

function binary(): string | null {
  try {
    const file = path.join(
      'node_modules/electron/dist',
      readFileSync('node_modules/electron/path.txt', 'utf8').trim(),
    );
    return existsSync(file) ? path.resolve(file) : null;
  } catch {
    return null;
  }
}

test('real Electron: the window shows the scenario, isolated, and can go nowhere else', async (context) => {
  const executablePath = binary();
  if (!executablePath) return context.skip('not run: no Electron binary');
  if (!hasDisplay()) return context.skip('not run: no display for Electron');
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  const home = mkdtempSync(path.join(os.tmpdir(), 'bathtide-electron-'));
  const file = path.join(home, 'week.json');
  writeFileSync(file, JSON.stringify(tinyWorld({ title: 'Week six (invented)' })));
  const root = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const app = await _electron.launch({
    executablePath,
    args: [...root, path.resolve('.'), file],
    env: { ...process.env, BATHTIDE_CONFIG: path.join(home, 'config') } as Record<string, string>,
  });
  const page = await app.firstWindow();
  await page.getByText('Week six (invented)').first().waitFor();
  expect(await page.evaluate('typeof require + typeof process')).toBe('undefinedundefined');
  expect(await page.evaluate('crossOriginIsolated')).toBe(true);
  await page.evaluate(`location.href = 'https://example.org/'`).catch(() => undefined);
  expect(await page.evaluate(`window.open('https://example.org/')`)).toBeNull();
  expect(page.url()).toBe('app://bundle/index.html');
  expect(app.windows()).toHaveLength(1);
  await app.close();
  rmSync(home, { recursive: true, force: true });
});
