import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import { cell, focused, openSheet } from './grid.ts';
import { invented } from './scenario.ts';

/** The name of what has the focus. */
const name = (page: Page) =>
  page.evaluate(
    () => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent,
  );
/** Contrast of two computed colours, as in WCAG 2.2 (relative luminance of sRGB). */
const contrast = (a: string, b: string) => {
  const light = (colour: string) => {
    const [red, green, blue] = colour
      .match(/[\d.]+/g)!
      .slice(0, 3)
      .map((part) => Number(part) / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
  };
  const [dark, bright] = [light(a), light(b)].sort((x, y) => x - y);
  return (bright! + 0.05) / (dark! + 0.05);
};
const style = (page: Page, selector: string, property: string) =>
  page
    .locator(selector)
    .first()
    .evaluate((element, asked) => getComputedStyle(element).getPropertyValue(asked), property);

describe.skipIf(!chromiumPath)(
  `keys, contrast and zoom${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());
    const open = async (width = 1280, height = 720) => {
      opened = await app.open(invented(6, 2), { width, height });
      await cell(opened.page, 0, 'id').waitFor();
      return opened.page;
    };
    const shut = async () => {
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    };
    const planned = (page: Page) =>
      page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 110_000 });

    test('the File menu and the dialogs it opens hand the focus back', async () => {
      const page = await open();
      const menu = page.getByRole('button', { name: /^File/ });
      await menu.press('Enter');
      await expect.poll(() => name(page)).toMatch(/^New scenario/);
      await page.keyboard.press('End');
      expect(await name(page)).toMatch(/^Whole schedule/);
      await page.keyboard.press('Tab');
      expect(await page.getByRole('menu').count()).toBe(0);
      for (const leave of [
        () => page.keyboard.press('Escape'),
        () => page.getByRole('button', { name: 'Cancel' }).press('Enter'),
      ]) {
        await menu.press('Enter');
        await page.getByRole('menuitem', { name: /Import rows/ }).press('Enter');
        await page.getByRole('dialog', { name: 'Import rows' }).waitFor();
        await leave();
        await expect.poll(() => name(page)).toBe('File ▾');
      }
      await shut();
    });

    test('behind an open dialog keys do nothing', async () => {
      const page = await open();
      await page.getByRole('button', { name: 'Help' }).press('Enter');
      await page.keyboard.press('Alt+2');
      await page.keyboard.press('Control+s');
      await page.keyboard.press('Escape');
      // The next key is answered, so those before it have been.
      await page.keyboard.press('Alt+3');
      await page.getByRole('heading', { name: 'This plan' }).waitFor();
      expect(opened.saved.size).toBe(0);
      await page.getByRole('button', { name: 'Help' }).press('Enter');
      await page.keyboard.press('Alt+2');
      expect(await page.locator('.home.administrator').count()).toBe(1);
      await shut();
    });

    test('Find is gone back to by its keys, and leaves the focus in the cell it found', async () => {
      const page = await open();
      await page.keyboard.press('Control+f');
      await page.keyboard.type('bed-04');
      await page.keyboard.press('Escape');
      await expect.poll(() => focused(page)).toBe('3/id');
      await page.keyboard.press('Control+f');
      await cell(page, 0, 'dose').click();
      await page.keyboard.press('Control+f');
      expect(await name(page)).toBe('Find in this sheet');
      await shut();
    });

    test('the search is begun and stopped from one button, which keeps the focus', async () => {
      const page = await open();
      await planned(page);
      await page.getByRole('button', { name: 'Plan again' }).press('Enter');
      await expect.poll(() => name(page)).toBe('Keep this plan');
      await page.keyboard.press('Enter');
      await planned(page);
      expect(await name(page)).toBe('Plan again');
      await shut();
    });

    test('a screen reader is told what a search came to, and what is closed in the panel leaves the focus there', async () => {
      const page = await open();
      await planned(page);
      await page.getByRole('status').getByText('Planned: 0 L unmet. Plan check passed').waitFor();
      await page.keyboard.press('Alt+2');
      await page.locator('.home.day .rows .link').first().press('Enter');
      await page.locator('[aria-live] .chosen').getByRole('button', { name: 'Close' }).press('Enter');
      await expect.poll(() => name(page)).toBe('Home');
      await shut();
    });

    test('the first row of an empty sheet comes by the key of a new row', async () => {
      const page = await open();
      await openSheet(page, 'Deliveries');
      await page.keyboard.press('F6');
      await expect.poll(() => name(page)).toBe('Rows of Deliveries');
      await page.keyboard.press('Control+Enter');
      await cell(page, 0, 'lot').waitFor();
      await expect.poll(() => focused(page)).toBe('0/lot');
      await shut();
    });

    test('a bed whose name its column cuts off is named whole below the sheet, and a long name stays in the panel', async () => {
      const scenario = invented(6, 2);
      const bed = (n: number) => `bed of the ward on the way to the other campus, number ${n}`;
      for (const [n, patient] of scenario.patients.entries()) patient.id = bed(n);
      scenario.machines[0]!.id = 'M'.repeat(60);
      opened = await app.open(scenario);
      const { page } = opened;
      await cell(page, 4, 'id').click();
      await expect.poll(() => page.locator('.pane-foot').textContent()).toContain(bed(4));
      await planned(page);
      await page.keyboard.press('Alt+2');
      const side = page.locator('.home.day');
      await side.waitFor();
      expect(await side.evaluate((one) => one.scrollWidth - one.clientWidth)).toBe(0);
      await shut();
    });

    test('what is wrong in a cell is read to its end', async () => {
      const page = await open(1024, 576);
      await cell(page, 0, 'bath').click();
      await page.keyboard.type(`a bath that ${'nobody '.repeat(30)} knows`);
      await page.keyboard.press('Enter');
      await page.keyboard.press('ArrowUp');
      const foot = page.locator('.pane-foot.bad');
      await foot.waitFor();
      expect(await foot.evaluate((one) => one.scrollWidth <= one.clientWidth)).toBe(true);
      await shut();
    });

    test.each(['light', 'dark'])(
      'edges of what is typed in or pressed have 3:1, %s (WCAG 2.2, 1.4.11)',
      async (theme) => {
        const page = await open();
        if (theme === 'dark') await page.getByRole('button', { name: 'Dark' }).press('Enter');
        await page.getByRole('button', { name: 'Filter', exact: true }).press('Enter');
        await page.getByRole('button', { name: 'Own columns' }).press('Enter');
        await cell(page, 0, 'weight').click();
        await page.keyboard.press('Shift+ArrowDown');
        const edges = {
          input: await style(page, '.form-line input', 'border-top-color'),
          select: await style(page, '.side select', 'border-top-color'),
          button: await style(page, '.top .menu > button', 'border-top-color'),
          filter: await style(page, '.ag-floating-filter-input input', 'border-top-color'),
          range: (await style(page, '.cell-in-range', 'box-shadow')).replace(/\).*/, ')'),
        };
        const input = page.locator('.form-line input[placeholder]').first();
        const [hint, under] = await input.evaluate((one) => [
          getComputedStyle(one, '::placeholder').color,
          getComputedStyle(one).backgroundColor,
        ]);
        expect(contrast(hint!, under!), 'example in a field').toBeGreaterThanOrEqual(4.5);
        const grounds = await page.evaluate(() =>
          ['.pane', '.form-line', '.top'].map(
            (one) => getComputedStyle(document.querySelector(one)!).backgroundColor,
          ),
        );
        for (const [what, edge] of Object.entries(edges))
          for (const ground of grounds)
            expect(contrast(edge, ground), `${what} on ${ground}`).toBeGreaterThanOrEqual(3);
        await shut();
      },
    );

    test('in colours of the reader’s own a range, what is chosen and the pictures are still seen', async () => {
      const page = await open();
      await planned(page);
      // A light page remembered on a computer of dark colours: ink of the one on the ground of the other.
      await page.emulateMedia({ forcedColors: 'active', colorScheme: 'dark' });
      await cell(page, 0, 'weight').click();
      await page.keyboard.press('Shift+ArrowDown');
      const ground = (selector: string) => style(page, selector, 'background-color');
      expect(await ground('.cell-in-range')).not.toBe(
        await ground('[row-index="3"] .ag-cell[col-id="weight"]'),
      );
      expect(await ground('.top [aria-pressed="true"]')).not.toBe(
        await ground('.top [aria-pressed="false"]'),
      );
      expect(await ground('.tabs [aria-current="true"]')).not.toBe(
        await ground('.tabs [aria-current="false"]'),
      );
      expect(
        contrast(await style(page, '.picture svg .axis-day', 'fill'), await ground('.picture-body')),
      ).toBeGreaterThan(4.5);
      await shut();
    });

    test.each([
      ['1280 x 720 at 200 %', 640, 360, 0],
      ['1280 x 720 with the app’s own zoom at 200 %', 1280, 720, 10],
    ])(
      '%s: sheet, picture and panel have room, the page scrolls to them',
      async (_, width, height, larger) => {
        const page = await open(width, height);
        await planned(page);
        for (let n = 0; n < larger; n++) await page.getByRole('button', { name: 'Larger' }).click();
        const rem = await page.evaluate(() =>
          Number.parseFloat(getComputedStyle(document.documentElement).fontSize),
        );
        for (const place of ['.grid', '.part', '.side-body']) {
          await page.locator(place).scrollIntoViewIfNeeded();
          const box = (await page.locator(place).boundingBox())!;
          expect(box.width / rem, `${place}, width`).toBeGreaterThan(24);
          expect(box.height / rem, `${place}, height`).toBeGreaterThan(8);
          expect(box.y, place).toBeLessThan(height);
          expect(box.x + box.width, place).toBeLessThanOrEqual(width);
        }
        await shut();
      },
    );

    test('labels of a form stand over their fields', async () => {
      const page = await open();
      await page.getByRole('button', { name: 'Own columns' }).press('Enter');
      // Both at one moment: what is still being laid out moves them together.
      const apart = await page.locator('.form-line').evaluate((line) => {
        const bottom = (selector: string) => line.querySelector(selector)!.getBoundingClientRect().bottom;
        return Math.abs(bottom('input') - bottom('button'));
      });
      expect(apart).toBeLessThanOrEqual(2);
      await shut();
    });
  },
);
