import AxeBuilder from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

const topOf = (page: Page, selector: string) =>
  page.locator(selector).evaluate((one) => one.getBoundingClientRect().top);
const inside = async (page: Page, selector: string): Promise<boolean> =>
  page
    .locator(selector)
    .first()
    .evaluate((one) => {
      const { top, bottom, left, right } = one.getBoundingClientRect();
      return top < window.innerHeight && bottom > 0 && left < window.innerWidth && right > 0 && bottom > top;
    });

describe.skipIf(!chromiumPath)(
  `the look of the app${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('Help shows each sign and part once, and axe finds nothing wrong with it, light and dark', async () => {
      const { page, context, errors } = await app.open(invented(3), { at: 'home' });
      for (const theme of ['light', 'dark']) {
        if (theme === 'dark') await page.getByRole('button', { name: 'Dark' }).click();
        await page.getByRole('button', { name: 'Help' }).click();
        const parts = page.locator('.parts-page');
        await parts.scrollIntoViewIfNeeded();
        for (const tone of ['good', 'now', 'warn', 'bad', 'quiet'])
          expect(await parts.locator(`.signal.${tone}`).count()).toBe(1);
        const { violations } = await new AxeBuilder({ page }).include('.parts-page').analyze();
        expect(violations.map(({ id }) => id)).toEqual([]);
        expect((await parts.screenshot()).byteLength).toBeGreaterThan(5000);
        await page.getByRole('button', { name: 'Close', exact: true }).click();
      }
      expect(errors).toEqual([]);
      await context.close();
    });

    test('four marked steps lead through the invented unit, each with what it marks in sight', async () => {
      const { page, context } = await app.open(invented(3), { at: 'home' });
      await page.getByRole('button', { name: 'Help' }).click();
      await page.getByRole('button', { name: 'Show me around in four steps' }).click();
      const tour = page.getByRole('region', { name: 'Four steps' });
      const marked = [
        '.answers-strip',
        '.home .card:first-child',
        '.places',
        '.home.administrator .card:last-child',
      ];
      for (const [step, selector] of marked.entries()) {
        await tour.getByText(`${step + 1} of 4.`).waitFor();
        await page.locator(selector).first().waitFor();
        expect(await inside(page, selector), selector).toBe(true);
        expect(
          await page
            .locator(selector)
            .first()
            .evaluate((one) => getComputedStyle(one).outlineStyle),
        ).toBe('solid');
        if (step < 3) await tour.getByRole('button', { name: 'Next' }).click();
      }
      await tour.getByRole('button', { name: 'Leave' }).click();
      expect(await tour.count()).toBe(0);
      await context.close();
    });

    // WCAG 2.2, success criterion 2.5.5: targets of 44 by 44 CSS px (level AAA); 2.5.8: 24 by 24 (AA).
    test.each([
      ['nephrology', 'Nephrology lead'],
      ['technician', 'Technician lead'],
      ['administrator', 'Administrator'],
    ])('touch: every button of the %s home is 44 px high, and 24 without it', async (_role, name) => {
      const { page, context } = await app.open(invented(6), { at: 'home', width: 1180, height: 820 });
      await page.getByRole('button', { name, exact: true }).click();
      await page.locator('.home').waitFor();
      const low = (least: number) =>
        page
          .locator('button:visible:not(.link, .plainly, .pill)')
          .evaluateAll(
            (all, px) =>
              all
                .filter((one) => one.getBoundingClientRect().height < px - 0.5)
                .map((one) => `${one.textContent} ${one.getBoundingClientRect().height}`),
            least,
          );
      expect(await low(24)).toEqual([]);
      await page.getByRole('button', { name: 'Touch' }).click();
      await expect.poll(() => low(44)).toEqual([]);
      await page.reload();
      await expect.poll(() => page.evaluate(() => document.documentElement.dataset.density)).toBe('touch');
      await context.close();
    });

    // Cumulative Layout Shift as Chromium counts it, good up to 0.1 (web.dev/articles/cls).
    test.each(['Nephrology lead', 'Technician lead', 'Administrator'])(
      '%s: nothing on the home jumps while a plan is searched',
      async (name) => {
        const { page, context } = await app.open(invented(4, 1), { at: 'home' });
        await page.getByRole('button', { name, exact: true }).click();
        await page.locator('.home').first().waitFor();
        await page.waitForTimeout(600);
        await page.evaluate(() => {
          const counted = window as unknown as { shift: number };
          counted.shift = 0;
          new PerformanceObserver((list) => {
            for (const entry of list.getEntries() as unknown as { value: number; hadRecentInput: boolean }[])
              if (!entry.hadRecentInput) counted.shift += entry.value;
          }).observe({ type: 'layout-shift' });
        });
        await page.getByRole('button', { name: 'Plan again' }).click({ timeout: 60_000 });
        await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 120_000 });
        expect(await page.evaluate(() => (window as unknown as { shift: number }).shift)).toBeLessThanOrEqual(
          0.1,
        );
        await context.close();
      },
    );

    test('a notice stands below the work: nothing above it moves', async () => {
      const { page, context } = await app.open(invented(6));
      const before = await topOf(page, '.grid');
      await page.evaluate(() => navigator.clipboard.writeText('nonsense'));
      await page.locator('.ag-cell[col-id="weight"]').first().click();
      await page.keyboard.press('Control+v');
      await page.locator('.notices .notice, .said-done').first().waitFor();
      expect(await topOf(page, '.grid')).toBe(before);
      await context.close();
    });
  },
);
