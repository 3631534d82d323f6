import type { RulesRow, Scenario } from '../../src/scenario/schema.ts';
import { at, batch, circuit, duty, fill, swap, test, tinyWorld } from '../world.ts';
import { type Case, casesOf } from './case.ts';

// Limits that the optional fields of the floor set, each kept, on the border, and broken by a known amount.
// Expected values counted by hand; no outside source.

const hands = casesOf('technicians-enough');
const staffed = casesOf('fill-start-staffed');
const window = casesOf('fill-window');
const capacity = casesOf('water-capacity');
const begins = casesOf('begins-from-now');

const machines = (count = 2) =>
  Array.from({ length: count }, (_, index) => ({
    id: `M${index + 1}`,
    flow: 800,
    positions: 8,
    water: 'RO',
  }));
const floor = (rules: RulesRow, more: Partial<Scenario> = {}) =>
  tinyWorld({ rules, machines: machines(), ...more });
const tolerant = (flowTolerance: number) =>
  tinyWorld({ machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO', flowTolerance }] });
const changing = (...capacityChanges: { at: string; capacity: number }[]) =>
  tinyWorld({
    machines: machines(),
    water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0), capacityChanges }],
  });
const on = (now: number, one: Case, ...underWay: Case['plan'][number][]): Case => ({
  ...one,
  now: { at: now, underWay },
});

export const FLOOR: readonly Case[] = [
  window('with 5 % tolerance: 69 to 71 min', tolerant(0.05), [
    fill(0, '2K', 'M1', 69),
    fill(200, '2K', 'M1', 71),
  ]),
  window('a minute too few', tolerant(0.05), [fill(0, '2K', 'M1', 68)], [0, 68, 1]),
  window('a minute too many', tolerant(0.05), [fill(0, '2K', 'M1', 72)], [0, 72, 1]),

  hands(
    'two for a bath change where one is there',
    floor({ hands: { bath: 2 } }),
    [{ kind: 'bath', machine: 'M1', bath: '2K', start: 50, end: 60 }],
    [50, 60, 1],
  ),
  hands('work that takes nobody', floor({ hands: { circuit: 0 } }), [circuit(0), circuit(0, '2K', 'M2')]),
  hands(
    'a fill that begins takes one',
    floor({ fillStartMinutes: 3 }),
    [fill(0), fill(2, '2K', 'M2')],
    [2, 3, 1],
  ),
  hands('and no longer', floor({ fillStartMinutes: 3 }), [fill(0), fill(3, '2K', 'M2')]),
  hands(
    'the walk to it counts',
    floor({ walkMinutes: 2 }),
    [circuit(0), circuit(31, '2K', 'M2')],
    [29, 30, 1],
  ),
  hands('when it begins as the other ends', floor({ walkMinutes: 2 }), [circuit(0), circuit(32, '2K', 'M2')]),
  hands('no walk where work at the place goes on', floor({ walkMinutes: 2, fillStartMinutes: 2 }), [
    circuit(0),
    fill(30),
  ]),
  hands('no walk before minute 0', floor({ walkMinutes: 5 }), [circuit(0)]),
  hands(
    'the walk begins before the shift',
    floor({ walkMinutes: 2 }, { shifts: [{ id: 'late', from: '01:00', to: '23:00', technicians: 1 }] }),
    [circuit(61)],
    [59, 60, 1],
  ),
  hands(
    'a break counts, and its walk',
    floor({ walkMinutes: 2 }, { duties: [{ id: 'break', times: ['01:00'], minutes: 30, technicians: 1 }] }),
    [circuit(29), duty('break', 60)],
    [58, 59, 1],
  ),
  hands(
    'a break that takes nobody',
    floor({ walkMinutes: 2 }, { duties: [{ id: 'break', times: ['01:00'], minutes: 30 }] }),
    [circuit(50), duty('break', 60)],
  ),
  on(100, hands('what is over by now is not judged', floor({}), [circuit(60), circuit(60, '2K', 'M2')])),
  on(
    80,
    hands(
      'what is under way is judged from now on',
      floor({}),
      [circuit(60), circuit(60, '2K', 'M2')],
      [80, 90, 1],
    ),
    circuit(60),
    circuit(60, '2K', 'M2'),
  ),
  on(100, staffed('a fill under way began in the past', floor({}, { shifts: [] }), [fill(60)]), fill(60)),
  on(100, staffed('a fill that begins now is judged', floor({}, { shifts: [] }), [fill(100)], [100, 165, 1])),
  on(100, staffed('a fill to come is judged', floor({}, { shifts: [] }), [fill(101)], [101, 166, 1])),
  on(100, staffed('of the past nothing is', floor({}, { shifts: [] }), [fill(99)])),
  staffed('nobody is on shift before the start', floor({}), [fill(-1)], [-1, 64, 1]),

  capacity('what a source gives later', changing({ at: at(60), capacity: 800 }), [
    circuit(0),
    circuit(30, '2K', 'M2'),
    circuit(60, '2K', 'M2'),
  ]),
  capacity(
    'less from a minute on',
    changing({ at: at(60), capacity: 700 }),
    [circuit(0), circuit(31, '2K', 'M2')],
    [60, 61, 100],
  ),
  capacity('nothing from a minute on', changing({ at: at(60), capacity: 0 }), [circuit(31)], [60, 61, 800]),
  capacity('more before it gives less', changing({ at: at(60), capacity: 0 }), [
    circuit(30),
    circuit(30, '2K', 'M2'),
  ]),
  capacity(
    'a duty draws too, also where its machine is unavailable',
    tinyWorld({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'RO', available: [] },
        { id: 'M2', flow: 800, positions: 8, water: 'RO' },
      ],
      duties: [{ id: 'D', place: 'M1', times: ['01:00'], minutes: 30, flow: 900 }],
    }),
    [circuit(40, '2K', 'M2'), duty('D', 60, { machine: 'M1' })],
    [60, 70, 100],
  ),
  capacity(
    'a duty at the source draws',
    tinyWorld({ duties: [{ id: 'D', place: 'RO', times: ['01:00'], minutes: 30, flow: 1601 }] }),
    [duty('D', 60, { water: 'RO' })],
    [60, 90, 1],
  ),
  capacity(
    'as much as it gives',
    tinyWorld({ duties: [{ id: 'D', place: 'RO', times: ['01:00'], minutes: 30, flow: 1600 }] }),
    [duty('D', 60, { water: 'RO' })],
  ),

  begins('from the start nothing is past', floor({}), [circuit(0)]),
  on(100, begins('at this minute', floor({}), [circuit(100)])),
  on(100, begins('a minute before', floor({}), [circuit(99)], [99, 129, 1])),
  on(
    100,
    begins('what is under way began when the record says', floor({}), [fill(40), swap(105)]),
    fill(40, '2K', 'M1', 70),
  ),
  on(100, begins('another begin than the record has', floor({}), [test(95)], [95, 105, 5]), test(96)),
  on(100, casesOf('swap-has-fill')('a swap under way', floor({}), [swap(96)]), swap(96)),
  on(
    100,
    casesOf('water-tested')(
      'water is judged from now on',
      tinyWorld(),
      [...batch(0), fill(200)],
      [241, 265, 24],
    ),
    fill(0),
  ),
];
