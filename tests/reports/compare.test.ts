import { describe, expect, test } from 'vitest';
import { doseCap } from '../../src/capacity/answers/levers.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN } from '../../src/plan/plan.ts';
import { chiefPage } from '../../src/reports/chief.ts';
import {
  bestOf,
  type CompareSection,
  compareVariants,
  inputDifferences,
  needsDiffer,
  unranked,
} from '../../src/reports/compare.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { known, twoDays } from '../grid/known.ts';
import { at, batch, bathChange, circuit, tinyWorld, test as waterTest } from '../world.ts';

const variant = (name: string, scenario: Scenario, given?: readonly Activity[]) => {
  const { problem, activities } = known(scenario, given);
  const rest = { bound: NOTHING_PROVEN, remarks: [], seconds: 0 };
  return { name, scenario, problem, plan: asPlan(problem, activities, rest) };
};
const find = (sections: readonly CompareSection[], label: string) =>
  sections.flatMap(({ rows }) => rows).find((row) => row.label === label)!;

describe('compare', () => {
  const low = twoDays();
  low.patients[0]!.dose = 20;
  low.machines.push({ id: 'M2', flow: 600, positions: 6, water: 'RO' });
  const sections = compareVariants([variant('A', twoDays()), variant('B', low)]);

  test('inputs that differ, and only those, with units; a row that one lacks is one line', () => {
    expect(sections[0]!.rows).toEqual([
      { label: 'patients › bed-1 › dose', unit: 'mL/kg/h', values: [25, 20], better: null },
      { label: 'machines › M2', unit: '', values: ['absent', 'present'], better: null },
    ]);
  });

  test('order of rows is no difference', () => {
    const turned = twoDays();
    turned.patients.reverse();
    expect(inputDifferences([twoDays(), turned])).toEqual([]);
  });

  test('needs, score and work of each variant as its plan has them', () => {
    const [a, b] = [variant('A', twoDays()), variant('B', low)];
    expect(find(sections, 'Unmet').values).toEqual([a.plan.score.unmetLitres, b.plan.score.unmetLitres]);
    expect(find(sections, 'Hands-on work').values).toEqual([
      a.plan.score.handsOnMinutes / 60,
      b.plan.score.handsOnMinutes / 60,
    ]);
    const bags = (plan: typeof a.plan) => plan.needs.reduce((sum, need) => sum + need.bags, 0);
    expect(find(sections, 'All bags').values).toEqual([bags(a.plan), bags(b.plan)]);
    expect(find(sections, 'M2 in use').values[0]).toBeNull();
    expect(find(sections, 'On shift').values).toEqual([24, 24]);
  });

  test('the best is marked only where one is better', () => {
    const row = { label: '', unit: '', better: 'less' as const };
    expect(bestOf({ ...row, values: [3, 2, 2] })).toEqual([1, 2]);
    expect(bestOf({ ...row, values: [2, 2] })).toEqual([]);
    expect(bestOf({ ...row, better: 'more', values: [3, null, 2] })).toEqual([0]);
    expect(bestOf({ ...row, better: null, values: [3, 2] })).toEqual([]);
    expect(bestOf({ ...row, values: ['x', 2] })).toEqual([]);
    // Equal as shown: 44.0 h each.
    expect(bestOf({ ...row, values: [44.03, 44.01] })).toEqual([]);
  });

  test('less need is not better: no best among bags and litres, and it is told that the needs differ', () => {
    const needs = sections.find(({ title }) => title === 'Needs')!.rows;
    expect(needs.map(({ label }) => label)).toEqual([
      'Bags of 2K',
      'Bags of 4K',
      'All bags',
      'Bags per day, mean',
      'Liters by the doses',
      'Liters in whole bags',
    ]);
    expect(needs.map(bestOf)).toEqual([[], [], [], [], [], []]);
    expect(needsDiffer(sections)).toBe(true);
    const more = twoDays();
    more.machines.push({ id: 'M2', flow: 600, positions: 6, water: 'RO' });
    const same = compareVariants([variant('A', twoDays()), variant('B', more)]);
    expect(needsDiffer(same)).toBe(false);
    expect(bestOf(find(same, 'Unmet'))).toHaveLength(1);
  });
});

