import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { cover } from '../../../src/plan/cover.ts';
import { startAt } from '../../../src/record/from.ts';
import {
  bagsAtBeds,
  bagsLeaving,
  bagsToCarry,
  bedText,
  loadsOf,
  pickList,
  picksText,
  shortText,
} from '../../../src/reports/day/pickList.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { noted } from '../../record/book.ts';
import { at, tinyWorld } from '../../world.ts';

const lot = (id: string, bath: string, bags: number, expires: number, litres = 6.5) => ({
  lot: id,
  bath,
  bags,
  litres,
  ready: null,
  expires: at(expires),
});
/** Two beds at 1,900 mL/h: a bag of 6.5 L lasts 205.3 min (80 kg x 25 mL/kg/h - 100 mL/h, row 8.8 of the check values). */
const known = (stock: ReturnType<typeof lot>[]) => {
  const bed = { weight: 80, dose: 25, fluidRemoval: 100, bath: '2K' };
  const scenario = tinyWorld({
    baths: [
      { id: '2K', potassium: 2, calcium: 0 },
      { id: '4K', potassium: 4 },
    ],
    patients: [
      { id: 'bed-2', ward: 'ICU-1', ...bed },
      { id: 'bed-1', ward: 'ICU-2', ...bed, from: at(30) },
    ],
    rules: { rounds: ['06:00'], leadMinutes: 60 },
    stock,
  });
  const problem = compile(scenario);
  const demand = demandOf(problem);
  return { scenario, problem, demand, covered: cover(problem, demand, []) };
};

test('the first to expire goes to whoever hangs first; rows stand by ward', () => {
  const plan = known([lot('late', '2K', 9, 5000), lot('soon', '2K', 3, 2000)]);
  // Opening round, hung before 07:00: bed-2 at 0, 205, 410; bed-1 at 30, 235.
  const list = pickList(plan, 0, new Set(['late', 'soon']));
  expect(list.rows).toEqual([
    {
      bed: 'bed-2',
      ward: 'ICU-1',
      bath: '2K',
      free: ['CALCIUM-FREE'],
      bags: 3,
      missing: 0,
      elsewhere: 0,
      beyond: 0,
      picks: [
        { lot: 'soon', bags: 2 },
        { lot: 'late', bags: 1 },
      ],
    },
    {
      bed: 'bed-1',
      ward: 'ICU-2',
      bath: '2K',
      free: ['CALCIUM-FREE'],
      bags: 2,
      missing: 0,
      elsewhere: 0,
      beyond: 0,
      picks: [
        { lot: 'soon', bags: 1 },
        { lot: 'late', bags: 1 },
      ],
    },
  ]);
  expect(list.lots).toEqual([
    { lot: 'soon', bath: '2K', free: ['CALCIUM-FREE'], bags: 3, litres: 19.5, planned: false },
    { lot: 'late', bath: '2K', free: ['CALCIUM-FREE'], bags: 2, litres: 13, planned: false },
  ]);
});

test('smaller bags: so many that the litres are there', () => {
  // 5 bags of 6.5 L are 32.5 L: 7 bags of 5 L hold 35 L.
  const list = pickList(known([lot('small', '2K', 20, 5000, 5)]), 0, new Set(['small']));
  expect(list.lots).toEqual([
    { lot: 'small', bath: '2K', free: ['CALCIUM-FREE'], bags: 7, litres: 35, planned: false },
  ]);
  expect(list.short).toEqual([]);
  // The strip counts what is carried, not the 5 bags of need.
  expect(bagsLeaving(known([lot('small', '2K', 20, 5000, 5)]), 0)[0]).toEqual({ bags: 7, missing: 0 });
  expect(bagsLeaving(known([lot('few', '2K', 4, 5000)]), 0)[0]).toEqual({ bags: 4, missing: 1 });
});

