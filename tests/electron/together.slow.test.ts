import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { tinyWorld } from '../world.ts';
import { launch, type Started, toPatients } from './launch.ts';

// Two pages of one host on one file, and a page that dies: nothing typed is lost.
const bed = (id: string) => ({ id, weight: 80, dose: 25, bath: tinyWorld().baths[0]!.id });
const week = tinyWorld({ title: 'Week six (invented)', patients: [bed('bed-01'), bed('bed-02')] });
let started: Started;
let browser: Browser;
let file: string;

beforeAll(async () => {
  if (!chromiumPath) return;
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  started = await launch(['week.json'], { 'week.json': JSON.stringify(week) });
  file = path.join(started.documents, 'week.json');
  browser = await launchChromium();
});
afterAll(async () => {
  await browser?.close();
  await started?.stop();
});

async function open(first = async (_page: Page) => {}): Promise<Page> {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(started.url);
  await first(page);
  return toPatients(page);
}
async function weigh(page: Page, row: number, kilograms: number) {
  await page.locator(`.grid .ag-row[row-index="${row}"] .ag-cell[col-id="weight"]`).click();
  await page.keyboard.type(String(kilograms));
  await page.keyboard.press('Enter');
}
const weights = () =>
  JSON.parse(readFileSync(file, 'utf8')).patients.map((one: { weight: number }) => one.weight);

test('the second save does not take the first one’s prescription back; the same cell is asked about', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const [one, two] = [await open(), await open()];
  await weigh(one, 0, 101);
  await weigh(two, 1, 102);
  await one.keyboard.press('Control+s');
  await expect.poll(weights).toEqual([101, 80]);
  await two.keyboard.press('Control+s');
  await expect.poll(weights).toEqual([101, 102]);
  await two.getByText('1 change by somebody else came in').waitFor();
  // The first page is shown what the second one saved, and takes it.
  await one.getByRole('heading', { name: 'Somebody else saved week.json' }).waitFor();
  await one.getByRole('button', { name: 'Take these' }).click();
  // Both change one cell.
  await weigh(one, 0, 111);
  await weigh(two, 0, 112);
  await one.keyboard.press('Control+s');
  await expect.poll(weights).toEqual([111, 102]);
  await two.keyboard.press('Control+s');
  const dialog = two.getByRole('dialog', { name: /changed week\.json|saved week\.json/ });
  await dialog.getByRole('radio', { name: '112' }).check();
  await dialog.getByRole('button', { name: /Save both|Take these/ }).click();
  if ((await weights())[0] !== 112) await two.keyboard.press('Control+s');
  await expect.poll(weights).toEqual([112, 102]);
  const kept = path.join(started.documents, 'week.record');
  const history = () =>
    readdirSync(kept)
      .filter((name) => name.endsWith('.changes'))
      .map((name) => readFileSync(path.join(kept, name), 'utf8'))
      .join('');
  // It is written after the file.
  await expect.poll(history).toMatch(/112/);
  // Who changed what: by bed, each with its time, station and account; none of it in a request that the page made up.
  await two.getByRole('button', { name: 'File' }).click();
  await two.getByRole('menuitem', { name: /Who changed what/ }).click();
  const changes = two.getByRole('dialog', { name: 'Who changed what in week.json' });
  const rows = async () =>
    (await changes.locator('tbody tr').allInnerTexts()).map((row) => row.split('\t').slice(1));
  const [on, by] = [os.hostname(), os.userInfo().username];
  const weight = (bed: string, from: number, to: number) => [on, by, bed, 'Weight', `${from} kg`, `${to} kg`];
  await expect
    .poll(rows)
    .toEqual([
      weight('bed-01', 111, 112),
      weight('bed-01', 101, 111),
      weight('bed-02', 80, 102),
      weight('bed-01', 80, 101),
    ]);
  const { violations } = await new AxeBuilder({ page: two }).include('dialog.changes').analyze();
  expect(violations.map(({ id }) => id)).toEqual([]);
  await changes.getByLabel('Show').selectOption('bed-02');
  await expect.poll(rows).toEqual([weight('bed-02', 80, 102)]);
  await changes.getByText('1 change, the latest first.').waitFor();
  await changes.getByRole('button', { name: 'Save as CSV' }).click();
  const asked = two.getByRole('dialog', { name: 'Export as' });
  await asked.getByRole('button', { name: /^Save/ }).click();
  const csv = path.join(started.documents, 'week-changes.csv');
  await expect.poll(() => existsSync(csv)).toBe(true);
  expect(readFileSync(csv, 'utf8')).toMatch(
    /Time,Station,Account,Bed,Field,From,To,[\s\S]*bed-02,Weight,80 kg,102 kg/,
  );
  await Promise.all([one.context().close(), two.context().close()]);
});

test('edits of a page that is killed are offered to the next one', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  writeFileSync(file, JSON.stringify(week));
  const page = await open();
  const kept = page.waitForRequest(
    (request) => request.url().endsWith('/api/keepDraft') && (request.postData() ?? '').includes('133'),
  );
  await weigh(page, 0, 133);
  await (await kept).response();
  await page.context().close();
  const next = await open((page) =>
    page.getByRole('button', { name: 'Take up these edits' }).first().click(),
  );
  await next.keyboard.press('Control+s');
  await expect.poll(weights).toEqual([133, 80]);
  await next.getByRole('button', { name: 'File' }).click();
  await next.getByRole('menuitem', { name: /Earlier versions/ }).click();
  await next
    .getByRole('button', { name: /Show the version of/ })
    .nth(1)
    .click();
  await expect
    .poll(() => next.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="weight"]').textContent())
    .toBe('80');
  expect(weights()).toEqual([133, 80]);
  // Help names all that lies in the settings folder after that, and what the browser remembers.
  const settings = readdirSync(path.join(started.documents, '..', 'config')).sort();
  expect(settings).toEqual(['drafts', 'port', 'recent.json', 'versions']);
  await next.getByRole('button', { name: 'Help', exact: true }).click();
  for (const stored of [
    'Scenario files',
    'Edits that are not saved',
    'Earlier versions',
    'Who changed what',
    'Recent files, last port',
    'Arrangement, column widths, initials',
    'Settings folder',
    'To clear',
    'Your own files',
  ])
    await next.getByRole('rowheader', { name: stored, exact: true }).waitFor();
  await next.context().close();
});
