import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import {
  answer,
  bagsADay,
  cell,
  column,
  focused,
  putOnClipboard,
  question,
  rowCount,
  scenarioOf,
} from './grid.ts';
import { invented } from './scenario.ts';

/** Beds on calcium, and a calcium-free bath that one click could put them on. */
const ward = (): Scenario => {
  const week = invented(6, 1);
  return {
    ...week,
    baths: [
      ...week.baths.map((bath) => ({ ...bath, calcium: 2.5 })),
      { id: '4K-free', potassium: 4, sodium: 140, calcium: 0, bicarbonate: 32 },
    ],
  };
};

describe.skipIf(!chromiumPath)(
  `acts that ask first, in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());
    const open = async (scenario: Scenario) => {
      opened = await app.open(scenario);
      await cell(opened.page, 0, 'id').waitFor();
      return opened.page;
    };
    const shut = async () => {
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    };

    test('one bath for all: each bed before and after, what is risky, beds left out; nothing before the answer', async () => {
      const page = await open(ward());
      const before = await scenarioOf(opened);
      await page.getByRole('combobox', { name: 'The one bath' }).selectOption('4K-free');
      const all = page.locator('.lever', { hasText: 'One bath for all' }).getByRole('button');
      await all.click();
      const dialog = question(page);
      const row = dialog.getByRole('row').filter({ hasText: 'bed-01' });
      expect((await row.textContent())!.replace(/\s+/g, ' ')).toMatch(
        /2K → 4K-free2 → 42\.5 → 0▲ CALCIUM-FREE without citrate; potassium 2 → 4 mmol\/L/,
      );
      expect(await dialog.getByRole('row').count()).toBe(7);
      expect(await scenarioOf(opened).catch(() => before)).toEqual(before);
      await page.keyboard.press('Escape');
      await question(page).waitFor({ state: 'detached' });
      expect(await column(page, 'bath', 6)).toEqual(before.patients.map(({ bath }) => bath));
      await all.click();
      await dialog.getByRole('checkbox', { name: 'Change bed-01' }).uncheck();
      await answer(page, /^Change 5 prescriptions$/);
      await expect.poll(() => column(page, 'bath', 3)).toEqual(['2K', '4K-free', '4K-free']);
      await page.locator('.said-done').getByText('5 prescriptions changed: one bath for all').waitFor();
      await page.keyboard.press('Control+z');
      await page.locator('.said-done').getByText('Undone: one bath for all').waitFor();
      expect(await column(page, 'bath', 6)).toEqual(before.patients.map(({ bath }) => bath));
      await shut();
    });

    test('a new patient and a pasted block of six: rows to the end, no bed is written over', async () => {
      const page = await open(invented(8, 1));
      const before = await bagsADay(page);
      await cell(page, 1, 'weight').click();
      await page.getByRole('button', { name: 'Add patient' }).click();
      await expect.poll(() => focused(page)).toBe('8/id');
      const block = [1, 2, 3, 4, 5, 6].map((n) => `new-${n}\t80\t25\t2K`).join('\r\n');
      await putOnClipboard(page, block);
      await page.keyboard.press('Control+v');
      await expect.poll(() => rowCount(page)).toBe(14);
      expect((await column(page, 'id', 14)).slice(6)).toEqual([
        'bed-07',
        'bed-08',
        ...[1, 2, 3, 4, 5, 6].map((n) => `new-${n}`),
      ]);
      await expect.poll(() => bagsADay(page)).toBeGreaterThan(before);
      await shut();
    });

    test('a block over typed rows says how many and asks; inserted instead, every bed stays', async () => {
      const week = invented(6, 1);
      const old = {
        ...week,
        patients: week.patients.map((one, index) =>
          index === 2 ? { ...one, until: '2031-02-03T19:00' } : one,
        ),
      };
      const page = await open(old);
      const block = [1, 2, 3].map((n) => `new-${n}\t80\t25\t2K`).join('\r\n');
      await putOnClipboard(page, block);
      await cell(page, 1, 'id').click();
      await page.keyboard.press('Control+v');
      expect(await question(page).textContent()).toContain(
        'writes over typed cells in 3 rows: bed-02 (becomes new-1), bed-03 (becomes new-2) and bed-04 (becomes new-3)',
      );
      await answer(page, /^Insert 3 rows at the end instead$/);
      await expect.poll(() => rowCount(page)).toBe(9);
      const { patients } = await scenarioOf(opened);
      expect(patients.slice(0, 6)).toEqual(old.patients);
      expect(patients.slice(6)).toEqual(
        [1, 2, 3].map((n) => ({ id: `new-${n}`, weight: 80, dose: 25, bath: '2K' })),
      );
      // Written over after all: nothing of the old beds is left under the new labels.
      await cell(page, 1, 'id').click();
      await page.keyboard.press('Control+v');
      await answer(page, /^Change 3 prescriptions$/);
      await expect
        .poll(async () => (await scenarioOf(opened)).patients[2])
        .toEqual({
          id: 'new-2',
          weight: 80,
          dose: 25,
          bath: '2K',
        });
      await shut();
    });
  },
);
