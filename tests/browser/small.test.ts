import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

/** A supply with a dozen deliveries: their count and the sheet's name need two lines. */
const scenario = (): Scenario => ({
  ...invented(30, 2),
  supplies: Array.from({ length: 12 }, (_, n) => ({
    item: `supply ${n + 1}`,
    onHand: 100,
    deliveries: [{ at: '2031-02-04T07:00', quantity: 10 }],
  })),
});
const rowsInSight = (page: Page) =>
  page.evaluate(() => {
    const box = document.querySelector('.grid')!.getBoundingClientRect();
    const within = (row: Element) => {
      const { top, bottom } = row.getBoundingClientRect();
      return top >= box.top && bottom <= box.bottom + 1;
    };
    return new Set(
      [...document.querySelectorAll('.grid .ag-row')]
        .filter(within)
        .map((row) => row.getAttribute('row-index')),
    ).size;
  });

describe.skipIf(!chromiumPath)(
  `a screen of 1024 x 700${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('every view shows some rows of its sheet, and no sheet’s name lies over the next one', async () => {
      const { page, context } = await app.open(scenario(), { width: 1024, height: 700 });
      for (const [name, sheet] of [
        ['Nephrology lead', 'Patients'],
        ['Technician lead', 'Machines'],
        ['Administrator', 'Supplies'],
      ] as const) {
        await page.getByRole('button', { name, exact: true }).click();
        await page.locator('.tabs button', { hasText: sheet }).first().click();
        await expect.poll(() => rowsInSight(page), { message: name }).toBeGreaterThanOrEqual(2);
      }
      const squeezed = await page
        .locator('.tabs button')
        .evaluateAll((all) =>
          all.filter((one) => one.scrollHeight > one.clientHeight + 1).map((one) => one.textContent),
        );
      expect(squeezed).toEqual([]);
      await context.close();
    });
  },
);