test('smaller bags: beside each bed stand the bags to carry, and by how much they hold less or more than it needs', () => {
  // By hand: bed-2 hangs 3 bags, 19.5 L, and gets 4 of 5 L; bed-1 hangs 2, 13 L, and gets 3. One bag less is carried to no bed.
  const list = pickList(known([lot('small', '2K', 20, 5000, 5)]), 0, new Set(['small']));
  expect(list.rows.map((row) => [row.bed, bagsToCarry(row), picksText(row)])).toEqual([
    ['bed-2', 4, '4 × small, 0.5 L more than needed'],
    ['bed-1', 3, '3 × small, 2 L more than needed'],
  ]);
  // 5.2 L: 6.5 L are 1.25 bags. 32.5 L are 6.25 bags, so 7 leave, 36.4 L.
  const odd = pickList(known([lot('odd', '2K', 20, 5000, 5.2)]), 0, new Set(['odd']));
  expect(odd.rows.reduce((sum, row) => sum + bagsToCarry(row), 0)).toBe(7);
  const litres = odd.rows.map(({ bags, beyond }) => 6.5 * bags + beyond);
  expect(litres[0]! + litres[1]!).toBeCloseTo(36.4);
});

test('bags of the fill volume need no word about liters, and where bags are missing that alone is said', () => {
  const whole = pickList(known([lot('all', '2K', 9, 5000)]), 0, new Set(['all']));
  expect(whole.rows.map(picksText)).toEqual(['3 × all', '2 × all']);
  const few = pickList(known([lot('few', '2K', 3, 5000, 5)]), 0, new Set(['few']));
  expect(few.rows.map(picksText).join()).toMatch(/MISSING/);
  for (const row of few.rows.filter(({ missing }) => missing > 0)) expect(row.beyond).toBe(0);
});

test('too few bags: what is there stands in the order of hanging, only what is missing is marked, no bed is noted for it', () => {
  const few = known([lot('few', '2K', 4, 5000)]);
  const list = pickList(few, 0, new Set(['few']));
  expect(list.short).toEqual([{ bath: '2K', wanted: 5, there: 0, unmetLitres: 6.5 }]);
  // Hung at 0 (bed-2), 30 (bed-1), 205 (bed-2), 235 (bed-1), 410 (bed-2): the last one is missing.
  expect(list.rows.map((row) => [row.bed, row.bags, row.missing, picksText(row)])).toEqual([
    ['bed-2', 3, 1, '2 × few, 1 bag MISSING'],
    ['bed-1', 2, 0, '2 × few'],
  ]);
  expect(shortText(list.short[0]!)).toMatch(/The people responsible decide who gets them\.$/);
  expect(loadsOf(list)).toEqual([{ lot: 'few', bath: '2K', bags: 4 }]);
  // Not made yet: planned, and not loaded.
  expect(pickList(few, 0, new Set()).lots).toMatchObject([{ lot: 'few', planned: true }]);
  expect(loadsOf(pickList(few, 0, new Set()))).toEqual([]);
});

test('what is loaded bears ward and bed', () => {
  const enough = known([lot('all', '2K', 9, 5000)]);
  expect(loadsOf(pickList(enough, 0, new Set(['all'])))).toEqual([
    { lot: 'all', bath: '2K', bags: 3, bed: 'bed-2', ward: 'ICU-1' },
    { lot: 'all', bath: '2K', bags: 2, bed: 'bed-1', ward: 'ICU-2' },
  ]);
});

test('due now: a bed that has its bags gets none again; what was hung, called back or left for no bed counts for nobody', () => {
  // 3.25 L/h: a bag of 6.5 L each 2 h, at 0, 120, 240, 360 ... Opening round: what hangs before 07:00 (06:00 and 60 min).
  const bed = { weight: 80, dose: 40.625, bath: '2K' };
  const scenario = tinyWorld({
    patients: [
      { id: 'bed-1', ...bed },
      { id: 'bed-2', ...bed },
    ],
    rules: { rounds: ['06:00'], leadMinutes: 60 },
    stock: [lot('P', '2K', 20, 5000), lot('Q', '2K', 20, 5000)],
  });
  const load = (name: string, bags: number, more = {}) => ({ lot: name, bath: '2K', bags, ...more });
  const entries = [
    noted(0, {
      kind: 'leave',
      round: 0,
      loads: [load('P', 4, { bed: 'bed-1' }), load('P', 1, { bed: 'bed-2' }), load('Q', 1, { bed: 'bed-2' })],
    }),
    noted(130, { kind: 'hold', lot: 'Q' }),
  ];
  const start = startAt(scenario, entries, 130);
  const whole = compile(scenario);
  const need = demandOf(whole);
  // Hung by 130: two a bed. bed-1 has 2 of its 4 left; of bed-2's two the one called back counts as hanging: replaced now.
  const atBeds = bagsAtBeds({ problem: whole, demand: need }, start.state);
  expect([...atBeds.values()]).toEqual([2, -1]);
  const { problem } = start;
  const demand = demandOf(problem);
  const covered = cover(problem, demand, []);
  const list = pickList({ scenario, problem, demand, covered, atBeds }, 0, new Set(['P']));
  // bed-2 lacks that one, and what it hangs at 240 and 360: the 3 that are due.
  expect(problem.dueNow).toEqual([3, 0]);
  expect(list.rows.map((row) => [bedText(row), row.bags])).toEqual([['bed-2', 3]]);
  expect(loadsOf(list)).toEqual([{ lot: 'P', bath: '2K', bags: 3, bed: 'bed-2' }]);
  // The strip counts what is due, not what hangs from now on.
  expect(bagsLeaving({ scenario, problem, demand, covered }, 0)[0]).toEqual({ bags: 3, missing: 0 });
  // Where the beds lack fewer than are due, the others are carried for no bed.
  const more = pickList(
    { scenario, problem, demand, covered, atBeds: new Map([...atBeds].map(([key]) => [key, 1])) },
    0,
    new Set(['P']),
  );
  expect(more.rows.map((row) => [bedText(row), row.bags])).toEqual([
    ['where one is lacking', 1],
    ['bed-1', 1],
    ['bed-2', 1],
  ]);
  expect(loadsOf(more)[0]).toEqual({ lot: 'P', bath: '2K', bags: 1 });
});

