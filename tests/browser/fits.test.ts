import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import { keepPlan } from './plan.ts';
import { invented } from './scenario.ts';

const SIZES = [
  [640, 800],
  [1180, 820],
  [1440, 900],
  [1920, 1080],
  [2560, 1440],
] as const;
const ROLES = ['Nephrology lead', 'Technician lead', 'Administrator'];

/** Four baths, one of a long name, a machine and a bed of long names, supplies that run out, more beds than can be served. */
const crowded = (): Scenario => {
  const scenario = invented(12, 1);
  const [first] = scenario.baths;
  for (const id of ['3K', '4K', 'CALCIUM-FREE 2K'])
    if (!scenario.baths.some((bath) => bath.id === id)) scenario.baths.push({ ...first!, id });
  for (const [n, patient] of scenario.patients.entries())
    patient.bath = scenario.baths[n % scenario.baths.length]!.id;
  scenario.patients[3]!.id = 'bed 4 of the long corridor, window';
  for (const machine of scenario.machines) delete machine.baths;
  scenario.supplies = [{ item: 'empty bags of the large kind (fills)', onHand: 9, perFill: 1 }];
  scenario.stock = [];
  return scenario;
};

/** Texts that their own box or one around it cuts off at its right edge; what says the rest in its title may be cut off. */
const cutOff = (page: Page, within: string) =>
  page.evaluate((selector) => {
    const found: string[] = [];
    for (const one of document.querySelectorAll<HTMLElement>(`${selector} *`)) {
      const own = [...one.childNodes].filter(
        (node) => node.nodeType === 3 && node.textContent!.trim() !== '',
      );
      if (own.length === 0 || one.closest('svg, .sr-only, [title]') || !one.checkVisibility()) continue;
      const right = Math.max(
        ...own.map((node) => {
          const range = document.createRange();
          range.selectNodeContents(node);
          return range.getBoundingClientRect().right;
        }),
      );
      for (let box: HTMLElement | null = one; box && box !== document.body; box = box.parentElement)
        if (getComputedStyle(box).overflowX !== 'visible' && right > box.getBoundingClientRect().right + 1) {
          found.push(`${one.textContent!.slice(0, 60)} in ${box.className}`);
          break;
        }
    }
    return found;
  }, within);

describe.skipIf(!chromiumPath)(
  `what fits${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
      opened = await app.open(crowded(), { at: 'home' });
      await opened.page.locator('.home .card').first().waitFor({ timeout: 120_000 });
    }, 240_000);
    afterAll(async () => {
      await opened?.context.close();
      await app?.close();
    });
    /** Each home at each size. */
    const each = async (look: (page: Page, where: string) => Promise<void>) => {
      const { page } = opened;
      for (const [width, height] of SIZES) {
        await page.setViewportSize({ width, height });
        for (const name of ROLES) {
          await page.getByRole('button', { name, exact: true }).click();
          await page.locator('.home .card').first().waitFor();
          await look(page, `${name} at ${width}`);
        }
      }
    };

    test('the strip is one line and as high in every role, at each size, while planning and after', async () => {
      const heights = new Set<number>();
      const looks = () =>
        each(async (page, where) => {
          const strip = page.locator('.strip.three');
          heights.add(await strip.evaluate((one) => Math.round(one.getBoundingClientRect().height)));
          const tops = await strip
            .locator('dd')
            .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().top));
          expect(new Set(tops).size, where).toBe(1);
          const sideways = await page.evaluate(
            () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
          );
          expect(sideways, `${where}: the page scrolls sideways`).toBeLessThanOrEqual(0);
          const down = await page.evaluate(
            () => document.documentElement.scrollHeight - document.documentElement.clientHeight,
          );
          // A narrow page is one column, and scrolls as a whole.
          if (page.viewportSize()!.width > 900)
            expect(down, `${where}: the page scrolls down, though its parts scroll`).toBeLessThanOrEqual(0);
        });
      await looks();
      await keepPlan(opened.page);
      await opened.page.getByRole('button', { name: 'Plan again' }).waitFor();
      await looks();
      expect([...heights]).toHaveLength(1);
    });

    test('no text of a home, of the strip or of the list of sheets is cut off, at each size', () =>
      each(async (page, where) => {
        for (const within of ['.home', '.strip-line', '.tabs'])
          expect(await cutOff(page, within), `${where}, ${within}`).toEqual([]);
      }));

    test('a home keeps some rows of its lists in sight, at each size', () =>
      each(async (page, where) => {
        const high = await page
          .locator('.card.tall .scrolls')
          .evaluateAll((all) => all.map((one) => one.clientHeight));
        for (const height of high) expect(height, where).toBeGreaterThan(120);
      }));
  },
);
