import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import {
  answer,
  bagsADay,
  cell,
  column,
  openSheet,
  putOnClipboard,
  question,
  scenarioOf,
  text,
} from './grid.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(
  `what is typed, in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
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
      await opened.page
        .locator(scenario.patients.length > 0 ? '.grid .ag-row' : '.no-rows')
        .first()
        .waitFor();
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

    test('24 h/day is 24 hours, and a column of them takes no bag away', async () => {
      const page = await open(invented(4, 1));
      const before = await bagsADay(page);
      await type(0, 'hoursPerDay', '22 h/day');
      await expect.poll(async () => (await scenarioOf(opened)).patients[0]!.hoursPerDay).toBe(22);
      await putOnClipboard(page, ['Therapy a day (h/day)', '22', '22', '22', '22'].join('\r\n'));
      await cell(page, 0, 'hoursPerDay').click();
      await page.keyboard.press('Control+v');
      const asked = await question(page).isVisible();
      if (asked) await answer(page, /^Change/);
      await expect.poll(() => bagsADay(page)).toBe(before);
      await type(1, 'hoursPerDay', '0');
      await expect.poll(() => cell(page, 1, 'hoursPerDay').getAttribute('class')).toContain('cell-warning');
      await shut();
    });

    test('a time without a date is the next such time, and is shown back', async () => {
      const week = invented(3, 2);
      const page = await open({
        ...week,
        patients: week.patients.map((one, n) =>
          n === 0 ? { ...one, changes: [{ at: '2031-02-04T12:00', dose: 24 }] } : one,
        ),
      });
      await openSheet(page, 'Changes');
      await type(0, 'at', '6:00');
      await page.locator('.said-done').getByText('6:00 was read as Tue, Feb 4, 2031, 06:00').waitFor();
      await expect.poll(() => text(page, 0, 'at')).toBe('2031-02-04 06:00');
      await type(0, 'at', '2/4 7:00 pm');
      await expect.poll(() => text(page, 0, 'at')).toBe('2031-02-04 19:00');
      await shut();
    });

    test('a label’s units: both are shown, and a number that could be of two units is asked about', async () => {
      const page = await open(invented(2, 1));
      await openSheet(page, 'Baths');
      await type(0, 'calcium', '1.25 mmol/L');
      await expect.poll(() => text(page, 0, 'calcium')).toBe('2.5 (1.25 mmol/L)');
      await type(1, 'calcium', '1.25');
      await expect.poll(() => cell(page, 1, 'calcium').getAttribute('class')).toContain('cell-error');
      expect(await cell(page, 1, 'calcium').textContent()).toContain("'1.25 mmol/L' is 2.5 mEq/L");
      await type(1, 'calcium', '0');
      await expect.poll(() => text(page, 1, 'lacks')).toBe('CALCIUM-FREE');
      await shut();
    });

    test('a bath called otherwise takes its beds along, in one undo step', async () => {
      const page = await open(invented(6, 1));
      const before = await scenarioOf(opened);
      await openSheet(page, 'Baths');
      await type(0, 'id', '2K low');
      await page
        .locator('.said-done')
        .getByText(/^✓ Renamed 2K to 2K low: \d+ places follow/)
        .waitFor();
      await openSheet(page, 'Patients');
      const renamed = before.patients.map(({ bath }) => (bath === '2K' ? '2K low' : bath));
      await expect.poll(() => column(page, 'bath', 6)).toEqual(renamed);
      await page.keyboard.press('Control+z');
      await expect.poll(() => column(page, 'bath', 6)).toEqual(before.patients.map(({ bath }) => bath));
      await shut();
    });

    test('a table with other headings in another order: what is left out is said before it counts', async () => {
      const page = await open({ ...invented(0, 1), patients: [] });
      await page.locator('.grid').click();
      await putOnClipboard(
        page,
        'Bath\tName\tWt (lb)\tBed\tEffluent\r\n2K\tDoe\t180\tA\t25\r\n4К\tRoe\t150\tB\t26',
      );
      await page.keyboard.press('Control+v');
      expect(await question(page).textContent()).toContain('left out: Name (2 values)');
      await answer(page, /^Paste the rest$/);
      await expect.poll(() => column(page, 'id', 2)).toEqual(['A', 'B']);
      expect(await column(page, 'bath', 2)).toEqual(['2K', '4K']);
      expect(await column(page, 'weight', 2)).toEqual(['81.6466266', '68.0388555']);
      await shut();
    });
  },
);
