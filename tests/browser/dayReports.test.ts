import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bagCode } from '../../src/reports/day/swapLabels.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { DAY, MORNING } from './recorded.ts';

const LOT = 'M1 2031-02-03 08:00';
const views = (page: Page) => page.getByRole('group', { name: 'Views of the day' });
const part = (page: Page) => page.locator('.card.reports');

describe.skipIf(!chromiumPath)(`what is asked of a day${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  let page: Page;
  let errors: string[];
  let close: () => Promise<void>;
  beforeAll(async () => {
    app = await startApp();
    const opened = await app.open(DAY, { width: 1180, height: 820, at: 'home', noted: MORNING });
    ({ page, errors } = opened);
    close = () => opened.context.close();
    await page.getByRole('button', { name: 'Technician lead' }).click();
    for (let n = 0; n < 5; n++) await page.getByRole('button', { name: '60 min on' }).click();
    for (let n = 0; n < 2; n++) await page.getByRole('button', { name: '15 min on' }).click();
    await page.getByRole('heading', { name: 'Next 12 hours' }).locator('..').getByText(/task/).waitFor();
  }, 120_000);
  afterAll(async () => {
    await close?.();
    await app?.close();
  });
  const onPage = async (name: string) => {
    await page.getByLabel(name, { exact: true }).check();
    return page.locator('.paper-desk');
  };
  const home = () => page.locator('.tabs button', { hasText: 'Home' }).click();

  test('a bag’s code leads to its beds and to all that it was made from, on screen and paper', async () => {
    await views(page).getByRole('button', { name: 'Trace', exact: true }).click();
    await page.getByLabel('Scan a bag, or type a lot').fill(bagCode(LOT, 3, 8));
    await page.keyboard.press('Enter');
    const trace = page.getByRole('status', { name: `Trace of ${LOT}` });
    const rows = await trace.locator('tbody tr').allTextContents();
    expect(rows).toHaveLength(3);
    expect(rows[0]).toContain('bed-01');
    expect(rows[0]).toContain('up to 2 bags may hang or wait there');
    expect(rows[2]).toContain('no bed is noted');
    const text = await trace.textContent();
    expect(text).toContain('8 bags made or received: 0 here and good, 3 on hold, 5 left, 0 discarded.');
    expect(text).toContain('filter F-311, tubing T-77, acid A-2041, bicarbonate B-902');
    expect(text).toContain('OUT OF LIMITS');
    await page.getByLabel('or choose').selectOption('acid A-4013');
    await page
      .getByRole('status', { name: 'Trace of acid A-4013' })
      .getByText('M2 2031-02-03 08:05')
      .first()
      .waitFor();
    await page.getByLabel('Scan a bag, or type a lot').fill('A-99');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').getByText('Nothing in this record is called A-99').waitFor();
    await page.getByLabel('or choose').selectOption(LOT);
    await page.getByRole('button', { name: 'Print this trace …' }).click();
    const desk = await onPage('Trace');
    const paper = await desk.textContent();
    expect(paper).toContain('Up to 5 bags may hang or wait at the bedside now');
    expect(paper).toContain('Mon, Feb 3, 12:00');
    await home();
  });

  test('readings: a chart and a table for each machine and quantity, and what conductivity cannot show', async () => {
    await views(page).getByRole('button', { name: 'Readings', exact: true }).click();
    await part(page).getByText('It cannot tell 2K from 4K').waitFor();
    const chart = page.getByRole('img', { name: /^Conductivity on M1, mS\/cm: 3 measured, 1 out of limits/ });
    expect(await chart.locator('.point.out').count()).toBe(1);
    await page.getByText('Values of Conductivity on M1, mS/cm').click();
    const last = part(page).locator('figure', { has: chart }).locator('tbody tr').last();
    // 5 % either way of 13.88 mS/cm, which the composition of 2K gives at 25 °C.
    expect(await last.textContent()).toContain('15.2 mS/cm13.8813.19 to 14.58OUT OF LIMITS');
    await part(page).getByRole('button', { name: 'Print …' }).click();
    expect(await (await onPage('Readings')).locator('svg.control').count()).toBeGreaterThanOrEqual(5);
    await home();
  });

  test('made against planned by shift and machine, with what was noted as why', async () => {
    await views(page).getByRole('button', { name: 'Made against planned', exact: true }).click();
    const rows = await part(page).locator('tbody tr').allTextContents();
    expect(rows.find((row) => row.includes('M2'))).toContain('2 bags rejected: leak');
    expect(rows.find((row) => row.includes('M1'))).toContain('reading out of limits 12:20');
    await part(page).getByRole('button', { name: 'Print …' }).click();
    expect(await (await onPage('Made against planned')).textContent()).toContain('2 bags rejected: leak');
    await home();
  });

  test('tasks stand under the initials that are noted; who is on shift is noted without full names', async () => {
    await views(page).getByRole('button', { name: 'Tasks by person', exact: true }).click();
    await page.getByRole('region', { name: 'Tasks of RT-2' }).waitFor();
    await page.getByLabel('Other initials or staff code').first().fill('AB');
    await page.getByRole('button', { name: 'Add', exact: true }).first().click();
    await page.getByLabel('Name of this computer').fill('icu-desk');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByRole('button', { name: 'Who is on shift …' }).click();
    const dialog = page.locator('dialog[open]');
    expect(await dialog.getByLabel('Technician 2').inputValue()).toBe('RT-2');
    await dialog.getByText('Type no full names').waitFor();
    await dialog.getByLabel('Technician 2').fill('KO');
    await dialog.getByRole('button', { name: /^Note: 2 technicians/ }).click();
    await page.getByRole('region', { name: 'Tasks of KO' }).waitFor();
    expect(await page.locator('.journal li').first().textContent()).toContain('(AB, KO)');
  });

  test('rounds are called by their time: in call back, journal and strip', async () => {
    const alarm = page.getByRole('region', { name: /^CALL BACK/ });
    expect(await alarm.textContent()).toContain('bag round: Mon, Feb 3, 12:00');
    const noted = (await page.locator('.journal li').allTextContents()).filter((text) =>
      text.includes(' left '),
    );
    expect(noted.map((text) => /Bag round ([^:]+:\d\d|Opening round)/.exec(text)?.[1])).toEqual([
      'Mon, Feb 3, 12:00',
      'Opening round',
    ]);
    expect(await page.getByRole('region', { name: 'Summary' }).textContent()).toContain('Next bags: Due now');
    expect(errors).toEqual([]);
  });
});

describe.skipIf(!chromiumPath)(`at the machine${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  beforeAll(async () => {
    app = await startApp();
  }, 120_000);
  afterAll(() => app?.close());

  test('start and swap say what is filled where; a swap that is due calls in title, word and color; failed water stands on the worksheet', async () => {
    const until = MORNING.filter(({ at }) => at! < '2031-02-03T10:00');
    const { page, context } = await app.open(DAY, { width: 1180, height: 820, at: 'home', noted: until });
    const follows = () =>
      page.getByRole('heading', { name: 'Next 12 hours' }).locator('..').getByText(/task/).waitFor();
    const card = (id: string) => page.getByRole('region', { name: id, exact: true });
    const dialog = page.locator('dialog[open]');
    const step = async (times: number, name: string) => {
      for (let n = 0; n < times; n++) await page.getByRole('button', { name, exact: true }).click();
    };
    await page.getByRole('button', { name: 'Technician lead' }).click();
    await page.getByText('Next 12 hours').waitFor();
    await page.getByLabel('Name of this computer').fill('icu-desk');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByLabel('Other initials or staff code').first().fill('AB');
    await page.getByRole('button', { name: 'Add', exact: true }).first().click();
    await step(3, '60 min on');
    await step(1, '15 min on');
    // 8 x 6.5 L at 800 mL/min from 09:20: 65 to 75 min, swap from 10:25 to 10:35. Five minutes before, it calls.
    await step(4, '1 min on');
    expect(await page.title()).not.toContain('Swap');
    await step(1, '1 min on');
    await expect.poll(() => page.title()).toBe('Swap M1 · Bathtide');
    expect(await card('M1').textContent()).toContain('SWAP SOON: opens in 5 min');
    await step(5, '1 min on');
    expect(await card('M1').textContent()).toContain('SWAP NOW: closes in 10 min');
    // No sound until somebody wants it.
    await page.getByRole('button', { name: 'Sound off', pressed: false }).waitFor();
    await follows();
    await card('M1').getByRole('button', { name: /^Swap/ }).click();
    expect(await dialog.locator('.what-runs').textContent()).toBe(
      'Bath on M12KPotassium2 mmol/LBags8 × 6.5 LConcentrateacid A-2041, bicarbonate B-902LotM1 2031-02-03 09:20',
    );
    await dialog.getByRole('button', { name: 'Cancel' }).click();
    await card('M2')
      .getByRole('button', { name: /^Start/ })
      .click();
    expect(await dialog.locator('.what-runs').textContent()).toContain(
      'Bath on M24KPotassium4 mmol/LBags8 × 6.5 LConcentrateacid A-4013, bicarbonate not noted',
    );
    await dialog.getByRole('button', { name: 'Cancel' }).click();
    await card('RO').getByRole('button', { name: /^Test/ }).click();
    await dialog.getByRole('button', { name: 'Failed' }).click();
    await dialog.getByRole('button', { name: /^Note: / }).click();
    await follows();
    await expect.poll(() => page.title()).toBe('Bathtide');
    // The round of 12:00, said to have left at 10:25: asked once more, then told.
    await page.getByRole('button', { name: 'Bags have left' }).click();
    await page.getByText('It leaves at 12:00, 1 h 35 min from now.').waitFor();
    await page.getByRole('button', { name: 'Tap again: they have left' }).click();
    await page
      .getByText(/^Noted: 12 bags left 10:25 with the bag round of .*12:00, 1 h 35 min before its time/)
      .waitFor();
    await page.locator('.tabs button', { hasText: 'Print' }).click();
    const sheet = page.locator('.paper-desk');
    await sheet
      .getByText('RO: The test of 10:25 FAILED. Nothing may run before a new test passes.')
      .waitFor();
    expect(await sheet.textContent()).toContain('14 bags on hold: do not hang.');
    await context.close();
  }, 120_000);

  test('a bag round that nobody noted is asked about, and the answer is noted', async () => {
    const { page, context } = await app.open(DAY, {
      width: 1180,
      height: 820,
      at: 'home',
      noted: MORNING.filter(({ kind, at }) => kind !== 'leave' || at !== '2031-02-03T07:00'),
    });
    await page.getByRole('button', { name: 'Technician lead' }).click();
    await page.getByText('Next 12 hours').waitFor();
    await page.getByLabel('Name of this computer').fill('icu-desk');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    for (let n = 0; n < 6; n++) await page.getByRole('button', { name: '60 min on', exact: true }).click();
    const asked = page.getByRole('region', { name: 'Not noted: 1 bag round' });
    await asked.getByText('Opening round').waitFor();
    // Nobody notes without initials.
    const yes = asked.getByRole('button', { name: 'Its bags were carried' });
    expect(await yes.isDisabled()).toBe(true);
    await page.getByLabel('Other initials or staff code').first().fill('AB');
    await page.getByRole('button', { name: 'Add', exact: true }).first().click();
    await yes.click();
    await asked.waitFor({ state: 'detached' });
    await context.close();
  }, 120_000);
});
