import { expect, test } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { cover } from '../../../src/plan/cover.ts';
import { loadsOf, pickList } from '../../../src/reports/day/pickList.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
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
});

test('too few bags: what there is and what is wanted is told, and nobody’s share is chosen', () => {
  const few = known([lot('few', '2K', 4, 5000)]);
  const list = pickList(few, 0, new Set(['few']));
  expect(list.short).toEqual([{ bath: '2K', wanted: 5, unmetLitres: 6.5 }]);
  expect(list.rows.map(({ bed, bags, picks }) => [bed, bags, picks])).toEqual([
    ['bed-2', 3, []],
    ['bed-1', 2, []],
  ]);
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
