import { describe, expect, test } from 'vitest';
import { chargeGap, compositionOf, mEqOf } from '../../src/chemistry/ions.ts';
import {
  addBaths,
  bedsInTable,
  machineInWords,
  missingFor,
  shiftsInWords,
  stockInWords,
  TYPICAL_BATHS,
} from '../../src/grid/firstUnit.ts';
import { newScenario } from '../../src/grid/newScenario.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

const empty = () => newScenario('2031-02-03T07:00', 'America/Chicago');
const taking = (scenario: Scenario, recipe: ((draft: Scenario) => void) | null) => {
  const draft = structuredClone(scenario);
  recipe!(draft);
  return draft;
};
const SAID =
  'M1 fills 8 bags at 800 mL/min from RO-A, which gives 2,400 mL/min, tested every 4 h, a test takes 10 min';

describe('typical baths', () => {
  test('are as published', () => {
    // GPnotebook prints mmol/L: Ca 1.25, Mg 0.5, Na 140, K 1, HCO3 34, Cl 107.5, glucose 5.5.
    expect(TYPICAL_BATHS[0]!.bath).toEqual({
      id: '1K',
      potassium: 1,
      sodium: 140,
      calcium: mEqOf('calcium', 1.25),
      magnesium: mEqOf('magnesium', 0.5),
      chloride: 107.5,
      bicarbonate: 34,
      glucose: 5.5,
    });
    // The lines that nobody lists: 3.0 mEq/L of acetate there, 1.8 measured in BMC Nephrol 2023;24, Table 1.
    const gaps = TYPICAL_BATHS.slice(0, 2).map(({ bath }) => chargeGap(compositionOf(bath).composition));
    expect(gaps).toEqual([3, expect.closeTo(1.8, 9)]);
    for (const { source } of TYPICAL_BATHS) expect(source).toMatch(/GPnotebook|10\.1186/);
  });
  test('are added once', () => {
    const one = taking(empty(), addBaths([TYPICAL_BATHS[0]!.bath]));
    expect(taking(one, addBaths(TYPICAL_BATHS.map(({ bath }) => bath))).baths.map(({ id }) => id)).toEqual([
      '1K',
      '2K',
      '3K',
    ]);
  });
});

describe('in words', () => {
  test('a machine and its water', () => {
    const read = machineInWords(SAID, empty());
    expect(read.missing).toEqual([]);
    const made = taking(empty(), read.recipe);
    expect(made.machines).toEqual([{ id: 'M1', flow: 800, positions: 8, water: 'RO-A' }]);
    expect(made.water).toEqual([{ id: 'RO-A', capacity: 2400, testEvery: 240, testMinutes: 10 }]);
    // A second one on the same water need not say it again.
    const second = machineInWords('M2, six bags, 0.6 L/min', made);
    expect(second.missing).toEqual([]);
    expect(taking(made, second.recipe).machines[1]).toEqual({
      id: 'M2',
      flow: 600,
      positions: 6,
      water: 'RO-A',
    });
    expect(taking(made, second.recipe).water).toHaveLength(1);
  });
  test('what is not said is asked for, never guessed', () => {
    const read = machineInWords('a machine with 8 bags', empty());
    expect(read.recipe).toBeNull();
    expect(read.missing.join('; ')).toMatch(/flow.*gives.*tested.*test takes/);
    expect(machineInWords(SAID, taking(empty(), machineInWords(SAID, empty()).recipe)).missing).toEqual([
      'another name: M1 is listed already',
    ]);
  });
  test('shifts', () => {
    const read = shiftsInWords('day 07:00-19:00, 2 technicians\nnight 7 pm to 7 am, 1 technician', empty());
    expect(taking(empty(), read.recipe).shifts).toEqual([
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
    ]);
    expect(shiftsInWords('day, two people', empty())).toMatchObject({ recipe: null });
  });
  test('stock, of listed baths only', () => {
    const one = taking(empty(), addBaths([TYPICAL_BATHS[1]!.bath]));
    const read = stockInWords('40 bags of 2K, 6.5 L', one);
    expect(taking(one, read.recipe).stock).toEqual([{ lot: 'S-1', bath: '2K', bags: 40, litres: 6.5 }]);
    expect(read.said[0]).toContain('No expiry was said');
    expect(stockInWords('40 bags of 4K, 6.5 L', one).missing).toEqual([
      'bath 4K is not listed: add it first',
    ]);
  });
  test('beds, with headings and without', () => {
    const one = taking(empty(), addBaths([TYPICAL_BATHS[1]!.bath]));
    const read = bedsInTable('Bath\tWt (lb)\tBed\tRoom mate\tEffluent\n2K\t180\tA\tx\t25', one);
    expect(taking(one, read.recipe).patients).toMatchObject([{ id: 'A', dose: 25, bath: '2K' }]);
    expect(taking(one, read.recipe).patients[0]!.weight).toBeCloseTo(180 * 0.45359237, 9);
    expect(read.said).toContain('Left out: Room mate (values: 1)');
    const plain = bedsInTable('A\t82\t25\t9K', one);
    expect(taking(one, plain.recipe).patients).toEqual([{ id: 'A', weight: 82, dose: 25, bath: '9K' }]);
    expect(plain.missing[0]).toContain('bath 9K is not listed');
  });
});

test('what is missing is listed until nothing is, and then no error is left', () => {
  let scenario = empty();
  expect(missingFor(scenario).map(({ step }) => step)).toEqual([
    'baths',
    'patients',
    'machines',
    'machines',
    'shifts',
  ]);
  scenario = taking(scenario, addBaths([TYPICAL_BATHS[1]!.bath]));
  scenario = taking(scenario, bedsInTable('bed-01\t82\t25\t2K', scenario).recipe);
  scenario = taking(scenario, machineInWords(SAID, scenario).recipe);
  expect(missingFor(scenario)).toEqual([{ step: 'shifts', text: 'a shift with its technicians' }]);
  scenario = taking(scenario, shiftsInWords('day 07:00-19:00, 2 technicians', scenario).recipe);
  expect(missingFor(scenario)).toEqual([]);
  expect(faultsOf(scenario).filter(({ level }) => level === 'error')).toEqual([]);
});
