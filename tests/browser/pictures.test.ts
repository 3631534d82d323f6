import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { bathLooks } from '../../src/reports/palette.ts';
import { timelineOf } from '../../src/reports/timeline.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { DayChart } from '../../src/views/pictures/DayChart.tsx';
import { layoutOf } from '../../src/views/pictures/plotLayout.ts';
import { TimelinePlot } from '../../src/views/pictures/TimelinePlot.tsx';
import { COLOUR_RULES, chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { batch } from '../world.ts';
import { startApp, type Tested } from './app.ts';
import { havePlan } from './plan.ts';
import { invented } from './scenario.ts';

const show = (page: Page, part: string) =>
  page
    .getByRole('navigation', { name: 'Sheets and pictures' })
    .getByRole('button', { name: part, exact: true })
    .click();
const timeline = (page: Page) => page.getByRole('application', { name: /^Timeline/ });
/** Texts of a picture that lie on each other. Line boxes are taller than letters. */
const struck = async (page: Page) => {
  const boxes = await page.locator('.picture svg text').evaluateAll((list) =>
    list.map((node) => {
      const { left, right, top, bottom } = node.getBoundingClientRect();
      return { text: node.textContent, left, right, top: top + 3, bottom: bottom - 3 };
    }),
  );
  expect(boxes.length).toBeGreaterThan(20);
  return boxes.flatMap((a, index) =>
    boxes
      .slice(index + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
      .map((b) => `${a.text} / ${b.text}`),
  );
};
const summary = (page: Page) => page.locator('.picture-summary').first();
/** A week that two machines cannot cover. */
const short = () => {
  const scenario = invented(20, 2);
  scenario.stock = [];
  return scenario;
};

describe('timeline of a large plan', () => {
  test('16 machines, 14 days, thousands of activities: few nodes at any zoom', () => {
    const problem = compile(invented(160, 14));
    expect(problem.machines).toHaveLength(16);
    const activities = problem.machines.flatMap(({ id }, machine) =>
      Array.from({ length: 220 }, (_, turn) =>
        batch(machine * 5 + turn * 90, problem.baths[(turn >> 2) % 3]!, id),
      ).flat(),
    );
    expect(activities.length).toBeGreaterThan(5000);
    const data = timelineOf(problem, activities);
    const looks = bathLooks(problem.baths);
    for (const minutes of [20_160, 7000, 2000, 500, 120]) {
      const view = { from: 3000, to: Math.min(problem.horizon, 3000 + minutes) };
      const props = {
        data,
        clock: problem.clock,
        view,
        layout: layoutOf(data, view, 1400),
        looks,
        prefix: 'x',
      };
      const markup = renderToStaticMarkup(createElement(TimelinePlot, props));
      // Each of the activities as a node of its own, with pattern and text, would be four times their number.
      expect(markup.match(/<[a-z]/g)!.length).toBeLessThan(2600);
      expect(markup).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

test('bags a day: the hour at which each 24 h begin, also after a clock change', () => {
  const begins = (start: string) => {
    const problem = compile({ ...invented(4, 3), start });
    const chart = createElement(DayChart, { problem, demand: demandOf(problem) });
    return /24 h from \d[^<]*/.exec(renderToStaticMarkup(chart))?.[0];
  };
  expect(begins('2031-02-03T07:00')).toBe('24 h from 07:00 of each day');
  // Chicago goes over to summer time on 9 March 2031 (IANA time zone database).
  expect(begins('2031-03-08T07:00')).toBe('24 h from 07:00 of each day, from 08:00 after the clock change');
});

describe.skipIf(!chromiumPath)(
  `pictures in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('timeline: arrows walk, Enter selects the fill and its bags, keys zoom down to 2 h and pan', async () => {
      const { page, errors, context } = await app.open(invented(8, 2));
      await havePlan(page);
      await show(page, 'Timeline');
      await timeline(page).focus();
      await page.keyboard.press('ArrowRight');
      const spoken = page.locator('.timeline .spoken');
      const heard = [await spoken.textContent()];
      for (let press = 0; press < 12 && !heard.at(-1)!.startsWith('Fill of'); press++) {
        await page.keyboard.press('ArrowRight');
        heard.push(await spoken.textContent());
      }
      expect(heard.at(-1)).toMatch(/^Fill of .K on M\d\. .*8 bags of 6\.5 L\. Swap (between|at) \d\d:\d\d/);
      expect(new Set(heard).size).toBe(heard.length);
      await page.keyboard.press('Enter');
      await page.getByRole('heading', { name: /^Fill of .K on M\d$/ }).waitFor();
      expect(await page.locator('.timeline .chosen').count()).toBe(1);
      expect(await summary(page).textContent()).toContain('(2 d 0 h)');
      for (let press = 0; press < 12; press++) await page.keyboard.press('+');
      expect(await summary(page).textContent()).toContain('(2 h 00 min)');
      const before = await summary(page).textContent();
      await page.keyboard.press('PageDown');
      expect(await summary(page).textContent()).not.toBe(before);
      await page.keyboard.press('0');
      expect(await summary(page).textContent()).toContain('(2 d 0 h)');
      expect(errors).toEqual([]);
      await context.close();
    });

    test('timeline: a shorter stretch holds now, or what is chosen; now comes closer', async () => {
      const { page, context } = await app.open(invented(8, 3));
      await havePlan(page);
      await show(page, 'Timeline');
      const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
      await press('Show 12 h');
      expect(await summary(page).textContent()).toContain(
        'Mon, Feb 3, 07:00 to Mon, Feb 3, 19:00 (12 h 00 min)',
      );
      await press('Show the whole plan');
      await press('Go to now');
      expect(await summary(page).textContent()).toContain(
        'Mon, Feb 3, 07:00 to Mon, Feb 3, 19:00 (12 h 00 min)',
      );
      await press('Show the whole plan');
      await timeline(page).focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('End');
      await page.keyboard.press('Enter');
      await press('Show 2 h');
      expect(await page.locator('.timeline .chosen').count()).toBe(1);
      await context.close();
    });

    test('timeline: the wheel zooms around the pointer, dragging pans, hovering tells all, a click selects', async () => {
      const { page, context } = await app.open(short(), { height: 1200 });
      await havePlan(page);
      await show(page, 'Timeline');
      const box = (await timeline(page).boundingBox())!;
      // The middle of the first machine's bars.
      const y = box.y + 48 + 23;
      await page.mouse.move(box.x + 300, y);
      for (let turn = 0; turn < 8; turn++) await page.mouse.wheel(0, -150);
      await expect.poll(() => summary(page).textContent()).not.toContain('(2 d 0 h)');
      const zoomed = await summary(page).textContent();
      await page.mouse.down();
      await page.mouse.move(box.x + 200, y, { steps: 4 });
      await page.mouse.up();
      expect(await summary(page).textContent()).not.toBe(zoomed);
      await page.getByRole('button', { name: 'Show the whole plan' }).click();
      // What stands above may have become a line longer or shorter.
      const { x: left, y: top } = (await timeline(page).boundingBox())!;
      let said = '';
      for (let x = 110; x < 900 && !said.startsWith('Fill of'); x += 7) {
        await page.mouse.move(left + x, top + 48 + 23);
        said = (await page.locator('.picture-tip').allTextContents()).join('');
      }
      expect(said).toMatch(/^Fill of .K on M1.*bags? for the (opening round|bag round of)/);
      await page.mouse.down();
      await page.mouse.up();
      await page.getByRole('heading', { name: /^Fill of .K on M1$/ }).waitFor();
      await context.close();
    });

    test('what stays unmet is hatched, bears a number and leads down to the typed cells', async () => {
      const { page, errors, context } = await app.open(short());
      await havePlan(page);
      await show(page, 'Need and supply');
      expect(await summary(page).textContent()).toMatch(/\d+ bags \([\d,.]+ L\) UNMET/);
      const hatched = page.locator('.picture .unmet-edge');
      expect(await hatched.count()).toBeGreaterThan(0);
      expect(await hatched.first().evaluate((node) => getComputedStyle(node).fill)).toMatch(
        /url\("#.*-unmet"\)/,
      );
      expect(await page.locator('.picture .unmet-text').allTextContents()).toContainEqual(
        expect.stringMatching(/^−\d/),
      );
      await page.getByRole('application', { name: /^Need and supply/ }).focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Enter');
      const trace = page.getByRole('region', { name: /^Where Unmet/ });
      await trace.waitFor();
      for (const name of [
        /^From what: Litres/,
        /^From what: Bags of/,
        /^From what: bed-/,
        /^From what: Bag 1 of/,
        /^From what: Dialysate of bed/,
        /^From what: Dialysate flow of bed/,
      ])
        await trace.getByRole('button', { name }).first().click();
      expect(await trace.textContent()).toMatch(/\d+ mL\/kg\/h x \d+ kg - 0 mL\/h - 0 mL\/h = [\d,.]+ mL\/h/);
      await trace
        .getByRole('button', { name: 'Go to the cell of Effluent dose (prescribed)' })
        .first()
        .click();
      await expect
        .poll(() => page.evaluate(() => document.activeElement?.closest('.ag-cell')?.getAttribute('col-id')))
        .toBe('dose');
      expect(errors).toEqual([]);
      await context.close();
    });

    test('every picture goes out as an SVG that stands alone, and as PNG of twice its size', async () => {
      const { page, saved, errors, context } = await app.open(invented(8, 2));
      await havePlan(page);
      const alone = await app.browser.newPage();
      for (const [part, name] of [
        ['Timeline', 'timeline'],
        ['Need and supply', 'cover'],
        ['Bags per day', 'bags-per-day'],
        ['Supplies left', 'supplies'],
      ] as const) {
        await show(page, part);
        await page.getByRole('button', { name: /^Save .* as SVG$/ }).click();
        await page.getByRole('button', { name: /^Save .* as PNG$/ }).click();
        await expect.poll(() => saved.has(`${name}.png`)).toBe(true);
        const svg = saved.get(`${name}.svg`)!.toString();
        expect(svg).toMatch(/^<\?xml .*\n<svg [^>]*xmlns="http:\/\/www.w3.org\/2000\/svg"/);
        expect(svg).not.toMatch(/ (class|style|tabindex)="/);
        expect(svg).toContain('Not sterile. Never infuse.');
        // Its letters are in it: nothing is fetched, and no other typeface stands in.
        expect(svg).toMatch(/@font-face\{font-family:"?Atkinson[^}]*url\(data:font\/woff2;base64,/);
        expect(svg.length).toBeLessThan(600_000);
        const png = saved.get(`${name}.png`)!;
        expect(png.subarray(1, 4).toString()).toBe('PNG');
        await alone.setContent(
          `<img src="data:image/svg+xml;base64,${Buffer.from(svg).toString('base64')}">`,
        );
        const [width, height] = await alone.evaluate(async () => {
          const image = document.querySelector('img')!;
          await image.decode();
          return [image.naturalWidth, image.naturalHeight];
        });
        expect(Math.abs(png.readUInt32BE(16) - 2 * width!)).toBeLessThanOrEqual(2);
        expect(Math.abs(png.readUInt32BE(20) - 2 * height!)).toBeLessThanOrEqual(2);
        // Not a black or an empty picture: its own paper in the corner, and many colours.
        const colours = await alone.evaluate(async () => {
          const image = document.querySelector('img')!;
          const canvas = Object.assign(document.createElement('canvas'), {
            width: image.width,
            height: image.height,
          });
          const context2d = canvas.getContext('2d')!;
          context2d.drawImage(image, 0, 0);
          const { data } = context2d.getImageData(0, 0, image.width, image.height);
          const found = new Set<number>();
          for (let at = 0; at < data.length; at += 4)
            found.add((data[at]! << 16) | (data[at + 1]! << 8) | data[at + 2]!);
          return { corner: [...data.slice(0, 3)], count: found.size };
        });
        expect(colours.corner).toEqual([255, 255, 255]);
        expect(colours.count).toBeGreaterThan(8);
      }
      await alone.close();
      expect(errors).toEqual([]);
      await context.close();
    });

    test('variants side by side: what differs, and which is better', async () => {
      const { page, errors, context, saved } = await app.open(invented(6, 2));
      await havePlan(page);
      await show(page, 'Compare variants');
      // Alone, its name stands beside the longest measure's.
      expect(await struck(page)).toEqual([]);
      await page.getByRole('button', { name: 'Keep this scenario as a variant' }).click();
      await page.locator('.grid .ag-row[row-index="0"] .ag-cell[col-id="weight"]').click();
      await page.keyboard.type('140');
      await page.keyboard.press('Enter');
      // The plan of the edit itself is what is compared.
      await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 240_000 });
      const name = page.getByRole('textbox', { name: 'Name of variant A' });
      expect(await name.inputValue()).toBe('as opened');
      await name.fill('bed-01 of 55 kg');
      await name.press('Enter');
      const heads = page.locator('table.compare thead th');
      await expect
        .poll(() => heads.allTextContents())
        .toEqual(['Measure', 'Abed-01 of 55 kg', 'nowon screen', 'Unit']);
      expect(await name.inputValue()).toBe('bed-01 of 55 kg');
      const row = page.getByRole('row', { name: /patients › bed-01 › weight/ });
      await expect
        .poll(async () => (await row.allTextContents()).join(''))
        .toBe('patients › bed-01 › weight55140kg');
      expect(await page.getByRole('row', { name: /^All bags \d/ }).textContent()).toMatch(
        /^All bags\d+bags$/,
      );
      expect(await page.getByRole('row', { name: /^Hands-on work/ }).textContent()).toMatch(
        /^Hands-on work[\d.]+h?[\d.]+h$/,
      );
      // 140 kg need more than 55 kg: none is best, however little work it is.
      expect(await summary(page).textContent()).toContain('None is marked best: the needs differ');
      const one = page.getByRole('region', { name: 'Variants on one page' });
      expect(await one.textContent()).toContain('1 prescription new or changed');
      expect(await one.textContent()).toContain('None is marked best: the needs differ');
      expect(await struck(page)).toEqual([]);
      const notes = page.getByRole('textbox', { name: 'Notes of variant A' });
      await notes.fill('before the change');
      await notes.press('Enter');
      await one.getByText('before the change').waitFor();
      await page.getByRole('button', { name: 'Save Variants A, now side by side as SVG' }).click();
      await expect.poll(() => saved.has('variants.svg')).toBe(true);
      const svg = saved.get('variants.svg')!.toString();
      for (const said of ['Invented week of 6 beds', 'A: bed-01 of 55 kg', 'now: on screen', 'saved 20'])
        expect(svg).toContain(said);
      await page.keyboard.press('Control+s');
      await expect.poll(() => saved.has('test.json')).toBe(true);
      const file = JSON.parse(saved.get('test.json')!.toString()) as { variants: object[] };
      expect(file.variants).toMatchObject([
        { name: 'A', title: 'bed-01 of 55 kg', note: 'before the change' },
      ]);
      expect(errors).toEqual([]);
      await context.close();
    });

    test('variants of one need: searched with the same effort first, then the one with less work is marked', async () => {
      const few = invented(4, 1);
      const more = { ...few, rules: { swapMinutes: 4 } };
      const { page, errors, context } = await app.open(
        JSON.stringify({ ...few, variants: [{ name: 'A', title: 'quick swaps', scenario: more }] }),
      );
      await havePlan(page);
      await show(page, 'Compare variants');
      await page.getByText('1 variant without a plan yet').waitFor();
      await page.getByRole('button', { name: 'Search all 2 plans with the same effort' }).click();
      await page
        .getByRole('button', { name: 'All searched with the same effort' })
        .waitFor({ timeout: 240_000 });
      const row = page.getByRole('row', { name: /^Hands-on work/ });
      expect(await row.textContent()).toMatch(/^Hands-on work[\d.]+ best[\d.]+h$/);
      await context.close();
      expect(errors).toEqual([]);
    });

    test.each(['light', 'dark'])('axe finds nothing on any picture, %s', async (light) => {
      const { page, context } = await app.open(short());
      await havePlan(page);
      if (light === 'dark') await page.getByRole('button', { name: 'Dark' }).click();
      for (const part of [
        'Timeline',
        'Need and supply',
        'Bags per day',
        'Supplies left',
        'Compare variants',
        'Print',
      ]) {
        await show(page, part);
        const axe = new AxeBuilder({ page }).include('.part');
        // The dark page is the same page in other colours.
        if (light === 'dark') axe.withRules(COLOUR_RULES);
        const { violations } = await axe.analyze();
        expect(violations.map(({ id, nodes }) => `${part}: ${id}: ${nodes[0]!.html.slice(0, 160)}`)).toEqual(
          [],
        );
      }
      await context.close();
    });
  },
);
