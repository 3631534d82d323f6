import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { recordFolder } from '../../electron/files/journal.ts';
import { ensureApp, ensureShell } from '../../electron/setup.mjs';
import { DEPTH } from '../../src/grid/history.ts';
import { readChanges } from '../../src/scenario/changed.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, launchChromium, NO_CHROMIUM } from '../chromium.ts';
import { launch, toPatients } from '../electron/launch.ts';
import { chanceOf } from './chance.ts';
import type { Soaked } from './parts.ts';

/** The page on its sheet of patients, past the first caution. */
async function onPatients(browser: Browser, url: string): Promise<Page> {
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  await page.goto(url);
  return toPatients(page);
}

/** Of a click; a busy machine is late, not wrong. */
const PATIENCE_MS = 20_000;
const cellOf = (page: Page, row: number, column: string) =>
  page.locator(`.grid .ag-row[row-index="${row}"] .ag-cell[col-id="${column}"]`);

/** Types a number into a row that is in sight. */
async function type(page: Page, row: number, column: string, value: number): Promise<void> {
  await cellOf(page, row, column).click({ timeout: PATIENCE_MS });
  await page.keyboard.type(String(value));
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
  const series: (Held & { readonly edits: number })[] = [];
  let edits = 0;
  const until = Date.now() + 1000 * seconds;
  for (let next = 0; Date.now() < until; ) {
    if (Date.now() >= next) {
      series.push({ ...(await heldBy(devtools)), edits });
      next = Date.now() + 60_000;
    }
    await type(page, Math.floor(chance() * 8), 'weight', 50 + Math.floor(chance() * 70));
    edits += 1;
    if (edits % 10 === 0) await page.keyboard.press('Control+z');
    if (edits % 25 === 0) await page.keyboard.press('Control+s');
    if (edits % 40 === 0)
      for (const sheet of [/^Machines/, /^Patients/])
        await page.getByRole('button', { name: sheet }).first().click();
    await page.waitForTimeout(300);
  }
  series.push({ ...(await heldBy(devtools)), edits });
  await browser.close();
  await started.stop();
  // The first minutes fill what is filled once: the undo steps, each with its plan, above all.
  const from = series.find((one) => one.edits > DEPTH) ?? series[Math.min(2, series.length - 1)]!;
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

/** Somebody at a browser of a host of their own: types into one column of some beds, saves, takes what others saved. */
interface Somebody {
  readonly page: Page;
  readonly column: 'weight' | 'dose';
  readonly value: () => number;
  /** bed -> what was typed last */
  readonly last: Map<string, number>;
  edits: number;
  /** Edits that a question broke into: seen on screen, and typed once more. */
  again: number;
  taken: number;
  asked: number;
}
const BEDS = 6;

/** Answers what stands in the way: what others saved comes in. */
async function answerQuestions(one: Somebody): Promise<void> {
  for (const [title, button] of [
    [/^Somebody else saved/, /^Take these/],
    [/^You and somebody else changed/, /^Save both/],
  ] as const) {
    const dialog = one.page.getByRole('dialog', { name: title });
    if (!(await dialog.isVisible())) continue;
    if (button.source.includes('Save')) {
      one.asked += 1;
      await dialog.getByRole('button', { name: 'All yours' }).click();
    } else one.taken += 1;
    await dialog.getByRole('button', { name: button }).click({ timeout: PATIENCE_MS });
  }
}

/** @throws Error when the cell does not come to show the text in 3 s */
async function shows(page: Page, row: number, column: string, text: string): Promise<void> {
  for (let tries = 0; tries < 30; tries++) {
    if ((await cellOf(page, row, column).textContent({ timeout: PATIENCE_MS }))?.replace(/\D/g, '') === text)
      return;
    await page.waitForTimeout(100);
  }
  throw new Error(`the cell shows no ${text}`);
}

async function edit(one: Somebody, row: number): Promise<void> {
  const { page, column } = one;
  const value = one.value();
  let why = '';
  for (let tries = 0; tries < 20; tries++) {
    try {
      await answerQuestions(one);
      const bed = /^bed-\d+/.exec((await cellOf(page, row, 'id').textContent())?.trim() ?? '')?.[0] ?? '';
      await type(page, row, column, value);
      await shows(page, row, column, String(value));
      one.last.set(bed, value);
      one.edits += 1;
      return;
    } catch (error) {
      one.again += 1;
      why = error instanceof Error ? error.message : String(error);
      await page.keyboard.press('Escape');
    }
  }
  throw new Error(`the ${column} of row ${row + 1} could not be typed: ${why}`);
}

/** All edit until then; what is still unsaved is saved, and what the others saved meanwhile comes in. */
async function allEdit(people: readonly Somebody[], until: number, chance: () => number): Promise<void> {
  await Promise.all(
    people.map(async (one) => {
      while (Date.now() < until) {
        await edit(one, Math.floor(chance() * BEDS));
        if (one.edits % 2 === 0) await one.page.keyboard.press('Control+s');
        await one.page.waitForTimeout(300);
      }
    }),
  );
  for (let round = 0; round < 4; round++)
    for (const one of people) {
      await answerQuestions(one);
      await one.page.keyboard.press('Control+s');
      await one.page.waitForTimeout(5_000);
      await answerQuestions(one);
    }
}

/** The file holds what each has typed last, and beside it lies what it should, and nothing else. */
function lookThrough(file: string, people: readonly Somebody[], faults: string[]) {
  const saved: Scenario = JSON.parse(readFileSync(file, 'utf8'));
  for (const { last, column, asked } of people) {
    for (const [bed, value] of last) {
      const held = saved.patients.find(({ id }) => id === bed)?.[column];
      if (held !== value) faults.push(`${bed}: ${column} is ${held}, typed last was ${value}`);
    }
    if (asked > 0) faults.push(`asked ${asked} times about what only one of them had changed`);
  }
  const record = recordFolder(file);
  const history = readChanges(
    readdirSync(record).map((name) => ({ name, text: readFileSync(path.join(record, name), 'utf8') })),
  );
  faults.push(...history.faults);
  const left = readdirSync(path.dirname(file)).filter((name) => /\.lock|\.tmp-/.test(name));
  if (left.length > 0) faults.push(`left behind: ${left.join(', ')}`);
  return history;
}

/**
 * Two browsers, each at a host of its own, both hosts on one folder: one types weights, the other doses of the same beds,
 * both save over and over. At the end the file holds each bed's last weight and last dose, and its history each change.
 */
export async function browsersTogether(seconds: number, seed: number): Promise<Soaked> {
  if (!chromiumPath) return { figures: {}, faults: [NO_CHROMIUM] };
  await ensureApp(() => undefined);
  await ensureShell(() => undefined);
  const chance = chanceOf(seed);
  const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-soak-'));
  const file = path.join(folder, 'week.json');
  copyFileSync('scenarios/calm-week.json', file);
  const somebody = async (column: Somebody['column'], from: number, range: number) => {
    const [started, browser] = [await launch([file]), await launchChromium()];
    const page = await onPatients(browser, started.url);
    // Never what the cell holds: an edit that changes nothing is none.
    let turn = 0;
    const value = () => from + ((turn++ * 2 + Math.floor(chance() * 2)) % range);
    const one: Somebody = { page, column, value, last: new Map(), edits: 0, again: 0, taken: 0, asked: 0 };
    return { one, end: async () => [await browser.close(), await started.stop()] };
  };
  const both = [await somebody('weight', 50, 70), await somebody('dose', 20, 10)];
  const people = both.map(({ one }) => one);
  const faults: string[] = [];
  let kept = 0;
  try {
    await allEdit(people, Date.now() + 1000 * seconds, chance);
    const history = lookThrough(file, people, faults);
    kept = history.changes.length;
  } finally {
    for (const { end } of both) await end();
    rmSync(folder, { recursive: true, force: true });
  }
  const sum = (key: 'edits' | 'again' | 'taken') => people.reduce((all, one) => all + one[key], 0);
  return {
    figures: {
      seconds,
      browsers: both.length,
      hosts: both.length,
      edits: sum('edits'),
      'typed again': sum('again'),
      'times what the other saved was taken': sum('taken'),
      'changes kept': kept,
      lost: faults.length,
    },
    faults,
  };
}
