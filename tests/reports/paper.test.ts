import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bagLabels, contentsText, labelCode, readLabelCode } from '../../src/reports/labels.ts';
import { runSheet, shiftAt } from '../../src/reports/runSheet.ts';
import { stockBoard, wholeBags } from '../../src/reports/stockBoard.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Bath } from '../../src/scenario/schema.ts';
import { paginate, spareOf } from '../../src/views/print/paginate.ts';
import { known, twoDays } from '../grid/known.ts';
import { batch, bathChange, circuit, tinyWorld, test as waterTest } from '../world.ts';

describe('run sheet', () => {
  const shifts = [
    { id: 'early', from: '00:00', to: '08:00', technicians: 1 },
    { id: 'late', from: '08:00', to: '00:00', technicians: 1 },
  ];
  const problem = compile(tinyWorld({ shifts }));
  // The fill from 07:30 ends at 08:35, in the late shift.
  const plan = [
    circuit(0),
    ...batch(30),
    waterTest(200),
    bathChange(420),
    ...batch(450, '4K'),
    ...batch(600, '4K'),
  ];

  test('a fill and its swap are one line, with the window in which to come', () => {
    const sheet = runSheet(problem, plan, shiftAt(problem, 0)!);
    expect(sheet.shift.shift).toBe('early');
    const [machine, water] = sheet.places;
    expect(machine!.rows.map(({ kind, start }) => [kind, start])).toEqual([
      ['circuit', 0],
      ['fill', 30],
      ['bath', 420],
      ['fill', 450],
    ]);
    expect(machine!.rows[1]!.window).toEqual({ from: 95, to: 105 });
    expect(water!.rows.map(({ start }) => start)).toEqual([200]);
    // circuit 30 + swap 8 + test 10 + bath change 10
    expect(sheet.handsOnMinutes).toBe(58);
  });

  test('a fill over the change of shift stands on both sheets, marked on each', () => {
    const early = runSheet(problem, plan, shiftAt(problem, 0)!).places[0]!.rows.at(-1)!;
    const late = runSheet(problem, plan, shiftAt(problem, 480)!);
    expect([early.start, early.carriedOver, early.handedOn]).toEqual([450, false, true]);
    const first = late.places[0]!.rows[0]!;
    expect([first.start, first.carriedOver, first.handedOn]).toEqual([450, true, false]);
    expect(late.places[0]!.loaded).toEqual({ bath: '4K', circuitSince: 0 });
  });

  test('work under way at the change of shift stands on both sheets', () => {
    // Circuit 07:50 to 08:20; a swap 07:55 to 08:03.
    const over = [circuit(470), waterTest(475)];
    const late = runSheet(problem, over, shiftAt(problem, 480)!);
    expect(late.places.flatMap(({ rows }) => rows.map((row) => [row.kind, row.carriedOver]))).toEqual([
      ['circuit', true],
      ['test', true],
    ]);
    expect(late.handsOnMinutes).toBe(0);
    expect(runSheet(problem, over, shiftAt(problem, 0)!).places[0]!.rows[0]!.handedOn).toBe(true);
    const swapped = [circuit(0), ...batch(410)];
    const row = runSheet(problem, swapped, shiftAt(problem, 480)!).places[0]!.rows[0]!;
    expect([row.carriedOver, row.handedOn, row.swap!.start]).toEqual([true, false, 475]);
  });

  test('every activity of a plan stands on some sheet', () => {
    const { problem: two, activities } = known(
      twoDays({
        shifts: twoDays().shifts.concat({ id: 'night', from: '19:00', to: '07:00', technicians: 1 }),
      }),
    );
    const seen = new Set(
      two.shifts.flatMap((shift) =>
        runSheet(two, activities, shift).places.flatMap(({ rows }) => rows.map(({ index }) => index)),
      ),
    );
    activities.forEach(({ kind }, index) => {
      if (kind !== 'swap') expect(seen).toContain(index);
    });
  });
});

