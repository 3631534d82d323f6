import { readFileSync } from 'node:fs';
import path from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import type { Browser, Page } from 'playwright-core';
import { extractText, getDocumentProxy } from 'unpdf';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { tinyWorld } from '../world.ts';
import { launch, type Started } from './launch.ts';

// The whole way: npm start, a real Chromium, the bridge of the built page, real files.
const week = JSON.stringify(tinyWorld({ title: 'Week six (invented)' }));
let started: Started;
let browser: Browser;
let page: Page;
const asked: string[] = [];
const complaints: string[] = [];

beforeAll(async () => {
  if (!chromiumPath) return;
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  started = await launch(['week.json'], { 'week.json': week, 'other.json': week.replace('six', 'seven') });
  browser = await launchChromium();
  const context = await browser.newContext();
  context.on('request', (request) => asked.push(request.url()));
  page = await context.newPage();
  page.on(
    'console',
    (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()),
  );
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(started.url);
  await page.waitForURL((url) => url.search === ''); // the link's page goes on by itself
  // The bridge as the page itself has it: the module that the page loaded.
  await page.evaluate(`(async () => {
    const loaded = () => performance.getEntriesByType('resource').find((one) => /hostBrowser-.*\\.js/.test(one.name));
    while (!loaded()) await new Promise((resolve) => setTimeout(resolve, 20));
    window.bridge = (await import(loaded().name)).bridge;
  })()`);
});
afterAll(async () => {
  await browser?.close();
  await started?.stop();
});

/** Start a task of the bridge, answer its dialog, and give back what came of it. */
async function answering(task: string, act: () => Promise<void>): Promise<unknown> {
  await page.evaluate(
    `void (window.outcome = ${task}.then((value) => ({ value }), (error) => ({ error: error.message })))`,
  );
  await act();
  return page.evaluate('window.outcome');
}
const press = (name: string) => page.getByRole('dialog').getByRole('button', { name, exact: true }).click();

test('the app starts isolated, without a complaint, and no request leaves the machine', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  await page.getByText('Week six (invented)').first().waitFor();
  expect(await page.evaluate('crossOriginIsolated')).toBe(true);
  await page.waitForTimeout(6_000); // planning, and the standing connection that begins after 5 s
  const { origin } = new URL(started.url);
  const outward = asked.filter((url) => !url.startsWith(`${origin}/`) && !/^(blob|data):/.test(url));
  expect(outward).toEqual([]);
  expect(asked).toContain(`${origin}/api/alive`);
  expect(complaints).toEqual([]);
  expect(new URL(page.url()).search).toBe('');
});

test('a page of another origin gets nothing from the host', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const other = await browser.newPage();
  await other.route('**/evil', (route) => route.fulfill({ contentType: 'text/html', body: 'evil' }));
  await other.goto('http://127.0.0.2/evil');
  const { origin } = new URL(started.url);
  const outcome = await other.evaluate(
    `fetch('${origin}/api/recent', { method: 'POST', credentials: 'include', headers: { 'X-Bathtide': '1' }, body: '{}' }).then((r) => r.text(), () => 'refused')`,
  );
  expect(outcome).toBe('refused');
  await other.close();
});

test('open: by keyboard from the listed folders; the dialog passes axe; Escape changes nothing', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  expect(
    await answering('bridge.open()', async () => {
      await page.getByRole('dialog', { name: 'Open a scenario' }).waitFor();
      const { violations } = await new AxeBuilder({ page: page as never }).include('dialog').analyze();
      expect(violations.map((one) => one.id)).toEqual([]);
      await page.keyboard.press('Escape');
    }),
  ).toEqual({ value: null });
  const opened = await answering('bridge.open()', async () => {
    await page.getByRole('list', { name: started.documents }).getByRole('button').first().focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
  });
  expect(opened).toMatchObject({ value: { name: 'week.json', text: week } });
});

test('a file from elsewhere is lent: readable, never written back', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const lent = await answering('bridge.open()', async () => {
    await page
      .getByLabel('A file from this computer')
      .setInputFiles(path.join(started.documents, 'other.json'));
  });
  expect(lent).toMatchObject({ value: { name: 'other.json', readOnly: true, handle: '' } });
  expect(await answering(`bridge.save('', 'x')`, async () => undefined)).toEqual({
    error: expect.stringMatching(/only lent/),
  });
});

