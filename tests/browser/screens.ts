// node --import tsx tests/browser/screens.ts: how soon screens answer, in a real Chromium, with an invented unit of 1,000 beds.

import type { Page } from 'playwright-core';
import { launchChromium } from '../chromium.ts';
import { startApp } from './app.ts';
import { keepPlan } from './plan.ts';
import { invented } from './scenario.ts';

const middle = (list: readonly number[]): number => [...list].sort((a, b) => a - b)[list.length >> 1]!;
const ms = (value: number): string => `${Math.round(value)} ms`;

const app = await startApp();
/** What the page's main thread has worked so far, in s of processor time: it does not depend on what else the machine does. */
async function worked(page: Page): Promise<() => Promise<number>> {
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  return async () =>
    (await session.send('Performance.getMetrics')).metrics.find(({ name }) => name === 'TaskDuration')!.value;
}
/** What the loader of TypeScript puts around inner functions, for the page too. */
const NAMED = 'globalThis.__name = (inner) => inner';

/** From the first byte asked for until the home answers; the second time everything is warm. */
async function firstScreen(): Promise<{ times: number[]; work: number[] }> {
  const { page, context } = await app.open(invented(40), { at: 'home' });
  const times: number[] = [];
  const work: number[] = [];
  const sofar = await worked(page);
  for (let n = 0; n < 6; n++) {
    await page.reload();
    await page.locator('.home .card').first().waitFor();
    times.push(
      await page.evaluate(
        () =>
          new Promise<number>((done) =>
            requestAnimationFrame(() => setTimeout(() => done(performance.now()))),
          ),
      ),
    );
    work.push(1000 * (await sofar()));
  }
  await context.close();
  return { times: times.slice(1), work: work.slice(1) };
}

/** From a press on a role to the frame that shows its home. */
async function roleSwitch(): Promise<{ times: number[]; work: number[] }> {
  const { page, context } = await app.open(invented(40), { at: 'home' });
  await page.getByText(/The plan is up to date/).waitFor({ timeout: 600_000 });
  await page.evaluate(NAMED);
  const sofar = await worked(page);
  const times: number[] = [];
  const work: number[] = [];
  for (let n = 0; n < 12; n++) {
    const before = await sofar();
    times.push(
      await page.evaluate(
        async (name) => {
          const button = [...document.querySelectorAll('button')].find((one) => one.textContent === name)!;
          const began = performance.now();
          button.click();
          await new Promise<void>((done) => requestAnimationFrame(() => setTimeout(done)));
          return performance.now() - began;
        },
        ['Technician lead', 'Administrator', 'Nephrology lead'][n % 3]!,
      ),
    );
    work.push(1000 * ((await sofar()) - before));
    await page.waitForTimeout(300);
  }
  await context.close();
  return { times, work };
}

/** Frames that took longer than one and a half of the screen's own, while 1,000 beds scroll by. */
async function scrolling(): Promise<{ frames: number; dropped: number; work: number }> {
  const { page, context } = await app.open(invented(1000, 1));
  await page.locator('.ag-row').first().waitFor();
  await keepPlan(page);
  await page.waitForTimeout(3000);
  await page.evaluate(NAMED);
  const sofar = await worked(page);
  const before = await sofar();
  const found = await page.evaluate(async () => {
    const body = document.querySelector<HTMLElement>('.grid .ag-grid-viewport')!;
    const frame = () => new Promise<number>((done) => requestAnimationFrame(done));
    let last = await frame();
    const times: number[] = [];
    for (let n = 0; n < 300; n++) {
      body.scrollTop += 54;
      const now = await frame();
      times.push(now - last);
      last = now;
    }
    return times;
  });
  const work = (1000 * ((await sofar()) - before)) / found.length;
  await context.close();
  const usual = middle(found);
  return {
    frames: found.length,
    work,
    dropped: found.filter((time) => time > 1.5 * Math.max(usual, 1000 / 60)).length,
  };
}

/** An empty page of the same browser: what a frame takes here at all. */
async function baseline(): Promise<number> {
  const browser = await launchChromium();
  const page = await browser.newPage();
  const times = await page.evaluate(async () => {
    const found: number[] = [];
    for (let n = 0; n < 30; n++) {
      const began = performance.now();
      await new Promise<void>((done) => requestAnimationFrame(() => setTimeout(done)));
      found.push(performance.now() - began);
    }
    return found;
  });
  await browser.close();
  return middle(times);
}

const empty = await baseline();
const first = await firstScreen();
const roles = await roleSwitch();
const { frames, dropped, work } = await scrolling();
const told = ({ times, work }: { times: number[]; work: number[] }): string =>
  `middle ${ms(middle(times))}, longest ${ms(Math.max(...times))}; main thread ${ms(middle(work))} of processor time`;
console.log(`a frame of an empty page: ${ms(empty)}`);
console.log(`first screen, warm: ${told(first)}`);
console.log(`switch of role: ${told(roles)}`);
console.log(
  `scrolling 1,000 beds: ${dropped} of ${frames} frames dropped; main thread ${work.toFixed(1)} ms a frame`,
);
await app.close();
process.exit(0);
