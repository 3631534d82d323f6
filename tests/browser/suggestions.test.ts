import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(`suggestions${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(async () => app?.close());
  const list = (page: Page) => page.getByRole('region', { name: 'Suggestions' });
  const count = (page: Page, many: number) =>
    page.getByRole('button', { name: `${many} suggestion${many === 1 ? '' : 's'}` }).waitFor();

  test('are shown with why and what they add, are added or declined one by one, and can be undone', async () => {
    const { page, errors } = await app.open(invented(6, 2));
    await count(page, 6);
    await page.getByRole('button', { name: '6 suggestions' }).click();
    const text = ((await list(page).textContent()) ?? '').replaceAll(/\s+/g, ' ');
    expect(text).toContain('Published tests of stored fluid end at 48 h');
    expect(text).toContain('Nothing is added by itself.');
    expect(text).toContain('Disinfect RO-A: every day, due at 03:00, takes 60 min');
    await list(page).getByRole('button', { name: 'Add breaks' }).click();
    await count(page, 5);
    await page.getByRole('button', { name: /^Duties/ }).click();
    await page.getByRole('gridcell', { name: 'Break day' }).first().waitFor();
    await list(page).getByRole('button', { name: 'Decline flow tolerance' }).click();
    await count(page, 4);
    await list(page).getByRole('button', { name: 'Set 48 h' }).click();
    await count(page, 3);
    for (const left of [4, 5]) {
      await page.getByRole('button', { name: /Undo/ }).click();
      await count(page, left);
    }
    expect(errors).toEqual([]);
  });
});
