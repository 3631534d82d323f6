import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { newScenario } from '../../src/grid/newScenario.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { scenarioOf } from './grid.ts';

describe.skipIf(!chromiumPath)(
  `a first plan from nothing, in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('beds pasted, baths from the list, one machine in words, shifts, stock: every step says what is still missing', async () => {
      const opened = await app.open(newScenario('2031-02-03T07:00', 'America/Chicago'), { at: 'home' });
      const { page } = opened;
      let clicks = 0;
      const click = async (name: string | RegExp) => {
        clicks += 1;
        await page.getByRole('button', { name }).click();
      };
      await page.getByText(/^Still missing for a plan: a bath, a bed/).waitFor();
      await click('First plan, step by step');
      const dialog = page.getByRole('dialog', { name: 'First plan, step by step' });
      await dialog.getByText('Still missing: a bath, a bed with weight, dose and bath').waitFor();
      expect(await dialog.getByRole('button', { name: 'Make the first plan' }).isDisabled()).toBe(true);
      const step = (title: string) =>
        dialog.locator('li', { has: page.getByRole('heading', { name: title }) });
      const fill = async (title: string, label: string, text: string) => {
        clicks += 1;
        await step(title).getByRole('textbox', { name: label }).fill(text);
      };
      const add = async (title: string) => {
        clicks += 1;
        await step(title).getByRole('button', { name: /^Add/ }).click();
      };
      await dialog.getByText('GPnotebook').waitFor();
      for (const bath of ['2K', '3K']) {
        clicks += 1;
        await step('Baths')
          .getByRole('checkbox', { name: new RegExp(`^${bath}`) })
          .check();
      }
      await add('Baths');
      await fill(
        'Beds',
        'Beds, pasted from a table',
        'Bed\tWeight (kg)\tDose\tBath\nbed-01\t82\t25\t2K\nbed-02\t70\t25\t3K\nbed-03\t95\t30\t2K',
      );
      await step('Beds').getByText('Rows: 3. Columns: Bed, Weight').waitFor();
      await add('Beds');
      await fill('Machine', 'One machine, in words', 'M1 fills 8 bags at 800 mL/min from RO-A');
      await step('Machine')
        .getByText(/Not said yet: what RO-A gives/)
        .waitFor();
      expect(await step('Machine').getByRole('button', { name: 'Add' }).isDisabled()).toBe(true);
      await fill(
        'Machine',
        'One machine, in words',
        'M1 fills 8 bags at 800 mL/min from RO-A, which gives 2,400 mL/min, tested every 4 h, a test takes 10 min',
      );
      await add('Machine');
      await dialog.getByText('Still missing: a shift with its technicians.').waitFor();
      await fill(
        'Shifts',
        'Shifts, in words',
        'day 07:00-19:00, 2 technicians\nnight 19:00-07:00, 1 technician',
      );
      await add('Shifts');
      await fill('Stock', 'Stock, in words', '20 bags of 2K, 6.5 L; 10 bags of 3K, 6.5 L');
      await add('Stock');
      await dialog.getByText(/^Nothing is missing\./).waitFor();
      clicks += 1;
      await dialog.getByRole('button', { name: 'Make the first plan' }).click();
      await page.getByText(/^Today is covered/).waitFor({ timeout: 60_000 });
      await page.locator('.home .rows').getByText('bed-03').first().waitFor();
      expect(await page.getByText(/^Still missing for a plan/).count()).toBe(0);
      expect(clicks).toBeLessThan(20);
      const made = await scenarioOf(opened);
      expect(made.patients.map(({ id }) => id)).toEqual(['bed-01', 'bed-02', 'bed-03']);
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    });
  },
);
