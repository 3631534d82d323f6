import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bagCode } from '../../src/reports/day/swapLabels.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { DAY, done, MORNING } from './recorded.ts';

const LOT = 'M1 2031-02-03 09:20';
const due = {
  lot: 'C-9',
  bath: '4K',
  bags: 20,
  litres: 5,
  ready: '2031-02-03T11:00',
  expires: '2031-02-20T00:00',
};
const duty = { id: 'calibrate M2', place: 'M2', times: ['15:00'], minutes: 30 };

describe.skipIf(!chromiumPath)(`what else is noted${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  let page: Page;
  let errors: string[];
  let close: () => Promise<void>;
  beforeAll(async () => {
    app = await startApp();
    const scenario = { ...DAY, deliveries: [due], duties: [duty] };
    const opened = await app.open(scenario, { width: 1180, height: 820, at: 'home', noted: MORNING });
    ({ page, errors } = opened);
    page.setDefaultTimeout(15_000);
    close = () => opened.context.close();
    await page.getByRole('button', { name: 'Technician lead' }).click();
    for (let n = 0; n < 5; n++) await page.getByRole('button', { name: '60 min on' }).click();
    for (let n = 0; n < 2; n++) await page.getByRole('button', { name: '15 min on' }).click();
    await page.getByLabel('Name of this computer').fill('icu-desk');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
  }, 120_000);
  afterAll(async () => {
    await close?.();
    await app?.close();
  });
  const dialog = () => page.locator('dialog[open]');
  const noteIt = () => dialog().getByRole('button', { name: 'Note it' });
  const opened = async (kind: string) => {
    await page.getByRole('button', { name: 'Note something else …' }).click();
    await dialog().locator('select').first().selectOption(kind);
    const other = dialog().getByLabel('Other initials or staff code');
    if (!(await dialog().getByRole('button', { name: 'AB', exact: true }).count())) {
      await other.fill('AB');
      await dialog().getByRole('button', { name: 'Add' }).click();
    }
  };
  const newest = () => page.locator('.journal');

  test('bags on hold are those of the label that was scanned; of a lot that nobody knows none are noted', async () => {
    await opened('hold');
    await dialog().getByRole('combobox', { name: 'Lot', exact: true }).fill('M1 2031-02-03 09:21');
    await dialog().getByText('No lot here is called M1 2031-02-03 09:21.').waitFor();
    expect(await noteIt().isDisabled()).toBe(true);
    await dialog()
      .getByRole('combobox', { name: 'Lot', exact: true })
      .fill(bagCode(LOT, 3, 8));
    await dialog().getByText('All bags; fewer').waitFor();
    await noteIt().click();
    await expect.poll(() => newest().textContent()).toContain(`${LOT}: all bags on hold`);
  });
  test('a delivery that came is noted in parts, another lot with what its label says', async () => {
    await opened('arrive');
    await dialog().getByRole('combobox', { name: 'Lot', exact: true }).fill('C-9');
    await dialog().getByText('Listed: 4K, 5 L a bag').waitFor();
    expect(await noteIt().isDisabled()).toBe(true);
    await dialog().getByLabel('Bags that came').fill('12');
    await noteIt().click();
    await expect.poll(() => newest().textContent()).toContain('C-9: 12 bags arrived');
    await page.getByText('12 of 20 bags of the delivery C-9 came').first().waitFor();
    await opened('arrive');
    await dialog().getByRole('combobox', { name: 'Lot', exact: true }).fill('N-1');
    await dialog().getByLabel('Bags that came').fill('6');
    await dialog().locator('select').nth(1).selectOption('2K');
    await dialog().getByLabel('Volume of a bag').fill('5,5');
    expect(await noteIt().isDisabled()).toBe(true);
    await dialog().getByLabel('Expires').fill('2031-02-10T12:00');

    await noteIt().click();
    await expect.poll(() => newest().textContent()).toContain('N-1: 6 bags arrived');
  });
  test('bags that were counted take the place of the book, and a duty that is done is no longer to do', async () => {
    await opened('count');
    await dialog().getByRole('combobox', { name: 'Lot', exact: true }).fill('N-1');
    await dialog().getByText('By the record: 6 bags.').waitFor();
    await dialog().getByLabel('Bags here').fill('5');
    await noteIt().click();
    await expect.poll(() => newest().textContent()).toContain('N-1: 5 bags counted');
    await opened('duty');
    await dialog().locator('select').nth(1).selectOption('calibrate M2');
    await noteIt().click();
    await expect.poll(() => newest().textContent()).toContain('calibrate M2: done');
    expect(errors).toEqual([]);
  });
  test('a dose typed into its row is asked about, and becomes a change from now on', async () => {
    await page.getByRole('button', { name: /^Patients/ }).click();
    await page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="dose"]').click();
    await page.keyboard.type('35');
    await page.keyboard.press('Enter');
    await dialog().getByText('From the start means: also for bags that hung already.').waitFor();
    await dialog().getByRole('button', { name: 'Change 1 prescription from Mon, Feb 3, 12:30 on' }).click();
    await expect
      .poll(() => page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="dose"]').textContent())
      .toContain('25');
    await page.getByRole('button', { name: /^Changes/ }).click();
    await expect
      .poll(() =>
        page
          .locator('.grid .ag-row[row-index="0"]')
          .allTextContents()
          .then((all) => all.join(' ')),
      )
      .toMatch(/bed-01.*35/);
  });
  test('a machine that the record names keeps its name, and the sheet shows it', async () => {
    await page.getByRole('button', { name: /^Machines/ }).click();
    const cell = page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="id"]');
    await cell.click();
    await page.keyboard.type('West');
    await page.keyboard.press('Enter');
    await page.getByText(/M1 stays as typed: the record has \d+ entries under this name/).waitFor();
    await expect.poll(() => cell.textContent()).toBe('M1');
    expect(errors).toEqual([]);
  });
  test('of a recorded day variants wait for plans from the start, and that is said', async () => {
    await page.locator('.tabs button', { hasText: 'Compare variants' }).click();
    await page.getByText('The record is left out here.').waitFor();
    await page.getByRole('button', { name: 'Keep this scenario as a variant' }).click();
    await page.getByText('2 variants without a plan yet').waitFor();
    expect(errors).toEqual([]);
  });
  test.each(['Escape', 'Cancel'])('the focus goes back to the button after %s', async (how) => {
    await page.getByRole('button', { name: 'Technician lead' }).click();
    const button = page.getByRole('button', { name: 'Note something else …' });
    await button.focus();
    await page.keyboard.press('Enter');
    await dialog().waitFor();
    if (how === 'Escape') await page.keyboard.press('Escape');
    else await dialog().getByRole('button', { name: 'Cancel' }).press('Enter');
    await dialog().waitFor({ state: 'detached' });
    await expect.poll(() => button.evaluate((one) => one === document.activeElement)).toBe(true);
  });
  test('a forecast of a recorded day says that it begins at the start, and leaves out what was noted', async () => {
    await page.locator('.tabs button', { hasText: 'Capacity' }).last().click();
    await page.getByLabel('Simulated runs').selectOption('first');
    await page.getByRole('button', { name: 'Simulate the patients to come' }).click();
    const said = page.getByText(
      'This forecast begins at the scenario’s start, Mon, Feb 3, 07:00, with the stock typed there.',
    );
    await said.first().waitFor({ timeout: 60_000 });
    await page
      .getByRole('button', { name: 'Cancel' })
      .click({ timeout: 2000 })
      .catch(() => undefined);
    expect(errors).toEqual([]);
  });
  test('a page to print is in sight to its right edge on a narrow screen, and prints in full size', async () => {
    await page.locator('.tabs button', { hasText: 'Print' }).click();
    const sheet = page.locator('.paper-desk .sheet-page').first();
    await sheet.waitFor();
    const fits = await page.locator('.paper-desk').evaluate((desk) => desk.scrollWidth - desk.clientWidth);
    expect(fits).toBeLessThanOrEqual(0);
    await page.emulateMedia({ media: 'print' });
    const wide = await page
      .locator('.paper-print .sheet-page')
      .first()
      .evaluate((one) => one.getBoundingClientRect().width);
    await page.emulateMedia({ media: null });
    expect(Math.abs(wide - (210 * 96) / 25.4)).toBeLessThan(1);
  });
  test('what does not fit is never cut short in silence', async () => {
    const many = Array.from({ length: 11 }, (_, n) => done(`12:${10 + n}`, { kind: 'hold', lot: `X-${n}` }));
    const other = await app.open(DAY, { at: 'home', noted: [...MORNING, ...many] });
    await other.page.getByRole('button', { name: 'Technician lead' }).click();
    for (let n = 0; n < 6; n++) await other.page.getByRole('button', { name: '60 min on' }).click();
    await other.page.getByText(/^\d+ more things? to correct/).waitFor();
    await other.context.close();
  });
});
