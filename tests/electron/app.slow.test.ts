import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { launch, type Started } from './launch.ts';

// The app as it is started without a word: on the demo, by keyboard, through the local host to real files.
let started: Started;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  if (!chromiumPath) return;
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  started = await launch([]);
  browser = await launchChromium();
  page = await browser.newPage();
  page.on('dialog', (question) => question.accept());
  await page.goto(started.url);
  await page.getByRole('button', { name: 'I understand' }).click();
  await page.getByRole('button', { name: /^Patients/ }).click();
});
afterAll(async () => {
  await browser?.close();
  await started?.stop();
});

const weighs = async (kilograms: string) => {
  await page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="weight"]').click();
  await page.keyboard.type(kilograms);
  await page.keyboard.press('Enter');
};
const weightIn = (file: string): unknown => JSON.parse(readFileSync(file, 'utf8')).patients[0].weight;
const dialog = () => page.getByRole('dialog');

test('an edited demo is saved as a file of the user; from then on it is written back; the demo stays', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const demo = readFileSync('scenarios/surge-week.json', 'utf8');
  await weighs('101');
  await page.keyboard.press('Control+s');
  await dialog().getByLabel('Name').fill('mine.json');
  await page.keyboard.press('Enter');
  await dialog().waitFor({ state: 'detached' });
  const file = path.join(started.documents, 'mine.json');
  expect(weightIn(file)).toBe(101);
  await page.getByText('mine.json').waitFor();
  await weighs('102');
  await page.keyboard.press('Control+s');
  await expect.poll(() => weightIn(file)).toBe(102);
  expect(await dialog().count()).toBe(0);
  expect(readFileSync('scenarios/surge-week.json', 'utf8')).toBe(demo);
  // The lock of a save goes once the save is over.
  await expect.poll(() => readdirSync(started.documents).sort()).toEqual(['mine.json', 'mine.record']);
});

test('another scenario is opened by keyboard, and a second dialog never lies on the first', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  expect(existsSync('scenarios/calm-week.json')).toBe(true);
  await page.keyboard.press('Control+o');
  await dialog()
    .getByRole('button', { name: /^calm-week\.json/ })
    .focus();
  await page.keyboard.press('Control+s');
  await page.keyboard.press('Control+o');
  expect(await dialog().count()).toBe(1);
  await page.keyboard.press('Enter');
  await dialog().waitFor({ state: 'detached' });
  await page.getByText('calm-week.json').waitFor();
});
