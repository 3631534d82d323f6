import { readFileSync } from 'node:fs';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { launch } from '../electron/launch.ts';
import { chanceOf } from './chance.ts';
import type { Soaked } from './parts.ts';

/** The page on its sheet of patients, past the first caution. */
async function onPatients(browser: Browser, url: string): Promise<Page> {
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  await page.goto(url);
  await page.getByRole('button', { name: 'I understand' }).click();
  await page
    .getByRole('button', { name: /^Patients/ })
    .first()
    .click();
  return page;
}

/** Types a weight into a row that is in sight. */
async function weigh(page: Page, row: number, kilograms: number): Promise<void> {
  await page.locator(`.grid .ag-row[row-index="${row}"] .ag-cell[col-id="weight"]`).click();
  await page.keyboard.type(String(kilograms));
  await page.keyboard.press('Enter');
}

/** Planner, its rival, the solver, and one of each that is just being ended. */
const MOST_WORKERS = 6;

/** What a page holds after what can be freed is freed. */
interface Held {
  /** Threads that are not freed, ended or not. */
  readonly workers: number;
  readonly listeners: number;
  readonly nodes: number;
  readonly megabytes: number;
}
async function heldBy(devtools: CDPSession): Promise<Held> {
  for (let n = 0; n < 3; n++) await devtools.send('HeapProfiler.collectGarbage');
  const { metrics } = await devtools.send('Performance.getMetrics');
  const of = (name: string) => metrics.find((one) => one.name === name)?.value ?? Number.NaN;
  const { result } = await devtools.send('Runtime.evaluate', { expression: 'Worker.prototype' });
  const { objects } = await devtools.send('Runtime.queryObjects', {
    prototypeObjectId: result.objectId ?? '',
  });
  const counted = await devtools.send('Runtime.callFunctionOn', {
    objectId: objects.objectId,
    functionDeclaration: 'function () { return this.length; }',
    returnByValue: true,
  });
  // Else what was asked about is held by the answer.
  for (const one of [objects, result])
    if (one.objectId) await devtools.send('Runtime.releaseObject', { objectId: one.objectId });
  return {
    workers: counted.result.value,
    listeners: of('JSEventListeners'),
    nodes: of('Nodes'),
    megabytes: Math.round(of('JSHeapUsedSize') / 1e5) / 10,
  };
}

/** One page, edited for long: weights, undo and redo, other sheets, saves. What it holds at the end beside what it held before. */
export async function editedForLong(seconds: number, seed: number): Promise<Soaked> {
  if (!chromiumPath) return { figures: {}, faults: [NO_CHROMIUM] };
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  const chance = chanceOf(seed);
  const text = readFileSync('scenarios/surge-week.json', 'utf8');
  const started = await launch(['week.json'], { 'week.json': text });
  const browser = await launchChromium();
  const page = await onPatients(browser, started.url);
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Performance.enable');
  const series: Held[] = [];
  let edits = 0;
  const until = Date.now() + 1000 * seconds;
  for (let next = 0; Date.now() < until; ) {
    if (Date.now() >= next) {
      series.push(await heldBy(devtools));
      next = Date.now() + 60_000;
      console.log(`${new Date().toISOString()} edits ${edits} ${JSON.stringify(series.at(-1))}`);
    }
    await weigh(page, Math.floor(chance() * 8), 50 + Math.floor(chance() * 70));
    edits += 1;
    if (edits % 10 === 0) await page.keyboard.press('Control+z');
    if (edits % 25 === 0) await page.keyboard.press('Control+s');
    if (edits % 40 === 0)
      for (const sheet of [/^Machines/, /^Patients/])
        await page.getByRole('button', { name: sheet }).first().click();
    await page.waitForTimeout(300);
  }
  series.push(await heldBy(devtools));
  await browser.close();
  await started.stop();
  // The first minutes fill what is filled once.
  const from = series[Math.min(2, series.length - 1)]!;
  const to = series.at(-1)!;
  const faults: string[] = [];
  if (to.workers > MOST_WORKERS) faults.push(`${to.workers} threads are held after ${edits} edits`);
  if (to.listeners > 1.15 * from.listeners)
    faults.push(`the listeners rose from ${from.listeners} to ${to.listeners}`);
  if (to.megabytes > from.megabytes + 20)
    faults.push(`the memory rose from ${from.megabytes} to ${to.megabytes} MB`);
  return {
    figures: {
      seconds,
      'threads before': from.workers,
      'threads after': to.workers,
      edits,
      'listeners before': from.listeners,
      'listeners after': to.listeners,
      'nodes before': from.nodes,
      'nodes after': to.nodes,
      'heap before, MB': from.megabytes,
      'heap after, MB': to.megabytes,
    },
    faults,
  };
}
