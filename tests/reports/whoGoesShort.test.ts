import { expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { cover } from '../../src/plan/cover.ts';
import { bedsServed } from '../../src/plan/short.ts';
import { shortText, unnamedText, whoGoesShort } from '../../src/reports/whoGoesShort.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, tinyWorld } from '../world.ts';

const bed = (id: string, more: object = {}) => ({
  id,
  weight: 100,
  dose: 65,
  bath: '2K',
  from: at(1320),
  ...more,
});
// Two beds want a bag at 22:00 and at 23:00, which the round at 06:00 brings; three of four are there.
const report = (bags: number) => {
  const problem = compile(
    tinyWorld({
      patients: [bed('bed-1', { ward: 'ICU-2', priority: '1' }), bed('bed-2')],
      stock: [{ lot: 'S', bath: '2K', bags, litres: 6.5 }],
      rules: { rounds: ['06:00'], leadMinutes: 720 },
    }),
  );
  const demand = demandOf(problem);
  return whoGoesShort({ problem, demand, covered: cover(problem, demand, []) });
};

test('each way names its beds, their rounds and hours, side by side', () => {
  const { ways, caution } = report(3);
  expect(ways.map(({ name, bags, hours, mostHours }) => [name, bags, hours, mostHours])).toEqual([
    ['As the need falls', 1, 1, 1],
    ['Equal share for all', 1, 1, 1],
    ['By priority class', 1, 1, 1],
    ['In rotation', 1, 1, 1],
  ]);
  expect(ways.map(({ beds }) => beds.map(({ bed: id }) => id))).toEqual([
    ['bed-2'],
    ['bed-1'],
    ['bed-2'],
    ['bed-1'],
  ]);
  expect(ways[1]!.beds).toEqual([
    {
      bed: 'bed-1',
      ward: 'ICU-2',
      priority: '1',
      bags: 1,
      hours: 1,
      from: 1380,
      to: 1440,
      rounds: ['1 bag in the bag round of Mon, Feb 3, 06:00 (1 h)'],
    },
  ]);
  expect(caution).toContain('chooses none');
});

test('a row a bed, in the order of the list, with what each way takes from it', () => {
  const { rows, ways, unnamed } = report(3);
  expect(rows.map(({ bed: id, byWay }) => [id, ...byWay.map((one) => one && shortText(one))])).toEqual([
    ['bed-1', null, '1 bag, 1 h', null, '1 bag, 1 h'],
    ['bed-2', '1 bag, 1 h', null, '1 bag, 1 h', null],
  ]);
  // Each row's bags, way by way, come to what the way says of all beds.
  expect(ways.map((_, n) => rows.reduce((sum, { byWay }) => sum + (byWay[n]?.bags ?? 0), 0))).toEqual(
    ways.map(({ bags }) => bags),
  );
  expect(unnamed).toBe(0);
});

test('bags that no bed can be named for are said', () => {
  const problem = compile(tinyWorld({ patients: [bed('bed-1')], stock: [], rules: { rounds: ['06:00'] } }));
  const demand = demandOf(problem);
  const none = { ...demand, hangs: demand.hangs.map(() => []) };
  const { ways, unnamed } = whoGoesShort({ problem, demand: none, covered: cover(problem, demand, []) });
  expect([ways, unnamed]).toEqual([[], 2]);
  expect(unnamedText(unnamed)).toBe('2 more bags are unmet. No bed can be named.');
});

test('who waits for bags of a round, whoever goes without', () => {
  const problem = compile(tinyWorld({ patients: [bed('bed-1'), bed('bed-2', { until: at(1321) })] }));
  const served = bedsServed(problem, demandOf(problem));
  const rounds = problem.rounds.map(({ index }) => served(0, index)).filter((beds) => beds.length > 0);
  expect(rounds).toEqual([[0, 1]]);
});

test('no way where nothing is unmet', () =>
  expect(report(4)).toMatchObject({ ways: [], rows: [], unnamed: 0 }));