describe('labels', () => {
  const problem = compile(tinyWorld({ timeZone: 'America/Chicago', baths: [{ id: '2K/HCO₃ 32' }] }));
  const plan = [circuit(0, '2K/HCO₃ 32'), ...batch(30, '2K/HCO₃ 32')];

  test('one a bag, for fills that end in the time', () => {
    expect(bagLabels(problem, plan, 0, 95, [])).toEqual([]);
    const labels = bagLabels(problem, plan, 95, 96, [{ id: '2K/HCO₃ 32', potassium: 2 }]);
    expect(labels.map(({ number, of }) => `${number}/${of}`)).toEqual([
      '1/8',
      '2/8',
      '3/8',
      '4/8',
      '5/8',
      '6/8',
      '7/8',
      '8/8',
    ]);
    expect(new Set(labels.map(({ code }) => code)).size).toBe(8);
    expect(new Set(labels.map(({ contents }) => contents))).toEqual(new Set(['K\u00a02\u00a0mmol/L']));
    expect(bagLabels(problem, plan, 95, 96, [])[0]!.contents).toBe('');
    // Made 01:35 in Chicago in winter, UTC-6; good for the default of 120 h.
    expect(labels[2]!.code).toBe('BT1/2K%2FHCO%E2%82%83%2032/M1/20310203T0735Z/20310208T0735Z/3-8');
  });

  test('contentsText: what is typed, with units; nothing of what is not; no glucose stated that is likely in mg/dL', () => {
    // A number stays on the line of its name and unit.
    const plain = (bath: Bath) => contentsText(bath).replaceAll('\u00a0', ' ');
    // As published, GPnotebook, "Composition of dialysate fluid"; calcium and magnesium in mEq/L.
    const published = {
      potassium: 1,
      sodium: 140,
      calcium: 2.5,
      magnesium: 1,
      chloride: 107.5,
      bicarbonate: 34,
      glucose: 5.5,
    };
    expect(plain({ id: '1K', ...published })).toBe(
      // Ca 2.5 mEq/L is 1.25 mmol/L as published there; 5.5 mmol/L of glucose / 0.05551 = 99 mg/dL.
      'K 1, Na 140, Cl 107.5, HCO₃ 34 mmol/L; Ca 2.5 mEq/L (1.25 mmol/L), Mg 1 mEq/L (0.5 mmol/L), glucose 5.5 mmol/L (99 mg/dL)',
    );
    expect(plain({ id: '0K', potassium: 0, acetate: null, magnesium: 0.75 })).toBe(
      'K 0 mmol/L; Mg 0.75 mEq/L (0.375 mmol/L)',
    );
    expect(contentsText({ id: '2K', glucose: 100 })).toBe('glucose 100 (unit in doubt)');
    expect(contentsText({ id: '2K' })).toBe('');
  });

  test('a code says again what went in, whatever the names', () => {
    const name = fc.string({ minLength: 1, maxLength: 30, unit: 'grapheme' });
    fc.assert(
      fc.property(name, name, fc.integer({ min: 1, max: 40 }), (bath, machine, number) => {
        const label = { bath, machine, made: 95, expires: 7295, litres: 6.5, number, of: 40 };
        const code = labelCode(problem, label);
        expect(code).toMatch(/^[ -~]+$/);
        expect(readLabelCode(code)).toEqual({
          bath,
          machine,
          made: '20310203T0735Z',
          expires: '20310208T0735Z',
          number,
          of: 40,
        });
      }),
    );
    expect(() => readLabelCode('BT1/2K/M1')).toThrow("not a bag label's code: 'BT1/2K/M1'");
  });
});

