import type { Activity } from '../../src/plan/plan.ts';
import { at, batch, bathChange, circuit, fill, swap, test, tinyWorld } from '../world.ts';
import { type Case, casesOf } from './case.ts';

const world = tinyWorld();
const windows = (...list: [number, number][]) =>
  tinyWorld({
    machines: [
      {
        id: 'M1',
        flow: 800,
        positions: 8,
        water: 'RO',
        available: list.map(([from, to]) => ({ from: at(from), to: at(to) })),
      },
    ],
  });
const withTimes = (start: number, end: number): Activity => ({
  kind: 'circuit',
  machine: 'M1',
  bath: '2K',
  start,
  end,
});
const twoMachines = tinyWorld({
  machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
});

const whole = casesOf('whole-minutes-start-before-end');
const horizon = casesOf('within-horizon');
const window = casesOf('within-window');
const overlap = casesOf('machine-no-overlap');
const length = casesOf('right-length');
const fillWindow = casesOf('fill-window');

export const TIMES: readonly Case[] = [
  whole('fine', world, [circuit(0), ...batch(30)]),
  whole('one minute is long enough', world, [withTimes(3, 4)]),
  whole('no length', world, [withTimes(3, 3)], [3, 3, 1]),
  whole('backwards', world, [withTimes(3, 2)], [3, 2, 1]),
  whole('half a minute', world, [withTimes(0.5, 30)], [0.5, 30, 1]),
  whole('no number', world, [withTimes(Number.NaN, Number.POSITIVE_INFINITY)], [0, 0, 1]),
  whole('an unknown machine is not its business', world, [circuit(0, '2K', 'M9')]),

  horizon('fine', world, [circuit(0), ...batch(30)]),
  horizon('ends with the horizon', world, [circuit(1410)]),
  horizon('one minute late', world, [circuit(1411)], [1411, 1441, 1]),
  horizon('three minutes early', world, [test(-3)], [-3, 7, 3]),
  horizon('far away', world, [circuit(9_000_000_000)], [9_000_000_000, 9_000_000_030, 30]),
  horizon('a closed window is not its business', windows([0, 20]), [circuit(0)]),

  window('fine', windows([0, 300]), [circuit(0), ...batch(30)]),
  window('fills the window', windows([10, 40]), [circuit(10)]),
  window('starts four minutes before', windows([14, 400]), [circuit(10)], [10, 40, 4]),
  window('ends a minute after', windows([0, 39]), [circuit(10)], [10, 40, 1]),
  window('windows that touch are not merged', windows([0, 20], [20, 400]), [circuit(0)], [0, 30, 10]),
  window('fill and swap in different windows', windows([0, 95], [95, 400]), [circuit(0), ...batch(30)]),
  window('never available', windows(), [circuit(0)], [0, 30, 30]),
  window('a test has no window', windows([500, 600]), [test(0)]),

  overlap(
    'three at once, two of which end together',
    world,
    [fill(0), fill(10, '4K', 'M1', 55), circuit(20)],
    [10, 65, 55],
    [20, 50, 30],
  ),
  overlap(
    'with the one that ends last, whatever began before or between',
    world,
    [fill(0, '2K', 'M1', 30), fill(20, '2K', 'M1', 80), fill(40, '2K', 'M1', 10), fill(90, '2K', 'M1', 30)],
    [20, 30, 10],
    [40, 50, 10],
    [90, 100, 10],
  ),
  overlap('fine', world, [circuit(0), ...batch(40)]),
  overlap('back to back', world, [circuit(0), ...batch(30)]),
  overlap('one minute', world, [circuit(0), ...batch(29)], [29, 30, 1]),
  overlap('given in another order', world, [...batch(29), circuit(0)], [29, 30, 1]),
  overlap(
    'a short one inside a long one, the next also',
    world,
    [fill(0), bathChange(10), swap(60)],
    [10, 20, 10],
    [60, 65, 5],
  ),
  overlap('the same twice', world, [circuit(0), circuit(0)], [0, 30, 30]),
  overlap('two machines side by side', twoMachines, [circuit(0), circuit(0, '2K', 'M2')]),
  overlap('tests are not on machines', world, [circuit(0), test(5), test(6)]),

  length('fine', world, [circuit(0), bathChange(30), swap(40), test(50)]),
  length(
    'a minute short, a minute long',
    world,
    [circuit(0, '2K', 'M1', 29), test(50, 'RO', 11)],
    [0, 29, 1],
    [50, 61, 1],
  ),
  length(
    'bath change is stabilise and sample',
    world,
    [bathChange(30, '4K', 'M1', 5), swap(40, 'M1', 10)],
    [30, 35, 5],
    [40, 50, 2],
  ),
  length(
    "the site's own lengths",
    tinyWorld({ rules: { circuitMinutes: 40, stabiliseMinutes: 7, sampleMinutes: 4, swapMinutes: 9 } }),
    [circuit(0, '2K', 'M1', 40), bathChange(40, '4K', 'M1', 11), swap(51, 'M1', 9)],
  ),
  length('fills have a window of their own', world, [fill(0, '2K', 'M1', 3)]),

  fillWindow('fine', world, [fill(0, '2K', 'M1', 70)]),
  // 8 x 6.5 L at 800 mL/min: 65 min; 7.5 L at 75 min (common practice, no source).
  fillWindow('shortest and longest', world, [fill(0, '2K', 'M1', 65), fill(100, '2K', 'M1', 75)]),
  fillWindow(
    'a minute short, two long',
    world,
    [fill(0, '2K', 'M1', 64), fill(100, '2K', 'M1', 77)],
    [0, 64, 1],
    [100, 177, 2],
  ),
  fillWindow(
    // 1000 x 6 x 5.4 / 300 is 108 minutes, 108.00000000000001 in floating point.
    'decimals are exact',
    tinyWorld({
      machines: [{ id: 'M1', flow: 300, positions: 6, water: 'RO' }],
      rules: { fillLitres: 5.4, maxLitres: 5.4 },
    }),
    [fill(0, '2K', 'M1', 108), fill(200, '2K', 'M1', 109)],
    [200, 309, 1],
  ),
  fillWindow('other lengths are not its business', world, [circuit(0, '2K', 'M1', 1)]),
];
