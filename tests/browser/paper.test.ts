import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { createElement, type ReactElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { extractText, getDocumentProxy } from 'unpdf';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { asPlan } from '../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../src/plan/plan.ts';
import { pastTexts } from '../../src/reports/audited.ts';
import { readLabelCode } from '../../src/reports/labels.ts';
import { runSheet } from '../../src/reports/runSheet.ts';
import type { Paper, Piece, Stamp } from '../../src/views/print/flow.ts';
import { Pages } from '../../src/views/print/Pages.tsx';
import { logPaper } from '../../src/views/print/shiftPapers.tsx';
import { stampOf } from '../../src/views/print/stamp.ts';
import { stockPaper, weekPaper } from '../../src/views/print/weekPapers.tsx';
import { runSheetPaper } from '../../src/views/print/worksheet.tsx';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { known, twoDays } from '../grid/known.ts';
import { batch, circuit } from '../world.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

const MM = 72 / 25.4;
/** Paper, mm: ISO 216 and ANSI/ASME Y14.1. */
const PAPER = { A4: [210, 297], Letter: [215.9, 279.4] } as const;

async function readPdf(bytes: Uint8Array) {
  const pdf = await getDocumentProxy(new Uint8Array(bytes));
  const { text } = await extractText(pdf, { mergePages: false });
  const sizes: number[][] = [];
  for (let number = 1; number <= pdf.numPages; number++) {
    const { width, height } = (await pdf.getPage(number)).getViewport({ scale: 1 });
    sizes.push([width, height]);
  }
  return { pages: text, sizes };
}
const pdfOf = (page: Page) => page.pdf({ preferCSSPageSize: true, printBackground: true });
/** Data Matrix codes in a picture file, by a reader of other hands (ZXing-C++). */
const codesIn = async (png: Uint8Array) =>
  (
    await readBarcodes(new Uint8Array(png), {
      formats: ['DataMatrix'],
      tryHarder: true,
      maxNumberOfSymbols: 60,
    })
  ).map(({ text }) => text);
/** A label's last line lies clear of the boxes above it and inside the label, and what is above the boxes does too. */
const expectClear = async (label: Locator) => {
  const { clear, room, above } = await label.evaluate((node) => {
    const of = (what: string) => node.querySelector(what)!.getBoundingClientRect();
    const edge =
      node.getBoundingClientRect().bottom - Number.parseFloat(getComputedStyle(node).borderBottomWidth);
    return {
      clear: of('.label-not').top - of('.label-hand span:last-child').bottom,
      room: edge - of('.label-not').bottom,
      above: of('.label-hand').top - of('.label-contents').bottom,
    };
  });
  const halfMm = 96 / 25.4 / 2;
  expect(clear).toBeGreaterThan(halfMm);
  expect(room).toBeGreaterThan(halfMm);
  expect(above).toBeGreaterThanOrEqual(0);
};
const pdftoppm = (() => {
  try {
    execFileSync('pdftoppm', ['-v'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
})();

const HELPER = { from: '12:00', to: '16:00', technicians: 1 };
const STANDING = { madeAt: '2031-02-03 06:00', held: 0, lost: [], edited: false };
const markup = (paper: Paper, pieces: readonly Piece[], stamp: Stamp) =>
  renderToStaticMarkup(createElement(Pages, { pages: [{ paper, pieces }], stamp, size: 'A4' }));

describe('pages', () => {
  const all = known(invented(6, 2));
  const clean = { ok: true, violations: [], history: [], checked: [] };
  const broken = { rule: 'x', message: 'M1 was late', start: 5, end: 6, place: 'M1', amount: 1, unit: 'min' };

  test('a table that goes on says on each page whose it is', () => {
    const paper = runSheetPaper(all.problem, all.activities, all.problem.shifts[0]!);
    const rows = paper.pieces.filter((piece) => piece.kind === 'row');
    const stamp = stampOf(all.problem, clean, STANDING, []);
    expect(markup(paper, rows.slice(0, 2), stamp)).toMatch(/<h3>Machine M1 (?!.*continued)/);
    expect(markup(paper, rows.slice(1, 3), stamp)).toMatch(/<h3>Machine M1 .*\(continued\)/);
    const stock = stockPaper(all.problem, all.covered, 600);
    const lots = stock.pieces.filter((piece) => piece.kind === 'row');
    expect(markup(stock, [lots[0]!], stamp)).toMatch(/<h3>2K: [\d,]+ bags/);
  });

  test('what the past broke, what is lost and what was edited since stands on every page; nothing where all is well', () => {
    const paper = logPaper(all.problem, all.activities, all.problem.shifts[0]!);
    const bare = markup(paper, [], stampOf(all.problem, clean, STANDING, []));
    expect(bare).toContain('Plan check passed: ');
    expect(bare).not.toContain('▲');
    const long = { ...all.problem, title: 'A title of a week '.repeat(20) };
    expect(stampOf(long, clean, STANDING, []).scenario).toMatch(/^A title .{60,80}…$/);
    const standing = { ...STANDING, held: 60, lost: ['M2 is unavailable'], edited: true };
    const verdict = { ...clean, history: [broken] };
    const html = markup(paper, [], stampOf(all.problem, verdict, standing, []));
    expect(html).not.toContain('Plan check passed: ');
    expect(html).toContain('Plan check passed from Mon, Feb 3, 08:00 on');
    expect(html.match(/▲/g)).toHaveLength(3);
    const past = pastTexts(verdict, standing);
    expect(past).toEqual(['M2 is unavailable', 'M1 was late']);
    const sheet = runSheetPaper(all.problem, all.activities, all.problem.shifts[0]!, past);
    const text = markup(sheet, sheet.pieces, stampOf(all.problem, verdict, standing, []));
    for (const one of past) expect(text).toContain(`▲ ${one}`);
  });

  test('a lot bears the name that was typed, whatever letters are in it', () => {
    const scenario = twoDays({ stock: [{ lot: 'LOT-T7', bath: '2K', bags: 3, litres: 5 }] });
    const { problem, covered } = known(scenario);
    const { pieces } = stockPaper(problem, covered, 0);
    const rows = pieces.flatMap((piece) => (piece.kind === 'row' ? [piece.cells[0]] : []));
    expect(rows).toEqual(['LOT-T7']);
  });
});

describe('overview', () => {
  test('supplies: start + delivered - used = left, as printed, though the first minute uses some', () => {
    const { problem, demand, covered, activities } = known(twoDays(), [
      circuit(0),
      ...batch(30),
      ...batch(1600),
    ]);
    const plan = asPlan(problem, activities, {
      bound: NOTHING_PROVEN,
      remarks: [],
      seconds: 0,
    });
    const { pieces } = weekPaper({ problem, demand, plan, covered, tints: {} });
    const rows = pieces.flatMap((piece) =>
      piece.kind === 'row' && piece.table.label === 'Supplies' ? [piece] : [],
    );
    expect(rows[0]!.table.columns.map(({ head }) => head).slice(2, 6)).toEqual([
      'At the start',
      '+ Delivered',
      '− Used',
      '= Left at the end',
    ]);
    const printed = rows.map(({ cells }) =>
      cells
        .slice(2, 6)
        .map((cell) => Number(renderToStaticMarkup(cell as ReactElement).replaceAll(/<[^>]*>|,/g, ''))),
    );
    expect(printed[0]).toEqual([4, 0, 1, 3]);
    expect(printed[1]).toEqual([5, 6, 4, 7]);
    for (const [start, delivered, used, left] of printed)
      expect(start! + delivered! - used!).toBeCloseTo(left!, 9);
  });
});

describe.skipIf(!chromiumPath)(
  `paper in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    const folder = mkdtempSync(path.join(tmpdir(), 'bathtide-paper-'));
    beforeAll(async () => {
      const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm');
      prepareZXingModule({ overrides: { wasmBinary: readFileSync(wasm).buffer as ArrayBuffer } });
      app = await startApp();
    });
    afterAll(async () => {
      rmSync(folder, { recursive: true });
      await app?.close();
    });
    const open = async (title = 'Invented day') => {
      const scenario = invented(6, 2);
      const whole = { potassium: 0, calcium: 0, magnesium: 1, chloride: 110, acetate: 3, glucose: 5.55 };
      // One bath with all that a label can say: what it lacks must not push anything off.
      const baths = scenario.baths.map((bath, n) => ({ ...bath, calcium: 2.5, ...(n === 2 ? whole : {}) }));
      const opened = await app.open({ ...scenario, baths, title });
      await opened.page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 60_000 });
      await opened.page.getByRole('button', { name: 'Print', exact: true }).click();
      return opened;
    };
    const ready = (page: Page) =>
      page.getByRole('status').filter({ hasText: 'barcodes' }).waitFor({ state: 'detached' });

    test.each(['A4', 'Letter'] as const)(
      'every page of %s has its size, number, scenario, plan time, verdict and cautions',
      async (size) => {
        const { page, errors, context } = await open();
        await page.getByRole('combobox', { name: 'Paper size' }).selectOption(size);
        for (const kind of ['Overview of the whole plan', 'Stock board', 'Bag labels', 'Preparation log'])
          await page.getByLabel(kind).check();
        await ready(page);
        const { pages, sizes } = await readPdf(await pdfOf(page));
        expect(pages.length).toBeGreaterThan(5);
        const titles = new Set<string>();
        pages.forEach((text, index) => {
          expect(text).toContain(`Page ${index + 1} of ${pages.length}`);
          expect(text).toContain('Invented day');
          expect(text).toMatch(/Plan made \d{4}-\d\d-\d\d \d\d:\d\d/);
          expect(text).toMatch(/Plan check passed: \d+ rules/);
          expect(text.replaceAll(/\s+/g, ' ')).toContain(
            'Not sterile. Never infuse. Do not hang until released.',
          );
          titles.add(/Shift worksheet|Overview|Stock board|Bag labels|Preparation log/.exec(text)![0]);
          const [short, long] = PAPER[size];
          const wide = /Overview|Stock board|Preparation log/.test(text.slice(0, 40));
          expect(sizes[index]![0]! / MM).toBeCloseTo(wide ? long : short, 0);
          expect(sizes[index]![1]! / MM).toBeCloseTo(wide ? short : long, 0);
        });
        expect([...titles]).toEqual([
          'Shift worksheet',
          'Overview',
          'Stock board',
          'Bag labels',
          'Preparation log',
        ]);
        expect(errors).toEqual([]);
        await context.close();
      },
    );

    test('labels: one a bag, read back by another reader, on screen and from the PDF', async () => {
      const { page, context } = await open();
      await page.getByRole('checkbox', { name: 'Shift worksheet' }).uncheck();
      await page.getByLabel('Bag labels').check();
      await ready(page);
      const labels = page.locator('.paper-desk .bag-label:not(.none)');
      const count = await labels.count();
      expect(count).toBeGreaterThan(7);
      expect(count % 8).toBe(0);
      const label = labels.nth(2);
      const said = await label.locator('svg').getAttribute('aria-label');
      expect(await codesIn(await label.screenshot({ scale: 'css' }))).toEqual([said]);
      const fields = readLabelCode(said!);
      expect(await label.locator('.label-bath').textContent()).toBe(fields.bath);
      expect(await label.textContent()).toContain(`bag ${fields.number} of ${fields.of}`);
      expect(await label.textContent()).toContain('Not sterile. Never infuse.');
      expect(await label.locator('.label-contents').textContent()).toMatch(
        /^K\s\d, Na\s140, HCO₃\s32\smmol\/L; Ca\s2.5\smEq\/L \(1.25\smmol\/L\)$/,
      );
      await expectClear(label);
      const free = labels.filter({ has: page.locator('.label-warnings') }).first();
      expect(await free.locator('.label-warnings span').allTextContents()).toEqual([
        'CALCIUM-FREE',
        'POTASSIUM-FREE',
      ]);
      await expectClear(free);
      const inside = await free.evaluate((node) => {
        const [of, label] = [node.querySelector('.label-warnings')!, node.querySelector('.label-head')!];
        const [a, b] = [of.getBoundingClientRect(), label.getBoundingClientRect()];
        return {
          right: b.right - a.right,
          bottom: b.bottom - a.bottom,
          px: parseFloat(getComputedStyle(of).fontSize),
        };
      });
      expect(inside.right).toBeGreaterThanOrEqual(0);
      expect(inside.bottom).toBeGreaterThanOrEqual(0);
      expect(inside.px).toBeGreaterThan((11 * 96) / 72);

      const pdf = await pdfOf(page);
      const { pages } = await readPdf(pdf);
      // On each label, and in the foot of each page.
      expect(pages.join(' ').match(/Never infuse/g)).toHaveLength(count + pages.length);
      if (!pdftoppm) return void (await context.close());
      writeFileSync(path.join(folder, 'labels.pdf'), pdf);
      execFileSync('pdftoppm', [
        '-r',
        '200',
        '-png',
        path.join(folder, 'labels.pdf'),
        path.join(folder, 'page'),
      ]);
      const printed: string[] = [];
      for (const file of readdirSync(folder).filter((name) => name.endsWith('.png')))
        printed.push(...(await codesIn(readFileSync(path.join(folder, file)))));
      const wanted = await page
        .locator('.paper-print .label-code svg')
        .evaluateAll((list) => list.map((one) => one.getAttribute('aria-label')));
      expect(printed.sort()).toEqual(wanted.sort());
      await context.close();
    });

    test('labels: no name however long, and no composition, pushes the caution off', async () => {
      const scenario = invented(6, 2);
      const ions = { calcium: 2.5, magnesium: 0.75, chloride: 110.5, acetate: 4.25, glucose: 5.55 };
      const renamed = JSON.stringify({
        ...scenario,
        baths: scenario.baths.map((bath) => ({ ...bath, ...ions })),
      })
        .replaceAll('"2K"', '"2K bicarbonate 32, for the annex across the river"')
        .replaceAll(/"(M\d)"/g, '"$1 with a long name, second floor, by the lift"');
      const { page, context } = await app.open(renamed);
      await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 60_000 });
      await page.getByRole('button', { name: 'Print', exact: true }).click();
      await page.getByRole('checkbox', { name: 'Shift worksheet' }).uncheck();
      await page.getByLabel('Bag labels').check();
      await ready(page);
      const label = page.locator('.paper-desk .bag-label').filter({ hasText: 'across the river' }).first();
      await expectClear(label);
      await context.close();
    });

    test('the run sheet has a line for each thing to do, with its window, and room to sign', async () => {
      const { page, context } = await open();
      const rows = page.locator('.paper-desk tbody tr');
      const boxes = await rows.evaluateAll((list) => list.map((row) => row.getBoundingClientRect().height));
      // A pen needs room: 9.5 mm and no less.
      for (const height of boxes) expect(height).toBeGreaterThanOrEqual((9.5 * 96) / 25.4 - 0.5);
      const text = (await readPdf(await pdfOf(page))).pages.join('\n');
      for (const head of ['Conductivity', 'pH', 'Total chlorine', 'Initials', 'Swap window'])
        expect(text).toContain(head);
      expect(text).toMatch(/\d\d:\d\d–\d\d:\d\d/);
      await context.close();
    });

    test('a line whose fill began in the shift before keeps to its cells; shifts that begin together can both be chosen', async () => {
      const scenario = invented(12, 2);
      const { page, context } = await app.open({
        ...scenario,
        stock: [],
        shifts: [...scenario.shifts, ...['helper', 'other'].map((id) => ({ ...HELPER, id }))],
      });
      await page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 60_000 });
      await page.getByRole('button', { name: 'Print', exact: true }).click();
      const choice = page.getByRole('combobox', { name: 'Shift' });
      const choose = async (shift: RegExp) =>
        choice.selectOption({
          label: (await choice.locator('option').filter({ hasText: shift }).textContent())!,
        });
      await choose(/^helper: Mon/);
      const desk = page.locator('.paper-desk');
      await desk.getByText('before this shift').first().waitFor();
      const over = await desk.locator('td').evaluateAll((cells) =>
        cells.flatMap((cell) => {
          const { left, right, bottom } = cell.getBoundingClientRect();
          return [...cell.querySelectorAll('*')]
            .map((node) => ({ box: node.getBoundingClientRect(), text: node.textContent }))
            .filter(({ box }) => box.left < left || box.right > right || box.bottom > bottom)
            .map(({ text }) => text);
        }),
      );
      expect(over).toEqual([]);
      await choose(/^other: Mon/);
      await desk
        .getByText(/^other shift, Mon, Feb 3, 12:00 to 16:00/)
        .first()
        .waitFor();
      await context.close();
    });

    test('nothing of a page is cut, with long names and 200 beds', async () => {
      const scenario = invented(200, 2);
      scenario.title =
        'An uncommonly long title of an invented week for the north campus and the annex across the river';
      const long = (id: string) => `${id} with a long name, second floor, by the lift`;
      scenario.machines = scenario.machines.map((machine) => ({ ...machine, id: long(machine.id) }));
      const all = known(scenario);
      const shift = all.problem.shifts[0]!;
      const rows = runSheet(all.problem, all.activities, shift).places.flatMap((place) => place.rows);
      expect(rows.length).toBeGreaterThan(50);
      const opened = await app.open(scenario);
      const { page } = opened;
      await page.getByRole('button', { name: 'Print', exact: true }).click();
      await page.locator('.paper-desk .sheet-page').first().waitFor({ timeout: 90_000 });
      for (const kind of ['Overview of the whole plan', 'Stock board', 'Preparation log'])
        await page.getByLabel(kind).check();
      const cut = await page.locator('.paper-desk .sheet-page').evaluateAll((sheets) =>
        sheets.flatMap((sheet) => {
          const foot = sheet.querySelector('footer')!.getBoundingClientRect().top;
          const content = sheet.querySelector(':scope > .paper-content')!;
          const { right } = content.getBoundingClientRect();
          return [...content.querySelectorAll('td, th, h3, p')]
            .filter(
              (node) =>
                node.getBoundingClientRect().bottom > foot + 1 ||
                node.scrollWidth > node.clientWidth + 1 ||
                node.getBoundingClientRect().right > right + 1,
            )
            .map((node) => `${sheet.getAttribute('aria-label')}: ${node.textContent}`);
        }),
      );
      expect(cut).toEqual([]);
      await opened.context.close();
    });

    test('a plan whose audit failed says so across each page, in red, in the PDF too', async () => {
      const all = known(invented(6, 2));
      const paper = runSheetPaper(all.problem, all.activities, all.problem.shifts[0]!);
      const violation = { rule: 'x', message: 'x', start: 0, end: 1, place: '', amount: 1, unit: 'min' };
      const stamp = stampOf(
        all.problem,
        { ok: false, violations: [violation], history: [], checked: [] },
        STANDING,
        [],
      );
      expect(stampOf(all.problem, null, STANDING, []).barred).toBe('DO NOT USE THIS PLAN');
      const good = { ok: true, violations: [], history: [], checked: [] };
      expect(stampOf(all.problem, good, STANDING, []).barred).toBeNull();
      const halves = [paper.pieces.slice(0, 6), paper.pieces.slice(6, 12)].map((pieces) => ({
        paper,
        pieces,
      }));
      const html = renderToStaticMarkup(createElement(Pages, { pages: halves, stamp, size: 'A4' }));
      const css = readFileSync(path.resolve(import.meta.dirname, '../../src/views/print/paper.css'), 'utf8');
      const page = await app.browser.newPage();
      await page.setContent(`<style>${css}</style><div class="paper-print">${html}</div>`);
      await page.emulateMedia({ media: 'print' });
      expect(
        await page
          .locator('.page-barred')
          .evaluateAll((list) => list.map((node) => getComputedStyle(node).color)),
      ).toEqual(['rgb(196, 0, 24)', 'rgb(196, 0, 24)']);
      const { pages } = await readPdf(await pdfOf(page));
      expect(pages).toHaveLength(2);
      for (const text of pages) {
        expect(text).toContain('DO NOT USE THIS PLAN: the plan check found 1 broken rule');
        expect(text.match(/DO NOT USE THIS PLAN/g)!.length).toBeGreaterThanOrEqual(2);
      }
      await page.close();
    });
  },
);
