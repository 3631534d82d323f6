import type { Activity } from '../../src/plan/plan.ts';
import { at, batch, bathChange, circuit, fill, swap, test, tinyWorld } from '../world.ts';
import { type Case, casesOf } from './case.ts';

const world = tinyWorld();
const machine = { id: 'M1', flow: 800, positions: 8, water: 'RO' };
const loaded = (since: number, bath = '2K') =>
  tinyWorld({ machines: [{ ...machine, loaded: { bath, circuitSince: at(since) } }] });
const twoMachines = tinyWorld({ machines: [machine, { ...machine, id: 'M2' }] });

const kind = casesOf('known-kind');
const place = casesOf('known-place');
const bath = casesOf('known-bath');
const allowed = casesOf('bath-allowed');
const inPlace = casesOf('circuit-in-place');
const runs = casesOf('bath-loaded');
const life = casesOf('circuit-life');
const fillHas = casesOf('fill-has-swap');
const swapHas = casesOf('swap-has-fill');

export const MACHINES: readonly Case[] = [
  kind('fine', world, [circuit(0), ...batch(30), bathChange(200), test(300)]),
  kind('nothing planned', world, []),
  kind('a nap', world, [{ ...circuit(0), kind: 'nap' } as unknown as Activity], [0, 0, 1]),
  kind(
    'no activity at all',
    world,
    [null as unknown as Activity, 'fill' as unknown as Activity],
    [0, 0, 1],
    [0, 0, 1],
  ),
  kind('an unknown machine is not its business', world, [circuit(0, '2K', 'M9')]),

  place('fine', world, [circuit(0), test(30)]),
  place('nothing planned', world, []),
  place(
    'no such machine, no such source',
    world,
    [circuit(0, '2K', 'M9'), test(30, 'RO-9')],
    [0, 30, 1],
    [30, 40, 1],
  ),
  place('names are exact', world, [circuit(0, '2K', 'm1')], [0, 30, 1]),
  place('a name that every object has', world, [circuit(0, '2K', 'constructor')], [0, 30, 1]),
  place('a machine is no water source', world, [test(0, 'M1')], [0, 10, 1]),
  place('an unknown bath is not its business', world, [circuit(0, '9K')]),

  bath('fine', world, [circuit(0), bathChange(30)]),
  bath('nothing planned', world, []),
  bath('no such bath', world, [circuit(0, '9K'), ...batch(30, '2K ')], [0, 30, 1], [30, 95, 1]),
  bath('swaps and tests have none', world, [swap(0), test(0)]),

  allowed('all baths by default', world, [circuit(0, '2K'), bathChange(30, '4K')]),
  allowed('in the list', tinyWorld({ machines: [{ ...machine, baths: ['4K'] }] }), [circuit(0, '4K')]),
  allowed(
    'not in the list, by any kind of activity',
    tinyWorld({ machines: [{ ...machine, baths: ['4K'] }] }),
    [circuit(0, '2K'), fill(30, '2K'), bathChange(110, '2K'), bathChange(120, '4K')],
    [0, 30, 1],
    [30, 95, 1],
    [110, 120, 1],
  ),
  allowed('an unknown bath is not its business', tinyWorld({ machines: [{ ...machine, baths: [] }] }), [
    circuit(0, '9K'),
  ]),

  inPlace('fine', world, [circuit(0), ...batch(30), bathChange(110)]),
  inPlace('a loaded one will do', loaded(-100), [...batch(0)]),
  inPlace('an expired loaded one is in place', loaded(-5000), [...batch(0)]),
  inPlace('none', world, [...batch(0), bathChange(80), circuit(200), ...batch(230)], [0, 65, 1], [80, 90, 1]),
  inPlace('on another machine', twoMachines, [circuit(0), ...batch(30, '2K', 'M2')], [30, 95, 1]),
  inPlace('only after the fill', world, [...batch(0), circuit(73)], [0, 65, 1]),

  runs('by the circuit', world, [circuit(0), ...batch(30)]),
  runs('by a bath change', world, [circuit(0), bathChange(30, '4K'), ...batch(40, '4K')]),
  runs('by the loaded circuit', loaded(-100), [...batch(0)]),
  runs('another bath', world, [circuit(0, '4K'), ...batch(30, '2K')], [30, 95, 1]),
  runs(
    'until the change, not after',
    world,
    [circuit(0), bathChange(103, '4K'), ...batch(30), ...batch(113, '2K')],
    [113, 178, 1],
  ),
  runs(
    'a change on another machine',
    twoMachines,
    [circuit(0), bathChange(30, '4K', 'M2'), ...batch(40, '4K')],
    [40, 105, 1],
  ),
  runs('no circuit is not its business', world, [...batch(0, '4K')]),

  life('fine', world, [circuit(0), ...batch(30)]),
  life('the swap ends with the life of 24 h', loaded(-1440 + 73), [...batch(0)]),
  life('the swap ends a minute after', loaded(-1440 + 72), [...batch(0)], [65, 73, 1]),
  life(
    'fill, swap and bath change after it',
    loaded(-1440 + 60),
    [...batch(0), bathChange(73)],
    [0, 65, 5],
    [65, 73, 13],
    [73, 83, 23],
  ),
  life(
    'starts as the circuit change starts',
    tinyWorld({ rules: { circuitHours: 2 } }),
    [circuit(0), ...batch(47), ...batch(120, '2K')],
    [120, 185, 65],
    [185, 193, 73],
  ),
  life('decimals of an hour', tinyWorld({ rules: { circuitHours: 1.9 } }), [circuit(0), ...batch(41)]),
  life(
    'a minute past them',
    tinyWorld({ rules: { circuitHours: 1.9 } }),
    [circuit(0), ...batch(42)],
    [107, 115, 1],
  ),
  life('a new one starts a new life', tinyWorld({ rules: { circuitHours: 2 } }), [
    circuit(0),
    circuit(30),
    ...batch(77),
  ]),
  life('a new circuit may come at any time', loaded(-5000), [circuit(0)]),
  life(
    'a bath change brings no new life',
    tinyWorld({ rules: { circuitHours: 2 } }),
    [circuit(0), bathChange(30), ...batch(48, '4K')],
    [113, 121, 1],
  ),

  fillHas('fine', world, [circuit(0), ...batch(30)]),
  fillHas('nothing planned', world, []),
  fillHas('no swap', world, [fill(30)], [30, 95, 1]),
  fillHas('a minute late', world, [fill(30), swap(96)], [30, 95, 1]),
  fillHas('a minute early', world, [fill(30), swap(94)], [30, 95, 1]),
  fillHas('two', world, [fill(30), swap(95), swap(95)], [30, 95, 1]),
  fillHas('on another machine', twoMachines, [fill(30), swap(95, 'M2')], [30, 95, 1]),
  fillHas('a lone swap is not its business', world, [swap(95)]),

  swapHas('fine', world, [circuit(0), ...batch(30)]),
  swapHas('nothing planned', world, []),
  swapHas('two fills at once', world, [fill(30), fill(25, '2K', 'M1', 70), swap(95)], [95, 103, 1]),
  swapHas(
    'three fills at once',
    world,
    [fill(30), fill(29, '2K', 'M1', 66), fill(25, '2K', 'M1', 70), swap(95)],
    [95, 103, 2],
  ),
  swapHas('no fill', world, [swap(95)], [95, 103, 1]),
  swapHas('a minute after its fill', world, [fill(30), swap(96)], [96, 104, 1]),
  swapHas('after a bath change', world, [bathChange(85), swap(95)], [95, 103, 1]),
  swapHas('on another machine', twoMachines, [fill(30), swap(95, 'M2')], [95, 103, 1]),
  swapHas('a lone fill is not its business', world, [fill(30)]),
];
