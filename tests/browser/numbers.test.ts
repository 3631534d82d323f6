import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import { cell, openSheet, putOnClipboard, scenarioOf, text } from './grid.ts';
import { invented } from './scenario.ts';

/** One bed at 76 kg x 25 mL/kg/h = 1,900 mL/h, and a bath without calcium. */
const ward = (change: Partial<Scenario> = {}): Scenario => ({
  ...invented(2, 2),
  baths: [
    { id: '2K', potassium: 2, calcium: 2.5 },
    { id: '2K-free', potassium: 2, calcium: 0 },
    { id: '3K', potassium: 3, calcium: 2.5 },
  ],
  patients: [
    { id: 'bed-01', weight: 76, dose: 25, fluidRemoval: 100, replacement: 500, bath: '3K' },
    { id: 'bed-02', weight: 46, dose: 25, hoursPerDay: 20, bath: '3K' },
  ],
  stock: [{ lot: 'S-1', bath: '3K', bags: 60, litres: 6.5 }],
  ...change,
});

describe.skipIf(!chromiumPath)(
  `what a number is, in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());
    const open = async (scenario: Scenario, at: 'sheets' | 'home' = 'sheets') => {
      opened = await app.open(scenario, { at, width: 2600, height: 1800 });
      return opened.page;
    };
    const shut = async () => {
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    };
    const type = async (row: number, key: string, typed: string) => {
      await cell(opened.page, row, key).click();
      await opened.page.keyboard.type(typed);
      await opened.page.keyboard.press('Enter');
    };

    test('a citrate flow counts into the effluent while the bed has citrate; the bath is checked against it', async () => {
      const page = await open(ward());
      // 1,900 - 100 - 500 = 1,300 mL/h; less 300 of citrate: 1,000 (formula: tests/demand/published.test.ts).
      expect(await text(page, 0, 'flow')).toBe('1300');
      await type(0, 'citrateFlow', '300');
      await expect.poll(() => cell(page, 0, 'citrateFlow').getAttribute('class')).toContain('cell-warning');
      expect(await text(page, 0, 'flow')).toBe('1300');
      await type(0, 'anticoagulation', 'citrate');
      await expect.poll(() => text(page, 0, 'flow')).toBe('1000');
      await expect.poll(() => cell(page, 0, 'bath').getAttribute('class')).toContain('cell-warning');
      // 24 L a day in bags of 6.5 L.
      expect(await text(page, 0, 'bagsPerDay')).toBe('3.7');
      await type(0, 'bath', '2K-free');
      await expect.poll(() => cell(page, 0, 'bath').getAttribute('class')).not.toContain('cell-warning');
      await shut();
    });

    test('a site whose doses mean dialysate: the head of the column says so and the liters follow', async () => {
      const page = await open(ward());
      const head = page.locator('.ag-header-cell[col-id="dose"]');
      expect(await head.textContent()).toContain('Effluent dose (prescribed)');
      await openSheet(page, 'Plan and rules');
      const row = await page
        .locator('.grid .ag-row', { hasText: 'A dose means' })
        .first()
        .getAttribute('row-index');
      await type(Number(row), 'value', 'dialysate');
      await openSheet(page, 'Patients');
      await expect.poll(() => head.textContent()).toContain('Dialysate dose (prescribed)');
      expect(await text(page, 0, 'flow')).toBe('1900');
      expect((await scenarioOf(opened)).rules).toEqual({ doseMeans: 'dialysate' });
      await shut();
    });

    test('the potassium alone chooses the bath: one has it, two have it, none has it', async () => {
      const page = await open(ward());
      for (const typed of ['3', '3 mmol/L', '3 mEq/L']) {
        await type(0, 'bath', '2K');
        await type(0, 'bath', typed);
        await expect.poll(() => text(page, 0, 'bath')).toBe('3K');
      }
      await type(0, 'bath', '2');
      await expect.poll(() => cell(page, 0, 'bath').textContent()).toContain('2K, 2K-free');
      await type(0, 'bath', '4 mmol/L');
      await expect.poll(() => cell(page, 0, 'bath').textContent()).toContain('none is listed');
      await cell(page, 0, 'bath').click();
      await page.keyboard.press('F2');
      const notes = page.locator('datalist option');
      await expect.poll(() => notes.count()).toBe(3);
      expect(await notes.evaluateAll((list) => list.map((one) => one.getAttribute('label')))).toEqual([
        '2K: K 2 mmol/L, Ca 2.5 mEq/L (1.25 mmol/L)',
        '2K-free: K 2 mmol/L, CALCIUM-FREE',
        '3K: K 3 mmol/L, Ca 2.5 mEq/L (1.25 mmol/L)',
      ]);
      await page.keyboard.press('Escape');
      await shut();
    });

    test('today, the next bag round and how long it is covered, each with what it comes from; a mean is called a mean', async () => {
      const page = await open(ward(), 'home');
      await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 60_000 });
      await page.getByRole('button', { name: 'How good is this plan?' }).click();
      const strip = page.getByRole('region', { name: 'Summary' });
      const from = async (name: RegExp, label: RegExp) => {
        await strip.getByRole('button', { name }).first().click();
        const trace = page.getByRole('region', { name: label });
        await trace.waitFor();
        await trace.getByRole('button', { name: 'Close', exact: true }).click();
        await trace.waitFor({ state: 'detached' });
      };
      await from(/^Covered/, /^Where Covered .* comes from$/);
      const today = strip.getByTestId('bags-today');
      expect(await today.textContent()).toMatch(/^\d+ bags$/);
      await today.click();
      const trace = page.getByRole('region', { name: /^Where All bags hung from/ });
      await trace.waitFor();
      await trace.getByRole('button', { name: 'Close', exact: true }).click();
      await strip.getByTestId('bags-next').click();
      await page.getByRole('region', { name: /^Where All bags in/ }).waitFor();
      const said = (await strip.textContent())!;
      expect(said).toMatch(/Mean per day, 2 days/);
      expect(said).toMatch(/L in whole bags/);
      expect(said).toMatch(/L by the doses/);
      await shut();
    });

    test('a pump’s flow and its mean over the day stand side by side, both named', async () => {
      const page = await open(ward(), 'home');
      const row = page.locator('.home .rows tr', { hasText: 'bed-02' }).first();
      await row.waitFor({ timeout: 60_000 });
      // 46 kg x 25 mL/kg/h = 1,150 mL/h; x 20 h / 24 h = 958.3.
      expect(await row.textContent()).toMatch(/1,150.*958/);
      const heads = await page.locator('.home table').first().locator('th[scope=col]').allTextContents();
      expect(heads).toEqual(
        expect.arrayContaining(['Flow while it runs, mL/h', 'Averaged over the day, mL/h']),
      );
      await shut();
    });

    test('pasted prescriptions bring anticoagulation and citrate along by their usual headings', async () => {
      const page = await open(ward({ patients: [] }));
      await page.locator('.grid').click();
      await putOnClipboard(
        page,
        'Bed\tWt\tEffluent\tBath\tAnticoag\tCitrate\r\nA\t76\t25\t2K-free\tcitrate\t300\r\nB\t80\t25\t3K\theparin\t',
      );
      await page.keyboard.press('Control+v');
      await expect
        .poll(async () => (await scenarioOf(opened)).patients)
        .toEqual([
          { id: 'A', weight: 76, dose: 25, bath: '2K-free', anticoagulation: 'citrate', citrateFlow: 300 },
          { id: 'B', weight: 80, dose: 25, bath: '3K', anticoagulation: 'heparin' },
        ]);
      await shut();
    });
  },
);
