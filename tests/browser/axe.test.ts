import AxeBuilder from '@axe-core/playwright';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import { keepPlan } from './plan.ts';
import { invented } from './scenario.ts';

/** More beds than its two machines can serve: lists of who goes short and of what would help are there too. */
const short = () => ({
  ...invented(24, 1),
  machines: invented(1).machines.slice(0, 1),
  stock: [],
});

describe.skipIf(!chromiumPath)(
  `axe on every home, dialog, sheet and view${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
      opened = await app.open(short(), { at: 'home' });
      await opened.page.locator('.home .card').first().waitFor({ timeout: 120_000 });
      await keepPlan(opened.page);
    }, 240_000);
    afterAll(async () => {
      await opened?.context.close();
      await app?.close();
    });
    const faultsOf = async (within = 'body') => {
      const { violations } = await new AxeBuilder({ page: opened.page }).include(within).analyze();
      return violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 120)}`);
    };
    const button = (name: string | RegExp) =>
      opened.page.getByRole('button', { name, ...(typeof name === 'string' && { exact: true }) }).first();

    test.each(['Nephrology lead', 'Technician lead', 'Administrator'])('%s', async (name) => {
      await button(name).click();
      await opened.page.locator('.home .card').first().waitFor();
      expect(await faultsOf()).toEqual([]);
    });

    test.each(['Tasks by person', 'Trace', 'Readings', 'Made against planned'])(
      'the view %s of a day',
      async (name) => {
        await button('Technician lead').click();
        await button(name).click();
        await opened.page.getByRole('heading', { name, exact: true }).waitFor();
        expect(await faultsOf()).toEqual([]);
      },
    );

    test.each([
      ['Nephrology lead', ['Help']],
      ['Nephrology lead', [/^Change \d+ prescr/]],
      ['Nephrology lead', [/^File/, /^First plan/]],
      ['Nephrology lead', [/^File/, /^Earlier versions/]],
      ['Nephrology lead', [/^File/, /^Import rows/]],
      ['Technician lead', ['Note something else …']],
      ['Technician lead', [/^Circuit …|^Start …/]],
    ] as const)('%s: the dialog of %s', async (role, presses) => {
      await button(role).click();
      const [first, item] = presses;
      await button(first).click();
      if (item) await opened.page.getByRole('menuitem', { name: item }).click();
      await opened.page.locator('dialog[open]').waitFor();
      expect(await faultsOf()).toEqual([]);
      await opened.page.keyboard.press('Escape');
      await opened.page.locator('dialog[open]').waitFor({ state: 'detached' });
    });

    // The pictures: pictures.test.ts.
    test.each([
      'Patients',
      'Machines',
      'Duties',
      'Stock',
      'What could be had',
      'Plan and rules',
      'Forecast',
      'Will it hold?',
      'Compare variants',
      'Capacity',
      'Print',
    ])('the sheet or view %s', async (name) => {
      await opened.page.locator('.tabs button', { hasText: name }).first().click();
      expect(await faultsOf('.panes')).toEqual([]);
    });
  },
);
