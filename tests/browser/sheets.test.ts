import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import {
  answer,
  bagsADay,
  cell,
  clipboard,
  column,
  focused,
  putOnClipboard,
  rowCount,
  text,
} from './grid.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(`sheets in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, () => {
  let app: Tested;
  let opened: Opened;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(() => app?.close());
  const openNew = async (beds = 8) => {
    opened = await app.open(invented(beds, 2));
    return opened.page;
  };
  const shut = async () => {
    expect(opened.errors).toEqual([]);
    await opened.context.close();
  };

  test('typing starts editing, Enter and Tab go on, Esc takes back, F2 edits what was typed', async () => {
    const page = await openNew();
    const before = await bagsADay(page);
    await cell(page, 0, 'weight').click();
    await page.keyboard.type('180 lb');
    await page.keyboard.press('Enter');
    await expect.poll(() => text(page, 0, 'weight')).toBe('81.6466266');
    await expect.poll(() => focused(page)).toBe('1/weight');
    expect(await bagsADay(page)).not.toBe(before);
    await page.keyboard.type('70');
    await page.keyboard.press('Tab');
    await expect.poll(() => text(page, 1, 'weight')).toBe('70');
    await expect.poll(() => focused(page)).toBe('1/dose');
    await page.keyboard.type('99');
    await page.keyboard.press('Escape');
    await expect.poll(() => text(page, 1, 'dose')).toBe('26');
    await cell(page, 0, 'weight').click();
    await page.keyboard.press('F2');
    expect(await page.locator('.cell-editor').inputValue()).toBe('180 lb');
    await page.keyboard.press('Escape');
    await page.keyboard.type('1.2*70');
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => text(page, 0, 'weight')).toBe('84');
    await expect.poll(() => focused(page)).toBe('1/weight');
    // No key is lost however fast they come: between Esc and the next digit lies no turn of the page.
    for (const [first, second] of [
      ['61', '62'],
      ['63', '64'],
      ['65', '66'],
    ] as const) {
      await cell(page, 0, 'weight').click();
      for (const key of ['F2', 'Escape', ...first, 'ArrowDown', ...second, 'Enter'])
        await page.keyboard.press(key);
      await expect.poll(() => text(page, 0, 'weight')).toBe(first);
      await expect.poll(() => text(page, 1, 'weight')).toBe(second);
    }
    await shut();
  });

  test('an emptied cell shows its default and undo takes back one act at a time', async () => {
    const page = await openNew();
    await cell(page, 0, 'hoursPerDay').click();
    await page.keyboard.press('Delete');
    await expect.poll(() => text(page, 0, 'hoursPerDay')).toBe('24');
    await expect.poll(() => cell(page, 0, 'hoursPerDay').getAttribute('class')).toContain('cell-default');
    await page.keyboard.press('Control+z');
    await expect.poll(() => text(page, 0, 'hoursPerDay')).toBe('22');
    await page.keyboard.press('Control+y');
    await expect.poll(() => text(page, 0, 'hoursPerDay')).toBe('24');
    await shut();
  });

  test('blocks go to and come from the real clipboard; rows are added past the end; one undo takes all back', async () => {
    const page = await openNew(3);
    await cell(page, 0, 'weight').click();
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Control+c');
    expect(await clipboard(page)).toBe('55\t25\r\n72\t26');
    await putOnClipboard(page, '61\t21\r\n62\t22\r\n"63"\t23\r\n64\t24\r\n');
    await cell(page, 1, 'weight').click();
    await page.keyboard.press('Control+v');
    await answer(page, /^Change 2 prescriptions$/);
    await expect.poll(() => rowCount(page)).toBe(5);
    expect(await column(page, 'weight', 5)).toEqual(['55', '61', '62', '63', '64']);
    expect(await column(page, 'id', 5)).toEqual(['bed-01', 'bed-02', 'bed-03', 'bed-04', 'bed-05']);
    await page.keyboard.press('Control+z');
    await expect.poll(() => rowCount(page)).toBe(3);
    expect(await column(page, 'weight', 3)).toEqual(['55', '72', '89']);
    await shut();
  });

  test('keys in the turn in which the focus moved go to the cell it moved to', async () => {
    const page = await openNew(3);
    // No turn of the page between these keys, as on a busy computer: the grid tells of its focus only after them.
    const atOnce = (...keys: [key: string, shiftKey: boolean][]) =>
      page.evaluate((pressed) => {
        for (const [key, shiftKey] of pressed)
          document.activeElement!.dispatchEvent(
            new KeyboardEvent('keydown', { key, shiftKey, bubbles: true }),
          );
      }, keys);
    await cell(page, 0, 'weight').click();
    await atOnce(['ArrowDown', false], ['ArrowDown', true], ['ArrowRight', true]);
    await page.keyboard.press('Control+c');
    expect(await clipboard(page)).toBe('72\t26\r\n89\t27');
    await cell(page, 0, 'hoursPerDay').click();
    await atOnce(['ArrowDown', false], ['Delete', false]);
    await expect.poll(() => column(page, 'hoursPerDay', 3)).toEqual(['22', '24', '22']);
    await shut();
  });

  test('the mouse selects a block, one copied cell fills it, Ctrl+D fills down', async () => {
    const page = await openNew();
    await cell(page, 0, 'dose').hover();
    await page.mouse.down();
    await cell(page, 3, 'dose').hover();
    await page.mouse.up();
    await putOnClipboard(page, '30');
    await page.keyboard.press('Control+v');
    await answer(page, /^Change 4 prescriptions$/);
    await expect.poll(() => column(page, 'dose', 5)).toEqual(['30', '30', '30', '30', '29']);
    await cell(page, 4, 'weight').click();
    await page.keyboard.type('90');
    await page.keyboard.press('Enter');
    await cell(page, 4, 'weight').click();
    await cell(page, 7, 'weight').click({ modifiers: ['Shift'] });
    await page.keyboard.press('Control+d');
    await answer(page, /^Change 3 prescriptions$/);
    await expect
      .poll(async () => (await column(page, 'weight', 8)).slice(4))
      .toEqual(['90', '90', '90', '90']);
    await shut();
  });

  test('under a sort a paste goes to the rows on screen', async () => {
    const page = await openNew();
    await page.locator('.ag-header-cell[col-id="weight"]').click();
    const order = await column(page, 'id', 8);
    expect((await column(page, 'weight', 8)).map(Number)).toEqual(
      (await column(page, 'weight', 8)).map(Number).sort((a, b) => a - b),
    );
    await cell(page, 0, 'dose').click();
    await putOnClipboard(page, '28\r\n27');
    await page.keyboard.press('Control+v');
    await answer(page, /^Change 2 prescriptions$/);
    expect(await column(page, 'id', 8)).toEqual(order);
    await expect.poll(async () => (await column(page, 'dose', 8)).slice(0, 2)).toEqual(['28', '27']);
    await page.keyboard.press('Control+s');
    await expect.poll(() => opened.saved.has('test.json')).toBe(true);
    const saved = JSON.parse(opened.saved.get('test.json')!.toString()) as ReturnType<typeof invented>;
    const doseOf = (id: string | undefined) => saved.patients.find((row) => row.id === id)?.dose;
    expect([doseOf(order[0]), doseOf(order[1])]).toEqual([28, 27]);
    await shut();
  });

  test('a filter hides rows, and a fill down leaves those alone', async () => {
    const page = await openNew();
    await page.getByRole('button', { name: 'Filter', exact: true }).click();
    await page.getByRole('textbox', { name: 'Bath filter' }).fill('2K');
    await expect.poll(() => rowCount(page)).toBeLessThan(8);
    const shown = await rowCount(page);
    await cell(page, 0, 'weight').click();
    await page.keyboard.type('66');
    await page.keyboard.press('Enter');
    await cell(page, 0, 'weight').click();
    await cell(page, shown - 1, 'weight').click({ modifiers: ['Shift'] });
    await page.keyboard.press('Control+d');
    await answer(page, /^Change \d prescriptions?$/);
    await page.getByRole('textbox', { name: 'Bath filter' }).fill('');
    await expect.poll(() => rowCount(page)).toBe(8);
    const weights = await column(page, 'weight', 8);
    const baths = await column(page, 'bath', 8);
    weights.forEach((weight, row) => {
      if (baths[row] === '2K') expect(weight).toBe('66');
      else expect(weight).not.toBe('66');
    });
    await shut();
  });

  test('find goes from hit to hit', async () => {
    const page = await openNew();
    await cell(page, 0, 'id').click();
    await page.keyboard.press('Control+f');
    await page.keyboard.type('bed-0');
    await expect.poll(() => page.locator('.find [role=status]').textContent()).toBe('1 of 8');
    await page.keyboard.press('Enter');
    expect(await page.locator('.find [role=status]').textContent()).toBe('2 of 8');
    await page.keyboard.press('Shift+Enter');
    await page.keyboard.press('Shift+Enter');
    expect(await page.locator('.find [role=status]').textContent()).toBe('8 of 8');
    await page.keyboard.press('Escape');
    await expect.poll(() => page.locator('.find').count()).toBe(0);
    await shut();
  });

  test('rows by keyboard: new below, duplicate, delete', async () => {
    const page = await openNew(3);
    await cell(page, 0, 'id').click();
    await page.keyboard.press('Control+Enter');
    await expect.poll(() => focused(page)).toBe('1/id');
    expect(await column(page, 'id', 4)).toEqual(['bed-01', 'bed-04', 'bed-02', 'bed-03']);
    await page.keyboard.press('Control+Delete');
    await expect.poll(() => column(page, 'id', 3)).toEqual(['bed-01', 'bed-02', 'bed-03']);
    await cell(page, 2, 'id').click();
    await page.keyboard.press('Control+Shift+D');
    await expect.poll(() => column(page, 'id', 4)).toEqual(['bed-01', 'bed-02', 'bed-03', 'bed-04']);
    await shut();
  });

  test('what cannot be read is marked with what was expected, listed, and led to; the plan waits for it', async () => {
    const page = await openNew();
    await cell(page, 2, 'weight').click();
    await page.keyboard.type('5 L');
    await page.keyboard.press('Enter');
    await expect.poll(() => cell(page, 2, 'weight').getAttribute('class')).toContain('cell-error');
    expect(await cell(page, 2, 'weight').textContent()).toContain('expected kg, not L');
    expect(await page.getByTestId('need').textContent()).toContain('unknown');
    await page.getByRole('button', { name: 'Machines', exact: false }).first().click();
    await page.getByRole('button', { name: /^✕ 1 error/ }).click();
    await page.locator('.faults button').first().click();
    await expect.poll(() => focused(page)).toBe('2/weight');
    await page.keyboard.type('85');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.getByTestId('bags-a-day').count()).toBe(1);
    await shut();
  });

  test('a new scenario begins today at 07:00 where this computer is, and is saved under a name without a dangling dash', async () => {
    opened = await app.open({ ...invented(2, 1), title: 'Two beds (invented)' });
    const { page, context, saved } = opened;
    const menu = async (item: RegExp) => {
      await page.getByRole('button', { name: 'File ▾' }).click();
      await page.getByRole('menuitem', { name: item }).click();
    };
    await menu(/^Save as/);
    await expect.poll(() => [...saved.keys()]).toEqual(['two-beds-invented.json']);
    // Far from UTC, so that its date is not taken for this one's.
    const zone = 'Pacific/Kiritimati';
    const session = await context.newCDPSession(page);
    await session.send('Emulation.setTimezoneOverride', { timezoneId: zone });
    const today = () => new Date().toLocaleDateString('sv-SE', { timeZone: zone });
    const before = today();
    await menu(/^New scenario/);
    await menu(/^Save as/);
    await expect.poll(() => saved.has('new-scenario.json')).toBe(true);
    const made = JSON.parse(saved.get('new-scenario.json')!.toString());
    expect(made.timeZone).toBe(zone);
    expect([`${before}T07:00`, `${today()}T07:00`]).toContain(made.start);
    await shut();
  });

  test('a faulty file is opened with as many errors and warnings in the notice as in the list, and marked at once', async () => {
    const scenario = invented(8, 2);
    // Bags as large as a fill: others are warned of.
    for (const lot of scenario.stock!) lot.litres = 6.5;
    Object.assign(scenario.patients[0]!, { dose: '25 mL' });
    Object.assign(scenario.patients[1]!, { weight: -70 });
    Object.assign(scenario.patients[2]!, { bath: '9K' });
    Object.assign(scenario.patients[3]!, { dose: 45, fluidRemovel: 500 });
    opened = await app.open(scenario);
    const { page } = opened;
    await page.getByText('test.json has 3 errors to correct before planning, and 3 warnings.').waitFor();
    // The third warning: bags that last 120 h, the default.
    await page.getByRole('button', { name: '✕ 3 errors, ! 3 warnings' }).click();
    await page.getByRole('button', { name: /fluidRemovel .*Expected: fluidRemoval$/ }).waitFor();
    expect(await page.locator('.faults li').filter({ hasText: 'Error' }).count()).toBe(3);
    await page.getByText('all 3', { exact: true }).click();
    const lines = await page.locator('.notice li').allTextContents();
    expect(lines.map((line) => line.split(': ').slice(0, 2).join(': ')).sort()).toEqual([
      'test.json: patients[0] (bed-01).dose',
      'test.json: patients[1] (bed-02).weight',
      'test.json: patients[2] (bed-03).bath',
    ]);
    await shut();
  });

  test('the frozen column stays, and widths are remembered', async () => {
    const page = await openNew();
    const edge = page.locator('.ag-header-cell[col-id="weight"] .ag-header-cell-resize');
    const box = (await edge.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + 10);
    await page.mouse.down();
    await page.mouse.move(box.x + 63, box.y + 10, { steps: 4 });
    await page.mouse.up();
    const width = async () => (await page.locator('.ag-header-cell[col-id="weight"]').boundingBox())!.width;
    const wide = await width();
    expect(wide).toBeGreaterThan(140);
    await page.reload();
    await page.getByRole('button', { name: /^Patients/ }).click();
    await cell(page, 0, 'weight').waitFor();
    expect(Math.abs((await width()) - wide)).toBeLessThan(2);
    const left = async () => (await cell(page, 0, 'id').boundingBox())!.x;
    const before = await left();
    await cell(page, 0, 'weight').click();
    await page.keyboard.press('End');
    await expect
      .poll(() =>
        cell(page, 0, 'weight')
          .isVisible()
          .then(async (on) => on && (await cell(page, 0, 'weight').boundingBox())!.x > before),
      )
      .toBe(false);
    expect(await left()).toBe(before);
    await shut();
  });
});
