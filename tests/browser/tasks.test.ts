import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

/** Counts what a hand does: presses of a pointer, and keys that do not write. */
async function countsActs(page: Page): Promise<() => Promise<number>> {
  await page.evaluate(() => {
    const counted = window as unknown as { acts: number };
    counted.acts = 0;
    addEventListener('pointerdown', () => counted.acts++, true);
    addEventListener(
      'keydown',
      ({ key }) => {
        if (key.length > 1 && !['Shift', 'Control', 'Alt'].includes(key)) counted.acts++;
      },
      true,
    );
  });
  return () =>
    page.evaluate(() => {
      const counted = window as unknown as { acts: number };
      const { acts } = counted;
      counted.acts = 0;
      return acts;
    });
}

describe.skipIf(!chromiumPath)(
  `common tasks of each role, acts counted${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());
    const role = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
    const settled = (page: Page) =>
      page
        .getByText(/The plan is up to date|Quick plan/)
        .first()
        .waitFor();
    const strip = (page: Page) => page.getByLabel('Summary', { exact: true });

    test('nephrology lead', async () => {
      const { page, context } = await app.open(invented(6, 2), { at: 'home' });
      await settled(page);
      const acts = await countsActs(page);
      // 1. Is today covered, until when, which bags leave next? Nothing to do: it stands there.
      await strip(page).getByText(/Today/).first().waitFor();
      await page.getByText('Next bag rounds').waitFor();
      expect(await acts()).toBe(0);
      // 2. Another dose for a bed: its name, the number, Enter.
      await page.locator('.home').getByText('bed-03', { exact: true }).click();
      // As fast as a machine types: no key may be lost on the way to the cell.
      await page.keyboard.type('32');
      await expect
        .poll(() =>
          page
            .locator('.cell-editor')
            .inputValue({ timeout: 1000 })
            .catch(() => ''),
        )
        .toBe('32');
      await page.keyboard.press('Enter');
      await expect
        .poll(() => page.locator('.ag-row[row-index="2"] .ag-cell[col-id="dose"]').textContent())
        .toMatch(/32/);
      expect(await acts()).toBeLessThanOrEqual(2);
      // 3. Back: one press undoes it.
      await page.keyboard.press('Control+z');
      await expect
        .poll(() => page.locator('.ag-row[row-index="2"] .ag-cell[col-id="dose"]').textContent())
        .not.toMatch(/32/);
      await acts();
      // 4. What a lower cap would save, and the beds that it would change, before anything does.
      await page.getByRole('button', { name: 'Home', exact: true }).click();
      await page
        .getByRole('button', { name: /^Change \d+ prescriptions?/ })
        .first()
        .click();
      await page.getByRole('dialog').getByText('bed-01').first().waitFor();
      expect(await acts()).toBeLessThanOrEqual(2);
      await page.keyboard.press('Escape');
      await acts();
      // 5. What the plan is worth.
      await page.getByRole('button', { name: 'How good is this plan?' }).click();
      await page.getByTestId('audit').waitFor();
      expect(await acts()).toBe(1);
      await context.close();
    });

    test('technician lead', async () => {
      const { page, context } = await app.open(invented(6, 2), { at: 'home' });
      await settled(page);
      const acts = await countsActs(page);
      // 1. What to do next, where, and by when; 2. what each machine does; 3. the next bag round by bed.
      await role(page, 'Technician lead').click();
      await page.getByText('Next 12 hours').waitFor();
      await page
        .getByText(/Next bag round/)
        .first()
        .waitFor();
      await page.locator('.card.place').first().waitFor();
      expect(await acts()).toBe(1);
      // 4. Why a task is there.
      await page.locator('.home.day table .link').first().click();
      await page.locator('.side-body').getByText(/./).first().waitFor();
      expect(await acts()).toBe(1);
      // 5. The shift on paper: the pages, as they will be.
      await page.locator('.tabs button', { hasText: 'Print' }).click();
      await page.getByRole('button', { name: /^Print \d/ }).waitFor();
      expect(await acts()).toBe(1);
      await context.close();
    });

    test('administrator', async () => {
      const { page, context } = await app.open(invented(6, 2), { at: 'home' });
      await settled(page);
      const acts = await countsActs(page);
      // 1. Is the plan short of anything, does a supply run out?
      await role(page, 'Administrator').click();
      await page.getByText('Supplies that run out').waitFor();
      expect(await acts()).toBe(1);
      // 2. The patients to come.
      await page
        .getByRole('button', { name: /Simulate/ })
        .first()
        .waitFor();
      expect(await acts()).toBe(0);
      // 3. What is left of each supply.
      await page.locator('.tabs button', { hasText: 'Supplies left' }).click();
      await page.locator('.part .picture svg').first().waitFor();
      expect(await acts()).toBe(1);
      // 4. Variants side by side.
      await page.locator('.tabs button', { hasText: 'Compare variants' }).click();
      await page
        .getByRole('button', { name: /Keep|variant/i })
        .first()
        .waitFor();
      expect(await acts()).toBe(1);
      // 5. The stock, to be counted anew.
      await page.locator('.tabs button', { hasText: /^Stock/ }).click();
      await page.locator('.ag-cell[col-id="bags"]').first().waitFor();
      expect(await acts()).toBe(1);
      await context.close();
    });
  },
);
