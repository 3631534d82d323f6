import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import type { Opened } from './app.ts';

/** By its row number on screen. */
export const cell = (page: Page, row: number, column: string) =>
  page.locator(`.grid .ag-row[row-index="${row}"] .ag-cell[col-id="${column}"]`);
/** What is seen in a cell; what only a screen reader says is left out. */
export const text = (page: Page, row: number, column: string) =>
  cell(page, row, column).evaluate((element) => {
    const said = element.querySelector('.sr-only')?.textContent ?? '';
    return (element.textContent ?? '').replace(said, '').trim();
  });
export const rowCount = (page: Page) => page.locator('.grid .ag-cell[col-id="id"]').count();
export const column = async (page: Page, name: string, rows: number) => {
  const texts: string[] = [];
  for (let row = 0; row < rows; row++) texts.push(await text(page, row, name));
  return texts;
};
export const bagsADay = async (page: Page) => Number(await page.getByTestId('bags-a-day').textContent());
export const putOnClipboard = (page: Page, block: string) =>
  page.evaluate((written) => navigator.clipboard.writeText(written), block);
export const clipboard = (page: Page) => page.evaluate(() => navigator.clipboard.readText());
export const focused = (page: Page) =>
  page.evaluate(() => {
    const at = document.activeElement?.closest('.ag-cell');
    return `${at?.closest('[row-index]')?.getAttribute('row-index')}/${at?.getAttribute('col-id')}`;
  });

export const openSheet = async (page: Page, title: string) => {
  await page
    .locator('.tabs button')
    .filter({ hasText: new RegExp(`^${title}`) })
    .first()
    .click();
  await page.getByRole('heading', { name: title, exact: true }).waitFor();
};
/** The question of an act that asks first, and its answers by what they say. */
export const question = (page: Page) => page.getByRole('dialog', { name: /^Nothing is changed yet/ });
export const answer = async (page: Page, name: RegExp) => {
  await question(page).getByRole('button', { name }).click();
  await question(page).waitFor({ state: 'detached' });
};
/** Each text into a cell, Tab after it. */
export const typeAcross = async (page: Page, ...texts: string[]) => {
  for (const typed of texts) {
    await page.keyboard.type(typed);
    await page.keyboard.press('Tab');
  }
};
/** What the app would write into the file now. */
export const scenarioOf = async ({ page, saved }: Opened) => {
  saved.delete('test.json');
  await page.keyboard.press('Control+s');
  await expect.poll(() => saved.has('test.json')).toBe(true);
  return JSON.parse(saved.get('test.json')!.toString()) as Scenario;
};
