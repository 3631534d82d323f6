import { writeFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { extractText, getDocumentProxy } from 'unpdf';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

const planned = (page: Page) =>
  page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 110_000 });
const show = (page: Page, part: string) =>
  page
    .getByRole('navigation', { name: 'Sheets and pictures' })
    .getByRole('button', { name: part, exact: true })
    .click();
const answer = (page: Page) => page.locator('.capacity-answer');
const drawn = (page: Page) =>
  page.getByRole('heading', { name: 'Fast model against full plans' }).waitFor({ timeout: 100_000 });

describe.skipIf(!chromiumPath)(
  `capacity in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('answers outlive a look at another view, stay behind an edit with a word, and go with the file', async () => {
      const scenario = { ...invented(6, 2), forecast: { days: 3, draws: 60, startsPerDay: 1 } };
      const { page, errors, context } = await app.open(scenario);
      await planned(page);
      await show(page, 'Capacity');
      await page.getByRole('button', { name: 'Simulate the patients to come' }).click();
      // It goes on unseen.
      await show(page, 'Timeline');
      await show(page, 'Capacity');
      await drawn(page);
      const said = await answer(page).textContent();
      await show(page, 'Timeline');
      await page.getByRole('application', { name: /^Timeline/ }).waitFor();
      await show(page, 'Capacity');
      expect(await answer(page).textContent()).toBe(said);
      await page.getByRole('heading', { name: 'Fast model against full plans' }).waitFor();

      // Printed now, the page for the board comes out: no blank page, and every part of it.
      const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
      if (process.env.BOARD_PDF) writeFileSync(process.env.BOARD_PDF, pdf);
      if (process.env.BOARD_PNG) await page.screenshot({ path: process.env.BOARD_PNG, fullPage: true });
      const { text, totalPages } = await extractText(await getDocumentProxy(new Uint8Array(pdf)), {
        mergePages: true,
      });
      expect(totalPages).toBe(1);
      for (const part of [
        'Capacity: what the forecast needs',
        said!.replace(/^[✓✕] /, ''),
        'First at risk',
        'Runs short first',
        'What to get to reach the service level',
        'How sure this is',
        'The three what-if changes that save most',
        'Patients at the end of each day',
        'Runs that are short: machines and technicians',
        'Assumptions and their sources',
        'Never infuse',
      ])
        expect(text.replace(/\s+/g, ' ')).toContain(part);

      await page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="weight"]').click();
      await page.keyboard.type('120');
      await page.keyboard.press('Enter');
      await page.locator('.capacity .notice', { hasText: 'Old answer' }).waitFor();
      // Still there, and no longer green.
      expect(await answer(page).textContent()).toContain(said!.replace(/^[✓✕] /, ''));
      expect(await answer(page).getAttribute('class')).toContain('stale');
      // Beginning and cancelling leave it.
      await page.getByRole('button', { name: 'Simulate again' }).click();
      expect(await answer(page).count()).toBe(1);
      await page.getByRole('button', { name: 'Cancel' }).click();
      await page.getByRole('button', { name: 'Simulate again' }).waitFor();
      expect(await answer(page).count()).toBe(1);

      page.once('dialog', (dialog) => dialog.accept());
      await page.keyboard.press('Control+o');
      await page.getByRole('button', { name: 'Simulate the patients to come' }).waitFor();
      expect(await answer(page).count()).toBe(0);
      expect(errors).toEqual([]);
      await context.close();
    });
  },
);
