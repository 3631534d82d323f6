import { strToU8, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { asTexts, fromCsv } from '../../src/grid/csv.ts';
import { leftOutOf } from '../../src/grid/headings.ts';
import { previewImport } from '../../src/grid/import.ts';
import { passedText, tableIn } from '../../src/grid/messy.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { fromXlsx } from '../../src/reports/workbook.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

const base = (): Scenario => ({
  format: 'bathtide-scenario',
  version: 1,
  title: 'Invented',
  timeZone: 'America/Chicago',
  start: '2031-02-03T07:00',
  days: 3,
  baths: [
    { id: '2K', potassium: 2 },
    { id: '4K', potassium: 4 },
  ],
  patients: [],
  machines: [],
  water: [],
  shifts: [],
});

/** A table as the import dialog takes it in: the scenario after it, what was passed over and left out, what cannot be read. */
function imported(sheetId: string, lines: readonly (readonly string[])[]) {
  const sheet = sheetOf(sheetId);
  const { headings, mapping, rows, passed } = tableIn(sheet, lines);
  const scenario = base();
  const { changes, recipe } = previewImport(sheet, scenario, rows, mapping, 'match');
  recipe(scenario);
  return {
    scenario,
    passed,
    left: leftOutOf(headings, rows, mapping).map(({ heading }) => heading),
    problems: changes.flatMap(({ row, problem }) => (problem === null ? [] : [`${row}: ${problem}`])),
  };
}
const csv = (sheet: string, ...lines: string[]) => imported(sheet, fromCsv(lines.join('\r\n')));
const KG = 0.45359237; // a pound: NIST Special Publication 811, appendix B.8

describe('tables as people keep them, each outcome by hand', () => {
  test('1: a title over merged cells, a date below it, headings out of order with synonyms', () => {
    const { scenario, passed, left } = csv(
      'patients',
      'CKRT list ICU North,,,,',
      'printed Mon 02/03/2031,,,,',
      ',,,,',
      'K bath,Effluent,Room,Wt,Net UF',
      '2K,25,A,82,100',
      '4K,30,B,70,0',
    );
    expect(scenario.patients).toEqual([
      { id: 'A', weight: 82, dose: 25, bath: '2K', fluidRemoval: 100 },
      { id: 'B', weight: 70, dose: 30, bath: '4K', fluidRemoval: 0 },
    ]);
    expect(passed).toEqual(["title 'CKRT list ICU North'", "title 'printed Mon 02/03/2031'"]);
    expect(left).toEqual([]);
  });

  test('2: units in the cells', () => {
    const { scenario, problems } = csv(
      'patients',
      'Bed,Weight,Dose,Bath,Net UF,h/day',
      'A,180 lb,25 mL/kg/h,2K,0.1 L/h,22 h/day',
      'B,82 kg,30 mL/kg/hr,4K,150 mL/h,24 h',
    );
    expect(problems).toEqual([]);
    expect(scenario.patients).toMatchObject([
      { id: 'A', dose: 25, bath: '2K', fluidRemoval: 100, hoursPerDay: 22 },
      { id: 'B', weight: 82, dose: 30, bath: '4K', fluidRemoval: 150, hoursPerDay: 24 },
    ]);
    expect(scenario.patients[0]!.weight).toBeCloseTo(180 * KG, 9);
  });

  test('3: semicolons with decimal commas', () => {
    const { scenario } = csv(
      'patients',
      'Bed;Weight (kg);Dose;Bath;Net UF',
      'A;82,5;27,5;2K;1.250,5',
      'B;70;25;4K;0',
    );
    expect(scenario.patients).toEqual([
      { id: 'A', weight: 82.5, dose: 27.5, bath: '2K', fluidRemoval: 1250.5 },
      { id: 'B', weight: 70, dose: 25, bath: '4K', fluidRemoval: 0 },
    ]);
  });

  test('4: dates as people write them', () => {
    const { scenario, problems } = csv(
      'patients',
      'Bed,Weight,Dose,Bath,Start,End',
      'A,80,25,2K,2/3/2031 7:00 pm,2031-02-05 07:00',
      'B,80,25,4K,2031-02-04T06:30,',
    );
    expect(problems).toEqual([]);
    expect(scenario.patients).toEqual([
      { id: 'A', weight: 80, dose: 25, bath: '2K', from: '2031-02-03T19:00', until: '2031-02-05T07:00' },
      { id: 'B', weight: 80, dose: 25, bath: '4K', from: '2031-02-04T06:30' },
    ]);
  });

  test('5: blank lines between, and the headings again after a page break', () => {
    const { scenario, passed } = csv(
      'patients',
      'Bed,Weight,Dose,Bath',
      'A,80,25,2K',
      '',
      ',,,',
      'Bed,Weight,Dose,Bath',
      'B,70,25,4K',
      '   ,  ,,',
    );
    expect(scenario.patients.map(({ id }) => id)).toEqual(['A', 'B']);
    expect(passed).toEqual(['repeated headings']);
  });

  test('6: a line of totals is no bed', () => {
    const { scenario, passed } = csv(
      'patients',
      'Bed,Weight,Dose,Bath',
      'A,80,25,2K',
      'B,70,25,4K',
      'Total,150,50,',
      'Average,75,25,',
    );
    expect(scenario.patients.map(({ id }) => id)).toEqual(['A', 'B']);
    expect(passed).toEqual(["total 'Total 150 50'", "total 'Average 75 25'"]);
    expect(passedText(passed)).toBe("Passed over: total 'Total 150 50' and total 'Average 75 25'.");
  });

  test('7: notes below, wherever they stand; a bed with its label alone stays a bed', () => {
    const { scenario, passed } = csv(
      'patients',
      'Bed,Weight,Dose,Bath',
      'A,80,25,2K',
      'bed-07,,,',
      '* weights as of Sunday,,,',
      ',call nephrology before any change,,',
    );
    expect(scenario.patients).toEqual([{ id: 'A', weight: 80, dose: 25, bath: '2K' }, { id: 'bed-07' }]);
    expect(passed).toHaveLength(2);
  });

  test('8: look-alike letters, wide digits, hard blanks and control characters', () => {
    const { scenario, problems } = csv(
      'patients',
      'Bed,Weight,Dose,Bath',
      'A\u00a0,８２,25,2К',
      'B,70\u200b,25,４K',
    );
    expect(problems).toEqual([]);
    expect(scenario.patients).toEqual([
      { id: 'A', weight: 82, dose: 25, bath: '2K' },
      { id: 'B', weight: 70, dose: 25, bath: '4K' },
    ]);
  });

  test('9: what is nobody’s business is left out and said; what cannot be read is marked', () => {
    const { scenario, left, problems } = csv(
      'patients',
      'Name,Bed,Wt (lb),Dx,Effluent,Bath',
      'Doe,A,180,AKI,25,2K',
      'Roe,B,about 70,ESRD,30,4K',
    );
    expect(left).toEqual(['Name', 'Dx']);
    expect(scenario.patients.map(({ id }) => id)).toEqual(['A', 'B']);
    expect(scenario.patients[1]).toMatchObject({ weight: 'about 70', dose: 30, bath: '4K' });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatch(/^B: /);
    expect(JSON.stringify(scenario)).not.toMatch(/Doe|Roe|ESRD/);
  });

  test('10: a workbook with a title, formulas and a total that is computed', async () => {
    const text = (value: string) => `<c t="inlineStr"><is><t>${value}</t></is></c>`;
    const number = (value: number) => `<c><v>${value}</v></c>`;
    const formula = (said: string, value: number) => `<c><f>${said}</f><v>${value}</v></c>`;
    const rows = [
      text('Invented list of beds'),
      text('Bed') + text('Weight (lb)') + text('Dose') + text('Bath'),
      // 176 lb and 10 % of 250: what the program that saved it had computed.
      text('A') + formula('160*1.1', 176) + formula('250/10', 25) + text('2K'),
      text('B') + number(150) + formula('C3+5', 30) + text('4K'),
      text('Total') + formula('SUM(B3:B4)', 326),
    ];
    const sheet = rows
      .map((cells, row) => {
        let column = 0;
        const placed = cells.replaceAll('<c', () => {
          column += 1;
          return `<c r="${'ABCD'[column - 1]}${row + 1}"`;
        });
        return `<row r="${row + 1}">${placed}</row>`;
      })
      .join('');
    const xml = (body: string) => strToU8(`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>${body}`);
    const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
    const office = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
    const packed = 'http://schemas.openxmlformats.org/package/2006';
    const bytes = zipSync({
      '[Content_Types].xml': xml(
        `<Types xmlns="${packed}/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`,
      ),
      '_rels/.rels': xml(
        `<Relationships xmlns="${packed}/relationships"><Relationship Id="r1" Type="${office}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
      ),
      'xl/workbook.xml': xml(
        `<workbook xmlns="${main}" xmlns:r="${office}"><sheets><sheet name="Beds" sheetId="1" r:id="r1"/></sheets></workbook>`,
      ),
      'xl/_rels/workbook.xml.rels': xml(
        `<Relationships xmlns="${packed}/relationships"><Relationship Id="r1" Type="${office}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
      ),
      'xl/worksheets/sheet1.xml': xml(
        `<worksheet xmlns="${main}"><sheetData>${sheet}</sheetData></worksheet>`,
      ),
    });
    const [book] = await fromXlsx(bytes);
    const { scenario, passed } = imported('patients', asTexts(book!.table));
    expect(scenario.patients).toMatchObject([
      { id: 'A', dose: 25, bath: '2K' },
      { id: 'B', dose: 30, bath: '4K' },
    ]);
    expect(scenario.patients[0]!.weight).toBeCloseTo(176 * KG, 9);
    expect(passed).toEqual(["title 'Invented list of beds'", "total 'Total 326'"]);
  });
});
