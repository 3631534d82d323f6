import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { type Activity, placeOf } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import { fromXlsx } from '../../src/reports/workbook.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { opening, patients, water } from '../planner/shortWorlds.ts';
import { tinyWorld } from '../world.ts';
import { startApp, type Tested } from './app.ts';
import { invented } from './scenario.ts';

const planned = (page: Page) =>
  page.getByRole('button', { name: 'Plan again' }).waitFor({ timeout: 110_000 });
const bound = (page: Page) => page.getByTestId('bound');
const proven = (page: Page) => expect.poll(() => bound(page).textContent(), { timeout: 60_000 });
const cell = (page: Page, row: number, column: string) =>
  page.locator(`.grid .ag-row[row-index="${row}"] .ag-cell[col-id="${column}"]`);
const type = async (page: Page, row: number, column: string, text: string) => {
  await cell(page, row, column).click();
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
};

describe.skipIf(!chromiumPath)(`planning again in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(() => app?.close());

  test('the plan of a worker is the plan of the same input and seed anywhere', async () => {
    const scenario = invented(4, 2);
    const { page, saved, errors, context } = await app.open(scenario);
    await planned(page);
    await page.getByRole('button', { name: /^File/ }).click();
    await page.getByRole('menuitem', { name: /Whole plan/ }).click();
    await expect.poll(() => [...saved.keys()].some((name) => name.endsWith('plan.xlsx'))).toBe(true);
    const file = saved.get([...saved.keys()].find((name) => name.endsWith('plan.xlsx'))!)!;
    const sheet = (await fromXlsx(file)).find(({ name }) => name === 'Schedule')!;
    const { activities } = await plan(compile(scenario));
    expect(sheet.table.slice(1).map((row) => [row[2], row[3]])).toEqual(
      activities.map((activity) => [activity.end - activity.start, placeOf(activity)]),
    );
    const begins = (n: number) => Math.round((sheet.table[n + 1]![0] as Date).getTime() / 60_000);
    expect(activities.map((_, n) => begins(n) - begins(0))).toEqual(
      activities.map(({ start }) => start - activities[0]!.start),
    );
    expect(errors).toEqual([]);
    await context.close();
  });

  test('the plan is there before its proof; what no plan can do better than follows', async () => {
    const { page, errors, context } = await app.open(invented(6, 3));
    await planned(page);
    await proven(page).toMatch(
      /^Proven: no plan needs less than [\d.]+ h \(this one: [\d.]+ h(, \+[\d.]+ %)?\)\.$/,
    );
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('what would clear a need is told, and what is proven not to', async () => {
    // 15 bags are wanted after the opening round, one set of bags is there and fills 8 (as in explain.test.ts).
    const world = tinyWorld({
      patients: patients(3),
      stock: [opening(3)],
      water: water(),
      supplies: [{ item: 'bag set', onHand: 1, perFill: 1 }],
    });
    const { page, errors, context } = await app.open(world);
    await planned(page);
    await page.getByRole('button', { name: 'Administrator' }).click();
    await page.getByRole('button', { name: 'What would help?' }).click();
    await page.getByText('Bag set: 1 more by').waitFor({ timeout: 110_000 });
    await page.getByText('limits cannot help alone').click();
    await page.getByText('Up to 4 more machines like M1: proven not to help.').waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });

  test('it follows while the search for a better plan goes on, and the better plan keeps it', async () => {
    const { page, errors, context } = await app.open(invented(40, 7));
    const searching = page.getByRole('button', { name: 'Keep this plan' });
    await proven(page).toMatch(/less than [\d.]+ h/);
    expect(await searching.count()).toBe(1);
    const hours = async () => Number(/less than ([\d.]+) h/.exec((await bound(page).textContent())!)?.[1]);
    const early = await hours();
    await searching.click();
    await planned(page);
    await expect.poll(hours, { timeout: 60_000 }).toBeGreaterThanOrEqual(early);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('undo brings back the plan that was there, not another one, and the file is as it was', async () => {
    const { page, errors, context } = await app.open(invented(14, 3));
    await planned(page);
    const changed = page.getByTestId('changed');
    await type(page, 0, 'weight', '180');
    await changed.waitFor();
    await planned(page);
    await expect.poll(() => changed.textContent(), { timeout: 60_000 }).toMatch(/^[1-9]/);
    expect(await page.getByText('edited').count()).toBe(1);
    // There by the next frames: nothing is planned anew.
    const soon = await page.evaluate(async () => {
      const named = (name: string) =>
        [...document.querySelectorAll('button')].find(({ textContent }) => textContent?.includes(name));
      named('Undo')?.click();
      for (let n = 0; n < 3; n++) await new Promise(requestAnimationFrame);
      return [named('Plan again') !== undefined, named('Keep this plan') !== undefined];
    });
    expect(soon).toEqual([true, false]);
    expect(await changed.textContent()).toMatch(/^0 of \d+ $/);
    await proven(page).toMatch(/less than [\d.]+ h/);
    expect(await page.getByText('edited').count()).toBe(0);
    // And the edit's own plan when it is done again.
    await page.getByRole('button', { name: /Redo$/ }).click();
    await expect.poll(() => changed.textContent()).toMatch(/^[1-9]/);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('after an edit little has moved; what has is named, counted and can be taken note of', async () => {
    const { page, errors, context } = await app.open(invented(6, 3));
    await planned(page);
    await type(page, 0, 'weight', '71');
    await page.getByTestId('changed').waitFor();
    await planned(page);
    await type(page, 1, 'weight', '160');
    const changed = page.getByTestId('changed');
    await expect.poll(() => changed.textContent(), { timeout: 60_000 }).toMatch(/^[1-9]/);
    await planned(page);
    const words = /^(\d+) of (\d+)/.exec((await changed.textContent())!)!;
    expect(Number(words[1])).toBeLessThan(Number(words[2]));
    // The list of the technicians says it in a word, shift by shift.
    await page.getByRole('button', { name: 'Technician lead', exact: true }).click();
    const now = page.getByRole('slider', { name: /^Time on the plan/ });
    const named: string[] = [];
    for (let minute = 0; minute < 3 * 1440; minute += 360) {
      await now.fill(String(minute));
      named.push(...(await page.locator('.works .change').allTextContents()));
    }
    expect(named.length).toBeGreaterThan(0);
    for (const word of named) expect(word).toMatch(/^(new|moved)( \(was \d\d:\d\d\))?$/);
    expect(await page.locator('.picture-legend').first().textContent()).toMatch(/new.*moved/);
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id} at ${nodes[0]?.target.join(' ')}`)).toEqual([]);
    await page.getByRole('button', { name: 'Mark as read' }).click();
    await expect.poll(() => changed.textContent()).toMatch(/^0 of \d+\s*$/);
    expect(await page.locator('.works .change').count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Mark as read' }).count()).toBe(0);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a machine that breaks down in the middle of a fill: its bags are lost, it is said, and the plan is valid', async () => {
    const scenario = invented(4, 2);
    const [first] = scenario.machines;
    const { activities } = await plan(compile(scenario));
    const under = activities.find((one) => one.kind === 'fill' && one.machine === first!.id)!;
    const now = under.start + 20;
    const { page, errors, context } = await app.open(scenario);
    await planned(page);
    await page.getByRole('button', { name: 'Technician lead', exact: true }).click();
    await page.getByRole('slider', { name: /^Time on the plan/ }).fill(String(now));
    await page.getByText('Something happened').click();
    await page.getByRole('button', { name: `Take ${first!.id} out` }).click();
    const told = page.getByText(`${first!.id} is unavailable: the fill of`);
    await told.waitFor();
    await planned(page);
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    expect(await page.getByLabel(/Plan on from now/).isChecked()).toBe(true);
    // It was a slip: nothing is lost, and the plan is the one that was there.
    await page.getByRole('button', { name: /Undo$/ }).click();
    await expect.poll(() => told.count()).toBe(0);
    await expect.poll(() => page.getByTestId('changed').textContent()).toMatch(/^0 of \d+ $/);
    await page.getByRole('button', { name: /Redo$/ }).click();
    await told.waitFor();
    await page.getByRole('button', { name: 'Mark as read' }).first().click();
    await expect.poll(() => told.count()).toBe(0);
    // Nobody at night: its shift, which is on now or next, gets a row of its own for that date.
    await page.getByLabel('Technician absent from shift').selectOption({ label: 'night (1)' });
    await page.getByRole('button', { name: /^One technician fewer on/ }).click();
    await planned(page);
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('bags that are lost and a water test that failed: what does not count is said, planned around and saved', async () => {
    const scenario = invented(6, 3);
    const { page, saved, errors, context } = await app.open(scenario);
    await planned(page);
    await page.getByRole('button', { name: 'Technician lead', exact: true }).click();
    const now = page.getByRole('slider', { name: /^Time on the plan/ });
    await now.fill('0');
    await page.getByText('Something happened').click();
    expect(await page.getByLabel('Discard bags of the fill').count()).toBe(0);
    await now.fill('1000');
    await page.getByLabel(/^how many \(empty: all \d\)/).fill('99');
    expect(await page.getByRole('button', { name: /^Type 1 to \d bags$/ }).isDisabled()).toBe(true);
    const choices = await page.getByLabel('Discard bags of the fill').locator('option').allTextContents();
    const done = choices.findIndex((text) => / · \d bags here$/.test(text));
    await page.getByLabel('Discard bags of the fill').selectOption({ index: done });
    await page.getByLabel(/^how many \(empty: all \d\)/).fill('2');
    await page.getByRole('button', { name: 'Discard 2 bags' }).click();
    await page.getByText(/ has discarded bags: the fill of .* What is left is in the stock/).waitFor();
    await planned(page);
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    await expect(page.getByText(/^\d+ fills? ran since: \d+ bags? still here/).count()).resolves.toBe(1);
    await page.getByRole('button', { name: 'Discard and replan' }).click();
    await planned(page);
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    await page.keyboard.press('Control+s');
    await expect.poll(() => saved.size).toBe(1);
    const file: Scenario = JSON.parse([...saved.values()].map(String)[0]!);
    expect(file.stock!.filter(({ lot, bags }) => / left$/.test(lot) && bags < 8).length).toBeGreaterThan(0);
    // Nothing of what is lost is in the plan that the file keeps, and that plan is valid.
    const problem = compile(file);
    const kept = file.inUse!.activities as unknown as Activity[];
    const begun = kept.map((one) => [
      one.kind === 'test' ? one.water : one.machine,
      problem.clock.localOf(one.start),
    ]);
    expect(file.lost!.some(({ water }) => water)).toBe(true);
    for (const { machine, water, at } of file.lost!) expect(begun).not.toContainEqual([machine ?? water, at]);
    const { ok, history } = audit(problem, kept, { now: 1000 });
    expect([ok, history.every(({ rule }) => rule === 'water-tested')]).toEqual([true, true]);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('what is done by now, and the plan people work by, come back with the file', async () => {
    const scenario = invented(6, 3);
    const { page, saved, errors, context } = await app.open(scenario);
    await planned(page);
    await page.getByRole('button', { name: 'Technician lead', exact: true }).click();
    await page.getByRole('slider', { name: /^Time on the plan/ }).fill('900');
    await page.getByLabel(/Plan on from now/).check();
    await planned(page);
    await page.locator('.tabs button', { hasText: 'Patients' }).first().click();
    await type(page, 0, 'weight', '150');
    await page.getByTestId('changed').waitFor();
    await planned(page);
    await page.getByText(/^(The plan is up to date|Found in a short search)/).waitFor({ timeout: 110_000 });
    await page.keyboard.press('Control+s');
    await expect.poll(() => saved.size).toBe(1);
    const [text] = [...saved.values()].map(String);
    const file: Scenario = JSON.parse(text!);
    expect(file.inUse?.now).toBe('2031-02-03T22:00');
    const problem = compile(file);
    expect(audit(problem, file.inUse!.activities as never).ok).toBe(true);
    await context.close();

    const again = await app.open(text!);
    // Shown as it was left: nothing is planned, nothing has changed.
    await again.page.getByTestId('audit').waitFor();
    expect(await again.page.getByRole('button', { name: 'Keep this plan' }).count()).toBe(0);
    expect(await again.page.getByTestId('audit').textContent()).toContain('passed');
    await again.page.getByRole('button', { name: 'Technician lead', exact: true }).click();
    expect(await again.page.getByLabel(/Plan on from now/).isChecked()).toBe(true);
    expect(await again.page.getByRole('slider', { name: /^Time on the plan/ }).inputValue()).toBe('900');
    await again.page.keyboard.press('Control+s');
    await expect.poll(() => again.saved.size).toBe(1);
    const [same] = [...again.saved.values()].map(String);
    expect(JSON.parse(same!)).toEqual(file);
    expect([...errors, ...again.errors]).toEqual([]);
    await again.context.close();

    // Edited by other means: a machine is gone, and an error has to be put right first. Until then nothing of it is lost.
    const [gone, ...rest] = file.machines;
    const patients = file.patients.map((row, n) => (n === 0 ? { ...row, weight: -1 } : row));
    const edited = await app.open({ ...file, machines: rest, patients });
    await edited.page.getByText('until the errors are corrected').waitFor();
    await edited.page.keyboard.press('Control+s');
    await expect.poll(() => edited.saved.size).toBe(1);
    const [kept] = [...edited.saved.values()].map(String);
    expect(JSON.parse(kept!).inUse).toEqual(file.inUse);
    await edited.page.locator('.tabs button', { hasText: 'Patients' }).first().click();
    await type(edited.page, 0, 'weight', '150');
    await edited.page.getByText(`${gone!.id} is unavailable`).waitFor();
    await edited.page
      .getByText(/^(The plan is up to date|Found in a short search)/)
      .waitFor({ timeout: 110_000 });
    await expect
      .poll(() => edited.page.getByTestId('audit').textContent(), { timeout: 60_000 })
      .toContain('passed');
    expect(edited.errors).toEqual([]);
    await edited.context.close();
  });

  test('a file whose plan in use is empty is planned on from its now; a waiting row is taken over; both are said', async () => {
    const scenario = invented(6, 3);
    const { id } = scenario.patients[0]!;
    const { page, saved, errors, context } = await app.open({
      ...scenario,
      inUse: { start: scenario.start, now: scenario.start, activities: [] },
      unassigned: { changes: [{ owner: id, at: scenario.start, dose: 22 }] },
    });
    await page.getByText('the plan in use has no activities').first().waitFor();
    await page.getByText('all 2', { exact: true }).click();
    await page.getByText(`this row waited in unassigned for "${id}"`).waitFor();
    await planned(page);
    await page.getByText(/^(The plan is up to date|Found in a short search)/).waitFor({ timeout: 110_000 });
    await page.keyboard.press('Control+s');
    await expect.poll(() => saved.size).toBe(1);
    const file: Scenario = JSON.parse(String([...saved.values()][0]));
    expect(file.inUse!.activities.length).toBeGreaterThan(0);
    expect(file.patients[0]!.changes).toContainEqual({ at: scenario.start, dose: 22 });
    expect(file).not.toHaveProperty('unassigned');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a file with a field that stands twice is not opened', async () => {
    const text = JSON.stringify(invented(6, 3)).replace('"days":', '"days":3,"days":');
    const { page, context } = await app.open(text);
    await page.getByText(/was not opened: .*days: days stands twice, in lines 1 and 1/).waitFor();
    await context.close();
  });

  test('another name for a machine or a bath moves nothing', async () => {
    const { page, errors, context } = await app.open(invented(6, 3));
    await planned(page);
    const audit = () => page.getByTestId('audit').textContent();
    for (const [sheet, name] of [
      ['Machines', 'West'],
      ['Baths', '2K low'],
    ] as const) {
      await page.locator('.tabs button', { hasText: sheet }).first().click();
      await type(page, 0, 'id', name);
      await page.getByText('Unmet (before the edit)').waitFor();
      await planned(page);
      await expect.poll(audit, { timeout: 60_000 }).toContain('passed');
      expect(await page.getByTestId('changed').textContent()).toMatch(/^0 of \d+\s*$/);
    }
    expect(errors).toEqual([]);
    await context.close();
  });

  test('typing on ends the search and the proof under way, as often as it happens', async () => {
    const { page, errors, context } = await app.open(invented(40, 7));
    await page.getByTestId('audit').waitFor({ timeout: 110_000 });
    for (let n = 0; n < 6; n++) {
      await type(page, n, 'weight', String(60 + n));
      await page.waitForTimeout(150 * n);
    }
    // Stopped before there is a plan for the last edit, the one from before it would stay.
    await page.getByText('Unmet (before the edit)').waitFor({ state: 'detached', timeout: 60_000 });
    await page.getByRole('button', { name: 'Keep this plan' }).click({ timeout: 60_000 });
    await planned(page);
    expect(await page.getByText('The plan is up to date').count()).toBe(1);
    expect(await page.getByTestId('audit').textContent()).toContain('passed');
    // Only one planner and one solver are left at most, whatever was begun.
    await expect.poll(() => page.workers().length).toBeLessThanOrEqual(2);
    await proven(page).toMatch(/ h|ot proven/);
    expect(errors).toEqual([]);
    await context.close();
  });
});
