import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Scenario } from '../../src/scenario/schema.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { type Opened, startApp, type Tested } from './app.ts';
import {
  answer,
  cell,
  clipboard,
  column,
  focused,
  openSheet,
  putOnClipboard,
  rowCount,
  scenarioOf,
  text,
  typeAcross,
} from './grid.ts';
import { invented } from './scenario.ts';

const AT = '2031-02-04T08:00';
/** Beds 2 and 5 have changes, machine 1 hours, circuits a delivery. */
const withLists = (): Scenario => {
  const scenario = invented(12, 2);
  scenario.patients[1]!.changes = [
    { at: AT, dose: 21 },
    { at: '2031-02-04T12:00', dose: 22 },
  ];
  scenario.patients[4]!.changes = [{ at: AT, dose: 28 }];
  scenario.machines[0]!.available = [{ from: '2031-02-03T07:00', to: '2031-02-05T07:00' }];
  scenario.supplies = [
    { item: 'bag set', onHand: 900, perFill: 1, deliveries: [{ at: AT, quantity: 5 }] },
    { item: 'circuit', onHand: 60, perCircuit: 1, deliveries: [{ at: AT, quantity: 5 }] },
  ];
  return scenario;
};

describe.skipIf(!chromiumPath)(
  `the cursor stays in its row${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  () => {
    let app: Tested;
    let opened: Opened;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());
    const open = async (scenario: Scenario = withLists()) => {
      opened = await app.open(scenario);
      await cell(opened.page, 0, 'id').waitFor();
      return opened.page;
    };
    const shut = async () => {
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    };

    test('a new change is nobody’s and empty until it is said, and what is typed goes into it alone', async () => {
      const page = await open();
      await openSheet(page, 'Changes');
      await cell(page, 0, 'dose').click();
      await page.getByRole('button', { name: 'Add change' }).click();
      await expect.poll(() => focused(page)).toBe('3/owner');
      expect([await text(page, 3, 'owner'), await text(page, 3, 'at')]).toEqual(['', '']);
      for (const missing of ['owner', 'at'])
        await expect.poll(() => cell(page, 3, missing).getAttribute('class')).toContain('cell-error');
      await typeAcross(page, 'bed-02', '2031-02-04 16:00', '3K', '30');
      await expect.poll(() => focused(page)).toBe('3/weight');
      await expect.poll(() => text(page, 3, 'dose')).toBe('30');
      const before = withLists();
      before.patients[1]!.changes!.push({ at: '2031-02-04T16:00', bath: '3K', dose: 30 });
      expect(await scenarioOf(opened)).toEqual(before);
      // Shown again, rows stand with those of their bed.
      await openSheet(page, 'Patients');
      await openSheet(page, 'Changes');
      await expect.poll(() => column(page, 'owner', 4)).toEqual(['bed-02', 'bed-02', 'bed-02', 'bed-05']);
      await shut();
    });

    test('the owner of a row is typed anew: the rest goes on in that row', async () => {
      const page = await open();
      await openSheet(page, 'Changes');
      await cell(page, 0, 'owner').click();
      await typeAcross(page, 'bed-09', '2031-02-05 06:00');
      await page.keyboard.type('4K');
      await page.keyboard.press('ArrowRight');
      await page.keyboard.type('27');
      await page.keyboard.press('Enter');
      await expect.poll(() => text(page, 0, 'dose')).toBe('27');
      const before = withLists();
      before.patients[1]!.changes = [before.patients[1]!.changes![1]!];
      before.patients[8]!.changes = [{ at: '2031-02-05T06:00', dose: 27, bath: '4K' }];
      expect(await scenarioOf(opened)).toEqual(before);
      await shut();
    });

    test('a bed that is none is kept as typed and marked; the row is not planned for anyone', async () => {
      const page = await open();
      await openSheet(page, 'Changes');
      await page.getByRole('button', { name: 'Add change' }).click();
      await expect.poll(() => focused(page)).toBe('3/owner');
      await typeAcross(page, 'bed2', '2031-02-04 16:00', '3K', '30');
      await expect.poll(() => text(page, 3, 'dose')).toBe('30');
      await expect.poll(() => cell(page, 3, 'owner').getAttribute('class')).toContain('cell-error');
      const { patients, unassigned } = await scenarioOf(opened);
      expect(patients).toEqual(withLists().patients);
      expect(unassigned).toEqual({
        changes: [{ owner: 'bed2', at: '2031-02-04T16:00', bath: '3K', dose: 30 }],
      });
      await shut();
    });

    test('machine hours and supply deliveries: the same', async () => {
      const page = await open();
      await openSheet(page, 'Machine availability');
      await page.getByRole('button', { name: 'Add window' }).click();
      await expect.poll(() => focused(page)).toBe('1/owner');
      await typeAcross(page, 'M2', '2031-02-03 08:00', '2031-02-04 08:00');
      await expect.poll(() => text(page, 1, 'to')).toBe('2031-02-04 08:00');
      await openSheet(page, 'Supply deliveries');
      await page.getByRole('button', { name: 'Add delivery' }).click();
      await expect.poll(() => focused(page)).toBe('2/owner');
      await typeAcross(page, 'bag set', '2031-02-04 09:00', '7');
      await expect.poll(() => text(page, 2, 'quantity')).toBe('7');
      const before = withLists();
      before.machines[1]!.available = [{ from: '2031-02-03T08:00', to: '2031-02-04T08:00' }];
      before.supplies![0]!.deliveries!.push({ at: '2031-02-04T09:00', quantity: 7 });
      expect(await scenarioOf(opened)).toEqual(before);
      await shut();
    });

    test('keys faster than the page: an owner and the next cell in one turn', async () => {
      const page = await open();
      await openSheet(page, 'Changes');
      await cell(page, 0, 'owner').click();
      // No turn of the page between these keys: the grid tells of both edits at once, and the first one moves the row.
      await page.evaluate(async () => {
        const press = (key: string) =>
          document.activeElement!.dispatchEvent(
            new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }),
          );
        const fill = async (text: string) => {
          press('F2');
          for (let n = 0; n < 1000 && !(document.activeElement instanceof HTMLInputElement); n++) await null;
          document.execCommand('selectAll');
          document.execCommand('insertText', false, text);
          press('Tab');
        };
        await fill('bed-09');
        await fill('2031-02-05 06:00');
      });
      await expect.poll(() => text(page, 0, 'at')).toBe('2031-02-05 06:00');
      const { patients } = await scenarioOf(opened);
      expect(patients[8]!.changes).toEqual([{ at: '2031-02-05T06:00', dose: 21 }]);
      expect(patients[1]!.changes).toEqual([{ at: '2031-02-04T12:00', dose: 22 }]);
      await shut();
    });

    test('a block with beds pasted over changes stays where it was pasted, and so does the range', async () => {
      const page = await open();
      await openSheet(page, 'Changes');
      await cell(page, 1, 'owner').click();
      await putOnClipboard(
        page,
        'bed-11\t2031-02-05 01:00\r\nbed-03\t2031-02-05 02:00\r\nbed-01\t2031-02-05 03:00',
      );
      await page.keyboard.press('Control+v');
      await answer(page, /^Change \d prescriptions$/);
      await expect.poll(() => column(page, 'owner', 4)).toEqual(['bed-02', 'bed-11', 'bed-03', 'bed-01']);
      await page.keyboard.press('Control+c');
      expect(await clipboard(page)).toBe(
        'bed-11\t2031-02-05 01:00\r\nbed-03\t2031-02-05 02:00\r\nbed-01\t2031-02-05 03:00',
      );
      const { patients } = await scenarioOf(opened);
      expect(patients[10]!.changes).toEqual([{ at: '2031-02-05T01:00', dose: 22 }]);
      expect(patients[2]!.changes).toEqual([{ at: '2031-02-05T02:00', dose: 28 }]);
      expect(patients[0]!.changes).toEqual([{ at: '2031-02-05T03:00' }]);
      await shut();
    });

    test('rows come and go above the cursor: it stays in its row', async () => {
      const page = await open();
      await cell(page, 0, 'id').click();
      await page.keyboard.press('Control+Shift+D');
      await expect.poll(() => column(page, 'id', 3)).toEqual(['bed-01', 'bed-13', 'bed-02']);
      await cell(page, 2, 'weight').click();
      await page.keyboard.press('Control+z');
      await expect.poll(() => focused(page)).toBe('1/weight');
      await typeAcross(page, '71', '24');
      await expect.poll(() => text(page, 1, 'dose')).toBe('24');
      expect((await scenarioOf(opened)).patients[1]).toMatchObject({ id: 'bed-02', weight: 71, dose: 24 });
      await shut();
    });

    test('sorted: a row stays where it is while one types in it, until one sorts again', async () => {
      const page = await open(invented(12, 2));
      const weight = page.locator('.ag-header-cell[col-id="weight"]');
      await weight.click();
      const order = await column(page, 'id', 12);
      expect(await text(page, 0, 'weight')).toBe('55');
      await cell(page, 0, 'weight').click();
      await typeAcross(page, '120', '23');
      await expect.poll(() => focused(page)).toBe('0/bath');
      await expect.poll(() => text(page, 0, 'dose')).toBe('23');
      expect(await column(page, 'id', 12)).toEqual(order);
      // A new row stands below the one it was asked for, not where its empty weight belongs.
      await cell(page, 3, 'id').click();
      await page.keyboard.press('Control+Enter');
      await expect.poll(() => focused(page)).toBe('4/id');
      expect(await column(page, 'id', 13)).toEqual(order.toSpliced(4, 0, await text(page, 4, 'id')));
      await page.keyboard.press('Control+Delete');
      await expect.poll(() => column(page, 'id', 12)).toEqual(order);
      expect((await scenarioOf(opened)).patients[0]).toMatchObject({ id: 'bed-01', weight: 120, dose: 23 });
      await weight.click();
      await expect.poll(() => text(page, 0, 'id')).toBe('bed-01');
      await weight.click();
      await weight.click();
      await expect.poll(() => text(page, 11, 'id')).toBe('bed-01');
      await shut();
    });

    test('filtered: a row stays on screen while one types in it, until one filters again', async () => {
      const page = await open(invented(12, 2));
      await page.getByRole('button', { name: 'Filter', exact: true }).click();
      const filter = page.getByRole('textbox', { name: 'Bath filter' });
      await filter.fill('3K');
      await expect.poll(() => column(page, 'id', 4)).toEqual(['bed-03', 'bed-06', 'bed-09', 'bed-12']);
      await cell(page, 1, 'bath').click();
      await typeAcross(page, '4K', '150');
      await expect.poll(() => text(page, 1, 'fluidRemoval')).toBe('150');
      expect(await column(page, 'id', 4)).toEqual(['bed-03', 'bed-06', 'bed-09', 'bed-12']);
      // A new row is there to be typed in, though nothing in it matches yet.
      await page.keyboard.press('Control+Enter');
      await expect.poll(() => focused(page)).toBe('2/id');
      await expect.poll(() => rowCount(page)).toBe(5);
      await page.keyboard.press('Control+z');
      await expect.poll(() => rowCount(page)).toBe(4);
      const { patients } = await scenarioOf(opened);
      expect(patients[5]).toMatchObject({ id: 'bed-06', bath: '4K', fluidRemoval: 150 });
      expect(patients.filter(({ fluidRemoval }) => fluidRemoval != null)).toHaveLength(1);
      await filter.fill('');
      await expect.poll(() => rowCount(page)).toBe(12);
      await filter.fill('3K');
      await expect.poll(() => rowCount(page)).toBe(3);
      expect(await column(page, 'id', 3)).toEqual(['bed-03', 'bed-09', 'bed-12']);
      await shut();
    });
  },
);