describe('stock board', () => {
  test('what lies there at the start is what the file says, promised and free together', () => {
    const { problem, covered } = known(twoDays());
    const [first, second] = stockBoard(problem, covered, 0);
    expect(first!.rows.map(({ lot, bags, litres }) => [lot, bags, litres])).toEqual([['S-1', 30, 5]]);
    expect(first!.litres).toBeCloseTo(150, 9);
    expect(second!.rows[0]!.expires).toBe(Number.POSITIVE_INFINITY);
  });

  test('wholeBags: each round the whole bags it opens, and all of them together the lot', () => {
    // Bags of 5 L: 162.5 L are 32.5 bags, 33 to carry; of 37.5 L for the next round 2.5 L are with those.
    expect(wholeBags([162.5, 37.5], 5)).toEqual([33, 7]);
    expect(wholeBags([2, 2, 2], 5)).toEqual([1, 0, 1]);
    expect(wholeBags([], 5)).toEqual([]);
    const some = fc.array(fc.integer({ min: 1, max: 400 }), { maxLength: 8 });
    fc.assert(
      fc.property(some, fc.integer({ min: 1, max: 60 }), (parts, bagParts) => {
        const sum = parts.reduce((all, one) => all + one, 0);
        expect(wholeBags(parts, bagParts).reduce((all, one) => all + one, 0)).toBe(Math.ceil(sum / bagParts));
      }),
    );
  });

  test('whole bags on every line, those promised and those free as many as lie there, at any time', () => {
    const { problem, covered } = known(twoDays());
    let split = 0;
    for (let minute = 0; minute < problem.horizon; minute += 180)
      for (const { bags, rows } of stockBoard(problem, covered, minute)) {
        for (const row of rows) {
          const counts = [row.bags, row.free, ...row.promised.map((one) => one.bags)];
          expect(counts.every(Number.isInteger), row.lot).toBe(true);
          expect(row.promised.reduce((sum, one) => sum + one.bags, row.free)).toBe(row.bags);
          if (row.promised.length > 0) split += 1;
        }
        expect(rows.reduce((sum, row) => sum + row.bags, 0)).toBe(bags);
      }
    expect(split).toBeGreaterThan(5);
  });

  test('gone once expired or sent', () => {
    const { problem, covered } = known(twoDays());
    // S-1 expires at 21:00, 840 min from the start.
    expect(stockBoard(problem, covered, 839)[0]!.rows.some(({ lot }) => lot === 'S-1')).toBe(true);
    expect(stockBoard(problem, covered, 840)[0]!.rows.some(({ lot }) => lot === 'S-1')).toBe(false);
  });
});

describe('pages', () => {
  const unit = fc.record({
    height: fc.integer({ min: 1, max: 40 }),
    table: fc.option(fc.constantFrom('a', 'b'), { nil: undefined }),
    head: fc.constant(10),
    keepNext: fc.boolean(),
    newPage: fc.boolean(),
  });
  const full = (
    page: readonly number[],
    units: readonly { height: number; table?: string | undefined }[],
  ) => {
    let table: string | undefined;
    return page.reduce((sum, index) => {
      const { height, table: mine } = units[index]!;
      const head = mine !== undefined && mine !== table ? 10 : 0;
      table = mine;
      return sum + height + head;
    }, 0);
  };

  test('hold everything once, in order, and never more than fits', () => {
    fc.assert(
      fc.property(fc.array(unit, { maxLength: 60 }), (units) => {
        const pages = paginate(units, 100);
        expect(pages.flat()).toEqual(units.map((_, index) => index));
        for (const page of pages) expect(full(page, units)).toBeLessThanOrEqual(100);
        if (units.length) for (const page of pages) expect(page.length).toBeGreaterThan(0);
        const spare = spareOf(units, pages, 100);
        const last = units.at(-1);
        if (last) {
          expect(full(pages.at(-1)!, units) + spare * last.height).toBeLessThanOrEqual(100);
          expect(full(pages.at(-1)!, units) + (spare + 1) * last.height).toBeGreaterThan(100);
        }
      }),
    );
  });

  test('a heading goes with the first row below it, and a table repeats its head', () => {
    const row = { height: 30, table: 'a', head: 10 };
    // 60 + 20 would fit, but not with the row (30) and the head (10) of its table.
    expect(paginate([{ height: 60 }, { height: 20, keepNext: true }, row, row], 100)).toEqual([
      [0],
      [1, 2, 3],
    ]);
    // 10 + 3 x 30 = 100 on a page, then the head again.
    expect(
      paginate(
        Array.from({ length: 7 }, () => row),
        100,
      ),
    ).toEqual([[0, 1, 2], [3, 4, 5], [6]]);
    expect(paginate([{ height: 5 }, { height: 5, newPage: true }], 100)).toEqual([[0], [1]]);
    expect(paginate([], 100)).toEqual([[]]);
  });
});
