import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { startApp, type Tested } from './app.ts';
import { scenarioOf } from './grid.ts';
import { invented } from './scenario.ts';

describe.skipIf(!chromiumPath)(
  `a table is taken in, in Chromium${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`,
  { timeout: 300_000 },
  () => {
    let app: Tested;
    beforeAll(async () => {
      app = await startApp();
    });
    afterAll(() => app?.close());

    test('title, synonyms, decimal commas, names, a total and a note: all is said before it counts', async () => {
      const opened = await app.open({ ...invented(0, 1), patients: [] });
      const { page } = opened;
      await page.getByRole('button', { name: 'File ▾' }).click();
      await page.getByRole('menuitem', { name: /^Import rows/ }).click();
      const lines = [
        'CKRT Nord;;;;;',
        'Wt (kg);Name;Room;Effluent;K bath;Net UF (mL/h)',
        '82,5;Doe;A;27,5;2K;100',
        '70;Roe;B;25;4К;0',
        'Total;;;;;100',
        '* as of Sunday;;;;;',
      ];
      await page
        .getByLabel('File, CSV or XLSX')
        .setInputFiles({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from(lines.join('\r\n')) });
      const dialog = page.getByRole('dialog', { name: 'Import rows' });
      await dialog.getByText('Left out: Name (2 values).').waitFor();
      await dialog
        .getByText("Passed over: title 'CKRT Nord', total 'Total 100' and note '* as of Sunday'.")
        .waitFor();
      expect(await dialog.getByRole('status').textContent()).toContain('2 rows are new');
      await dialog.getByRole('button', { name: 'Import', exact: true }).click();
      await dialog.waitFor({ state: 'detached' });
      expect((await scenarioOf(opened)).patients).toEqual([
        { id: 'A', weight: 82.5, dose: 27.5, bath: '2K', fluidRemoval: 100 },
        { id: 'B', weight: 70, dose: 25, bath: '4K', fluidRemoval: 0 },
      ]);
      expect(opened.errors).toEqual([]);
      await opened.context.close();
    });
  },
);