describe('the numbers of a comparison, counted by hand', () => {
  // 65 kg at 10 mL/kg/h run 6.5 L in 10 h: bags at 0, 10, 20, 30 and 40 h, half of them in the second day.
  const shift = { from: '07:00', to: '19:00' };
  const machine = { flow: 800, positions: 8, water: 'RO' };
  const supplies = [
    { item: 'circuit', onHand: 2, perCircuit: 1 },
    { item: 'acid (L)', onHand: 10, perLitre: 0.02 },
  ];
  const big = tinyWorld({
    days: 2,
    patients: [{ id: 'bed-1', weight: 65, dose: 10, bath: '2K' }],
    machines: [
      { id: 'M1', ...machine },
      { id: 'M2', ...machine, available: [{ from: at(0), to: at(720) }] },
    ],
    shifts: [{ id: 'day', ...shift, technicians: 2 }],
    supplies,
  });
  const small: Scenario = {
    ...big,
    baths: [{ id: '2K' }],
    patients: [],
    machines: [{ id: 'M1', ...machine, available: [] }],
    shifts: [{ id: 'day', ...shift, technicians: 0 }],
    supplies: [{ item: 'circuit', onHand: 2, perCircuit: 1 }],
  };
  const sections = compareVariants([
    variant('A', big, [
      waterTest(425),
      circuit(435, '2K', 'M1'),
      circuit(440, '2K', 'M2'),
      ...batch(470),
      bathChange(545),
    ]),
    variant('B', small, []),
  ]);

  test.each<[string, string, unknown[]]>([
    ['Bags of 2K', 'bags', [5, 0]],
    ['Bags of 4K', 'bags', [0, null]],
    ['All bags', 'bags', [5, 0]],
    ['Bags per day, mean', 'bags per day', [2.5, 0]],
    ['Liters in whole bags', 'L', [32.5, 0]],
    ['Fills', 'fills', [1, 0]],
    ['New circuits', 'circuits', [2, 0]],
    ['Bath changes', 'changes', [1, 0]],
    ['Total chlorine tests', 'tests', [1, 0]],
    // Circuit, fill, swap and change of 48 h; a circuit of 12 h; no hours and no such machine.
    ['M1 in use', '% of its hours', [(100 * (30 + 65 + 8 + 10)) / 2880, null]],
    ['M2 in use', '% of its hours', [(100 * 30) / 720, null]],
    ['On shift', 'technician h', [48, 0]],
    // A test of 10 min, two circuits, a swap, a change.
    ['Hands-on work', 'h', [(10 + 60 + 8 + 10) / 60, 0]],
    ['Busy', '% of shift time', [(100 * 88) / (48 * 60), null]],
    ['Most at work at once', 'technicians', [2, 0]],
    ['circuit: used', 'pieces', [2, 0]],
    ['circuit: left', 'pieces', [0, 2]],
    ['circuit: runs out', '', ['Mon, Feb 3, 07:20', 'not in this plan']],
    // 0.8 L/min for 30 + 30 + 65 + 10 min, and 0.02 L of acid a litre.
    ['acid (L): used', 'L', [2.16, null]],
    ['acid (L): left', 'L', [7.84, null]],
    ['acid (L): runs out', '', ['not in this plan', null]],
  ])('%s', (label, unit, values) => {
    const row = find(sections, label);
    expect(row.unit).toBe(unit);
    expect(row.values).toEqual(values);
  });

  test('inputs are told with their units, however deep they lie and also where two have one name', () => {
    const edit = (change: (scenario: Scenario) => void) => {
      const scenario = twoDays();
      scenario.baths[0] = { id: '2K', calcium: 2.5, glucose: 100 };
      scenario.machines[0]!.baths = ['2K', '4K'];
      const [first] = scenario.patients[1]!.changes!;
      scenario.patients[1]!.changes = [first!, { ...first!, dose: 31 }];
      scenario.rules = { swapMinutes: 8, reserve: { '4K': 2 } };
      change(scenario);
      return scenario;
    };
    const differences = inputDifferences([
      edit(() => {}),
      edit((s) => {
        Object.assign(s.baths[0]!, { calcium: 3, glucose: 90, acetate: 4 });
        s.machines[0]!.baths = ['2K'];
        s.machines[0]!.available = [{ from: at(0), to: at(60) }];
        s.patients[1]!.changes![1]!.dose = 32;
        s.rules = { swapMinutes: 9, reserve: { '4K': 3 } };
        s.stock![0]!.bags = 29;
        s.supplies![1]!.deliveries![0]!.quantity = 7;
      }),
    ]);
    expect(differences.map(({ label, unit, values }) => [label, unit, ...values])).toEqual([
      ['baths › 2K › calcium', 'mEq/L', 2.5, 3],
      ['baths › 2K › glucose', 'mmol/L', 100, 90],
      ['patients › bed-2 › changes › 2031-02-04T03:00 › dose (2)', 'mL/kg/h', 31, 32],
      ['machines › M1 › baths', '', '2K, 4K', '2K'],
      ['stock › S-1 › bags', 'bags', 30, 29],
      ['supplies › bag set › deliveries › 2031-02-04T09:00 › quantity', '', 6, 7],
      ['rules › swapMinutes', 'min', 8, 9],
      ['rules › reserve › 4K', 'bags', 2, 3],
      ['baths › 2K › acetate', 'mmol/L', null, 4],
      ['machines › M1 › available › 1 › from', '', null, at(0)],
      ['machines › M1 › available › 1 › to', '', null, at(60)],
    ]);
  });
});

