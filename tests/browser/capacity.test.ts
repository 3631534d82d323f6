import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

const planned = (page: Page) => page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 110_000 });
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
      await page.getByRole('button', { name: 'Draw the patients to come' }).click();
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

      await page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="weight"]').click();
      await page.keyboard.type('120');
      await page.keyboard.press('Enter');
      await page.getByText('The scenario has changed since').waitFor();
      expect(await answer(page).textContent()).toBe(said);

      page.once('dialog', (dialog) => dialog.accept());
      await page.keyboard.press('Control+o');
      await page.getByRole('button', { name: 'Draw the patients to come' }).waitFor();
      expect(await answer(page).count()).toBe(0);
      expect(errors).toEqual([]);
      await context.close();
    });
  },
);