test('due now: a bed whose bags were called back before they were hung gets those that nobody could hang, too', () => {
  const scenario = tinyWorld({
    patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
    rules: { rounds: ['06:00'], leadMinutes: 60 },
    stock: [lot('P', '2K', 20, 5000), lot('Q', '2K', 20, 5000)],
  });
  const entries = [
    noted(0, {
      kind: 'leave',
      round: 0,
      loads: [
        { lot: 'P', bath: '2K', bags: 1, bed: 'bed-1' },
        { lot: 'Q', bath: '2K', bags: 3, bed: 'bed-1' },
      ],
    }),
    noted(100, { kind: 'hold', lot: 'Q' }),
  ];
  // Hung at 0; at 120 nobody could hang Q; at 240 and 360 it will lack too.
  const start = startAt(scenario, entries, 130);
  const whole = compile(scenario);
  const { problem } = start;
  const demand = demandOf(problem);
  const atBeds = bagsAtBeds({ problem: whole, demand: demandOf(whole) }, start.state);
  const list = pickList(
    { scenario, problem, demand, covered: cover(problem, demand, []), atBeds },
    0,
    new Set(['P']),
  );
  expect(problem.dueNow).toEqual([3, 0]);
  expect(list.rows.map((row) => [bedText(row), row.bags])).toEqual([['bed-1', 3]]);
});

test('of a bath with too few bags it is said how many of those wanted are at beds that nobody noted', () => {
  // Two beds of 3.25 L/h hang a bag each 2 h: 8 before 08:00. All 5 of the stock were carried, 2 of them hang: 6 hang later, 3 are there.
  const bed = { weight: 80, dose: 40.625, bath: '2K' };
  const scenario = tinyWorld({
    patients: [
      { id: 'bed-1', ...bed },
      { id: 'bed-2', ...bed },
    ],
    stock: [lot('P-1', '2K', 5, 9000)],
    rules: { rounds: ['06:00', '14:00'] },
  });
  const whole = { problem: compile(scenario), demand: demandOf(compile(scenario)) };
  const shortAt = (loads: object[]) => {
    const { problem, state } = startAt(scenario, [noted(1, { kind: 'leave', round: 0, loads })], 2);
    expect(state.dueNow[0]).toBe(3);
    const demand = demandOf(problem);
    const plan = { scenario, problem, demand, covered: cover(problem, demand, []) };
    return pickList({ ...plan, atBeds: bagsAtBeds(whole, state) }, 0, new Set()).short.map(shortText);
  };
  const rest = 'Lots stand in the order of hanging. The people responsible decide who gets them.';
  const load = (bags: number, to?: string) => ({ lot: 'P-1', bath: '2K', bags, ...(to && { bed: to }) });
  expect(shortAt([load(3, 'bed-1'), load(2, 'bed-2')])).toEqual([`2K: 19.5 L unmet of 3 bags. ${rest}`]);
  expect(shortAt([load(5)])).toEqual([
    `2K: 19.5 L unmet of 6 bags. By the record 3 of these are at beds already. Look there first. ${rest}`,
  ]);
});