test('a cap on all doses is one line for the rows and one for the forecast, not one a patient', () => {
  const base = twoDays();
  const patients = Array.from({ length: 40 }, (_, n) => ({
    ...base.patients[0]!,
    id: `bed-${n}`,
    dose: 21 + (n % 9),
  }));
  const before = { ...base, patients };
  const capped = doseCap(20).apply(before);
  expect(inputDifferences([before, capped])).toEqual([
    { label: 'patients › dose (40 rows)', unit: 'mL/kg/h', values: ['21 to 29', 20], better: null },
    { label: 'forecast › doseCap', unit: '', values: [null, 20], better: null },
  ]);
});

describe('what may be ranked', () => {
  const section = (title: string, label: string, values: number[]): CompareSection => ({
    title,
    rows: [{ label, unit: 'L', values, better: 'less' }],
  });
  test('nothing, where needs or shortages differ or the effort did', () => {
    const same = [section('Needs', 'All bags', [5, 5]), section('How good the plan is', 'Unmet', [0, 0])];
    expect(unranked(same, true)).toBeNull();
    expect(unranked(same, false)).toContain('same effort');
    expect(unranked([section('Needs', 'All bags', [5, 4]), same[1]!], true)).toContain('the needs differ');
    for (const label of ['Unmet', 'Short of the reserve'])
      expect(unranked([same[0]!, section('How good the plan is', label, [0, 6.5])], true)).toContain(
        'what stays unmet or short differs',
      );
    // Less work alone is what ranks.
    expect(unranked([...same, section('How good the plan is', 'Hands-on work', [3, 4])], true)).toBeNull();
  });
});

test('one page: what each variant asks of whom, and what is unmet when', () => {
  const few = twoDays();
  const less = { ...few, patients: few.patients.slice(1), stock: [] };
  const page = chiefPage([variant('A', few, []), variant('B', less, [])], false);
  expect(page.names).toHaveLength(2);
  const row = (head: string) => page.rows.find((one) => one.head.startsWith(head))!.cells;
  expect(row('Asks of the prescriber')).toEqual(['nothing', '1 bed taken out']);
  expect(row('Asks of the technicians')).toEqual(['0 h of hands-on work', '0 h of hands-on work']);
  expect(row('Unmet')[1]).toMatch(/^[\d,.]+ L in \d+ bag rounds?, first /);
  expect(page.ranking).toContain('None is marked best');
  expect(page.sources.join(' ')).toContain('as typed in each variant');
});
