import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(`printing in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(() => app?.close());

  test('shows that it is at work until the pages are out of its hands', async () => {
    const { page, errors, context } = await app.open(invented(4, 2));
    await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 60_000 });
    await page
      .getByRole('navigation', { name: 'Sheets and pictures' })
      .getByRole('button', { name: 'Print', exact: true })
      .click();
    // Prints until it is told that it is done.
    await page.evaluate(() => {
      const host = window as unknown as { bathtide: { printPdf: unknown }; printed: () => void };
      host.bathtide.printPdf = () =>
        new Promise<void>((resolve) => Object.assign(host, { printed: resolve }));
    });
    const print = page.getByRole('button', { name: /^Print \d+ pages?$/ });
    await print.click();
    await page
      .getByRole('status')
      .filter({ hasText: /Preparing \d+ pages? …/ })
      .waitFor();
    expect(await print.isDisabled()).toBe(true);
    await page.waitForFunction(() => 'printed' in window);
    await page.evaluate(() => (window as unknown as { printed: () => void }).printed());
    await page.getByText('Preparing').waitFor({ state: 'detached' });
    expect(await print.isEnabled()).toBe(true);
    expect(errors).toEqual([]);
    await context.close();
  });
});
