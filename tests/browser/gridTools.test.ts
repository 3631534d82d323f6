import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import {
  answer,
  cell,
  clipboard,
  column,
  focused,
  openSheet,
  putOnClipboard,
  question,
  rowCount,
  scenarioOf,
} from './grid.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(`paste, keys and filter${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  let opened: Opened;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(() => app?.close());
  const open = async (scenario: Scenario) => {
    opened = await app.open(scenario);
    await opened.page.locator('.grid .ag-header-cell').first().waitFor();
    return opened.page;
  };
  const shut = async () => {
    expect(opened.errors).toEqual([]);
    await opened.context.close();
  };

  test('a block pasted on an empty sheet becomes its rows, and the cursor is in the first', async () => {
    const page = await open({ ...invented(0, 2), patients: [] });
    await page.locator('.grid').click();
    await putOnClipboard(page, 'bed-1\t80\t25\t2K\r\nbed-2\t81\t26\t3K\r\n');
    await page.keyboard.press('Control+v');
    await expect.poll(() => column(page, 'id', 2)).toEqual(['bed-1', 'bed-2']);
    await expect.poll(() => focused(page)).toBe('0/id');
    expect((await scenarioOf(opened)).patients).toEqual([
      { id: 'bed-1', dose: 25, weight: 80, bath: '2K' },
      { id: 'bed-2', dose: 26, weight: 81, bath: '3K' },
    ]);
    await shut();
  });

  test('by keyboard an empty sheet takes the focus, and a block', async () => {
    const page = await open({ ...invented(2, 2), supplies: [] });
    await openSheet(page, 'Supplies');
    await page.keyboard.press('F6');
    await putOnClipboard(page, 'bag set\t100');
    await page.keyboard.press('Control+v');
    await expect.poll(() => column(page, 'item', 1)).toEqual(['bag set']);
    await shut();
  });

  test('headers pasted with a block are no row, and that is said', async () => {
    const page = await open(invented(3, 2));
    await cell(page, 0, 'id').click();
    await putOnClipboard(page, 'BED\tweight [lb]\tDose (mL/kg/h)\r\nA\t180\t21\r\nB\t62 kg\t22\r\n');
    await page.keyboard.press('Control+v');
    expect(await question(page).textContent()).toContain('bed-01 (becomes A) and bed-02 (becomes B)');
    await answer(page, /^Change 2 prescriptions$/);
    await expect.poll(() => column(page, 'id', 3)).toEqual(['A', 'B', 'bed-03']);
    expect(await column(page, 'weight', 3)).toEqual(['81.6466266', '62', '89']);
    expect(await column(page, 'dose', 3)).toEqual(['21', '22', '27']);
    expect(await page.locator('.said-done').textContent()).toContain(
      '6 cells pasted. The first line gave the headings.',
    );
    await shut();
  });

  test('Home and End go to the ends of the row, with Ctrl to those of the sheet, with Shift they extend the block', async () => {
    const page = await open(invented(4, 2));
    await cell(page, 2, 'weight').click();
    await page.keyboard.press('Home');
    await expect.poll(() => focused(page)).toBe('2/id');
    await page.keyboard.press('End');
    await expect.poll(() => focused(page)).toBe('2/changesCount');
    await page.keyboard.press('Control+Home');
    await expect.poll(() => focused(page)).toBe('0/id');
    await page.keyboard.press('Control+End');
    await expect.poll(() => focused(page)).toBe('3/changesCount');
    await page.keyboard.press('Control+Home');
    await expect.poll(() => focused(page)).toBe('0/id');
    await cell(page, 1, 'dose').click();
    await page.keyboard.press('Shift+Home');
    await page.keyboard.press('Control+c');
    expect(await clipboard(page)).toBe('bed-02\t72\t26');
    await cell(page, 2, 'dose').click();
    await page.keyboard.press('Control+Shift+Home');
    await page.keyboard.press('Control+c');
    expect(await clipboard(page)).toBe('bed-01\t55\t25\r\nbed-02\t72\t26\r\nbed-03\t89\t27');
    await shut();
  });

  test('an active filter is told with its rows, also when its fields are hidden, and can be cleared', async () => {
    const page = await open(invented(12, 2));
    const toggle = page.getByRole('button', { name: 'Filter', exact: true });
    await toggle.click();
    await page.getByRole('textbox', { name: 'Bath filter' }).fill('3K');
    await expect.poll(() => rowCount(page)).toBe(4);
    await toggle.click();
    await expect
      .poll(() => page.locator('.pane-head').textContent())
      .toContain('4 of 12 rows shown (filter)');
    await cell(page, 1, 'weight').click();
    await page.getByRole('button', { name: 'Clear filter' }).click();
    await expect.poll(() => focused(page)).toBe('5/weight');
    await expect.poll(() => rowCount(page)).toBe(12);
    await expect.poll(() => page.locator('.pane-head').textContent()).not.toContain('shown');
    await shut();
  });

  test('a missing time is asked for as a person types it', async () => {
    const page = await open(invented(3, 2));
    await openSheet(page, 'Machine availability');
    await page.getByRole('button', { name: 'Add window' }).click();
    await expect.poll(() => focused(page)).toBe('0/owner');
    await cell(page, 0, 'to').click();
    await expect
      .poll(() => page.locator('.pane-foot').textContent())
      .toBe('✕ To is missing. Expected: a date and time, e.g. 2031-02-03 07:00');
    await shut();
  });
});