test('save as asks before it replaces; save writes back; a bad name is said', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const file = path.join(started.documents, 'other.json');
  const saved = await answering(`bridge.saveAs('other.json', '{"a":1}')`, async () => {
    await page.getByLabel('Name').fill('a/b.json');
    await press('Save');
    await page.getByRole('alert').filter({ hasText: 'leave out /' }).waitFor();
    await page.getByLabel('Name').fill('other.json');
    await press('Save');
    await page.getByRole('alert').filter({ hasText: 'Replace it?' }).waitFor();
    expect(readFileSync(file, 'utf8')).toContain('seven');
    const { violations } = await new AxeBuilder({ page: page as never }).include('dialog').analyze();
    expect(violations.map((one) => one.id)).toEqual([]);
    await press('Replace');
  });
  expect(readFileSync(file, 'utf8')).toBe('{"a":1}');
  const { handle, digest } = (saved as { value: { handle: string; digest: string } }).value;
  expect(await answering(`bridge.save('${handle}', '{"a":2}', '${digest}')`, async () => undefined)).toEqual({
    value: { digest: expect.stringMatching(/^[0-9a-f]{64}$/) },
  });
  expect(readFileSync(file, 'utf8')).toBe('{"a":2}');
});

test('export: into the folder, byte for byte, or as a download', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const task = `bridge.exportFile('bags.bin', new Uint8Array([0, 255, 13, 10]))`;
  expect(await answering(task, () => press('Save'))).toMatchObject({ value: { name: 'bags.bin' } });
  expect([...readFileSync(path.join(started.documents, 'bags.bin'))]).toEqual([0, 255, 13, 10]);
  const download = page.waitForEvent('download');
  await answering(task, () => press('Download'));
  expect([...readFileSync(await (await download).path())]).toEqual([0, 255, 13, 10]);
});

test('print: a PDF that an independent reader reads', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  // A sheet as the app's papers are: beside the frame, styled by the page's own rules, one of them hiding it on paper.
  await page.evaluate(`(() => {
    const sheet = Object.assign(document.createElement('main'), { id: 'sheet', innerHTML: '<h1>Run sheet</h1><p class="gone">not this</p>' });
    document.body.append(sheet);
    const rules = new CSSStyleSheet();
    rules.replaceSync('@page one { size: A5 landscape } #sheet { page: one } @media print { .gone { display: none } }');
    document.adoptedStyleSheets.push(rules);
  })()`);
  await answering(`bridge.printPdf('week.pdf')`, () => press('Save'));
  await page.evaluate(`document.getElementById('sheet').remove()`);
  const bytes = new Uint8Array(readFileSync(path.join(started.documents, 'week.pdf')));
  const pdf = await getDocumentProxy(bytes);
  const { text } = await extractText(pdf, { mergePages: true });
  expect([pdf.numPages, text.trim()]).toEqual([1, 'Run sheet']);
  // A5 (ISO 216) is 148 mm x 210 mm; a point is 1/72 inch of 25.4 mm.
  const [, , width = 0, height = 0] = (await pdf.getPage(1)).view;
  expect(Math.abs(width - (210 / 25.4) * 72)).toBeLessThan(2);
  expect(Math.abs(height - (148 / 25.4) * 72)).toBeLessThan(2);
});

test('unsaved edits: leaving the page asks first', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  await page.evaluate('bridge.setUnsaved(true)');
  await page.mouse.click(5, 5); // browsers ask only where someone has touched the page
  const asking = page.waitForEvent('dialog');
  await page.evaluate('void setTimeout(() => location.reload(), 0)');
  const dialog = await asking;
  expect(dialog.type()).toBe('beforeunload');
  await dialog.dismiss();
  await page.evaluate('bridge.setUnsaved(false)');
});

test('the host opened no connection of its own, and when it ends the page says what to do', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  expect(started.said()).not.toContain('CONNECT');
  expect(await started.stop()).toBe(0);
  const outcome = await answering('bridge.recent()', async () => undefined);
  expect(outcome).toEqual({ error: expect.stringMatching(/The host of this page has ended.*Download/) });
});
