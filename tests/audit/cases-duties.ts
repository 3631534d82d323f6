import type { DutyRow, Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, duty, fill, swap, test, tinyWorld } from '../world.ts';
import { type Case, casesOf } from './case.ts';

// Duties, each rule kept, on the border, broken by a known amount, and beside something that has nothing to do with it.
// Expected values counted by hand; no outside source.

const known = casesOf('duty-known');
const once = casesOf('duty-done-once');
const inTime = casesOf('duty-in-time');
const free = casesOf('duty-water-free');
const length = casesOf('right-length');
const overlap = casesOf('machine-no-overlap');
const window = casesOf('within-window');
const inPlace = casesOf('circuit-in-place');
const tested = casesOf('water-tested');

const world = (rows: DutyRow[], more: Partial<Scenario> = {}) =>
  tinyWorld({
    machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
    duties: rows,
    ...more,
  });
const row = (more: Partial<DutyRow> = {}): DutyRow => ({
  id: 'D',
  times: ['01:00'],
  minutes: 30,
  slackMinutes: 20,
  ...more,
});
const nowhere = world([row()]);
const onM1 = world([row({ place: 'M1' })]);
const atRO = world([row({ place: 'RO' })]);
const m1 = { machine: 'M1' };
const ro = { water: 'RO' };

const loaded = world([row({ place: 'M1', endsCircuit: true })], {
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(0) } },
    { id: 'M2', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(0) } },
  ],
});
const voiding = world([row({ place: 'RO', voidsTests: true })]);

export const DUTIES: readonly Case[] = [
  known(
    'nowhere, at a machine, at water',
    world([row(), row({ id: 'E', place: 'M1' }), row({ id: 'F', place: 'RO' })]),
    [duty('D', 60), duty('E', 60, m1), duty('F', 60, ro)],
  ),
  known('no other than those of the scenario', nowhere, [duty('X', 60)], [60, 90, 1]),
  known('due at that minute', nowhere, [duty('D', 61)], [61, 91, 1]),
  known('at another machine', onM1, [duty('D', 60, { machine: 'M2' })], [60, 90, 1]),
  known('at a machine where it has no place', nowhere, [duty('D', 60, m1)], [60, 90, 1]),
  known('at water where it has no place', nowhere, [duty('D', 60, ro)], [60, 90, 1]),
  known('at water where its place is a machine', onM1, [duty('D', 60, { ...m1, ...ro })], [60, 90, 1]),
  known('at another water source', atRO, [duty('D', 60, { water: 'RO-9' })], [60, 90, 1]),
  known('at water and at a machine beside it', atRO, [duty('D', 60, { ...m1, ...ro })], [60, 90, 1]),
  known('a circuit beside it', onM1, [circuit(0), duty('D', 60, m1)]),

  once('each time', world([row({ times: ['01:00', '02:00'] })]), [duty('D', 60), duty('D', 120)]),
  once('never where it is never due', world([row({ dates: [] })]), []),
  once('left out', world([row({ times: ['01:00', '02:00'] })]), [duty('D', 60)], [120, 150, 1]),
  once('twice', nowhere, [duty('D', 60), duty('D', 60)], [60, 90, 1]),
  once(
    'twice for one time, not for the other',
    world([row({ times: ['01:00', '02:00'] })]),
    [duty('D', 60), duty('D', 60)],
    [60, 90, 1],
    [120, 150, 1],
  ),
  { ...once('its slack ends now', nowhere, [], [60, 90, 1]), now: { at: 80, underWay: [] } },
  { ...once('its slack has ended by now', nowhere, []), now: { at: 81, underWay: [] } },
  // What is under way at its machine ends at 81, a minute after its slack; or at 80, as its slack does.
  {
    ...once('its machine is in use until after its slack', onM1, [circuit(51, '2K', 'M1')]),
    now: { at: 70, underWay: [circuit(51, '2K', 'M1')] },
  },
  {
    ...once('its machine is in use until its slack ends', onM1, [circuit(50, '2K', 'M1')], [60, 90, 1]),
    now: { at: 70, underWay: [circuit(50, '2K', 'M1')] },
  },
  {
    ...once('its machine is filling, and its bags come off after its slack', onM1, [...batch(10)]),
    now: { at: 70, underWay: [fill(10)] },
  },
  {
    ...once('what is not yet begun could have waited', onM1, [circuit(71)], [60, 90, 1]),
    now: { at: 70, underWay: [] },
  },
  {
    ...once('the only technician has a circuit under way', world([row({ technicians: 1 })]), [circuit(51)]),
    now: { at: 70, underWay: [circuit(51)] },
  },
  {
    ...once(
      'the technician is free as its slack ends',
      world([row({ technicians: 1 })]),
      [circuit(50)],
      [60, 90, 1],
    ),
    now: { at: 70, underWay: [circuit(50)] },
  },
  {
    ...once(
      'the technician is free as its slack ends, and has to walk',
      world([row({ technicians: 1 })], { rules: { walkMinutes: 1 } }),
      [circuit(50)],
    ),
    now: { at: 70, underWay: [circuit(50)] },
  },
  {
    ...once('the source is tested until after its slack', atRO, [test(71)]),
    now: { at: 75, underWay: [test(71)] },
  },

  inTime('when it is due, and at the end of its slack', world([row({ times: ['01:00', '02:00'] })]), [
    duty('D', 60),
    duty('D', 120, { start: 140 }),
  ]),
  inTime('a minute early', nowhere, [duty('D', 60, { start: 59 })], [59, 89, 1]),
  inTime('a minute after its slack', nowhere, [duty('D', 60, { start: 81 })], [81, 111, 1]),
  inTime('without slack', world([row({ slackMinutes: null })]), [duty('D', 60)]),

  length('as long as its row says', nowhere, [duty('D', 60)]),
  length('what nobody knows has no set time', nowhere, [duty('X', 60, { minutes: 7 }), test(0, 'RO-9', 7)]),
  length('a minute less', nowhere, [duty('D', 60, { minutes: 29 })], [60, 89, 1]),

  overlap('right before and after', onM1, [circuit(30), duty('D', 60, m1), bathChange(90)]),
  overlap('a minute into a circuit', onM1, [circuit(31), duty('D', 60, m1)], [60, 61, 1]),
  overlap('a fill meanwhile on another machine', onM1, [duty('D', 60, m1), fill(60, '2K', 'M2')]),
  overlap('a swap', onM1, [duty('D', 60, m1), swap(89)], [89, 90, 1]),
  overlap(
    'another duty at the machine',
    world([row({ place: 'M1' }), row({ id: 'E', place: 'M1' })]),
    [duty('D', 60, m1), duty('E', 60, { ...m1, start: 70 })],
    [70, 90, 20],
  ),
  overlap('a break is at no machine', nowhere, [circuit(60), duty('D', 60)]),

  window(
    'a duty need not lie in a window',
    world([row({ place: 'M1' })], {
      machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO', available: [] }],
    }),
    [duty('D', 60, m1)],
  ),

  inPlace('a fill before the duty ends the circuit', loaded, [fill(0, '2K', 'M1', 60), duty('D', 60, m1)]),
  inPlace('a fill after it', loaded, [duty('D', 60, m1), fill(90)], [90, 155, 1]),
  inPlace('with a new circuit', loaded, [duty('D', 60, m1), circuit(90), fill(120)]),
  inPlace('on another machine', loaded, [duty('D', 60, m1), fill(90, '2K', 'M2')]),
  inPlace('a duty that ends none', onM1, [circuit(0), duty('D', 60, m1), fill(90)]),

  free('nothing else meanwhile', atRO, [circuit(30), duty('D', 60, ro), circuit(90)]),
  free('a circuit for a minute of it', atRO, [circuit(31), duty('D', 60, ro)], [60, 61, 1]),
  free('a fill of the source', atRO, [fill(80, '2K', 'M2'), duty('D', 60, ro)], [80, 90, 10]),
  free('a test', atRO, [test(85), duty('D', 60, ro)], [85, 90, 5]),
  free('a test right after', atRO, [test(90), duty('D', 60, ro)]),
  free('a swap goes on', atRO, [swap(70), duty('D', 60, ro)]),
  free(
    'duties at one source may overlap',
    world([row({ place: 'RO' }), row({ id: 'E', place: 'RO', flow: 5 })]),
    [duty('D', 60, ro), duty('E', 60, ro)],
  ),
  free(
    "a machine's duty that draws",
    world([row({ place: 'RO' }), row({ id: 'E', place: 'M2', flow: 5 })]),
    [duty('D', 60, ro), duty('E', 60, { machine: 'M2', start: 65 })],
    [65, 90, 25],
  ),
  free("a machine's duty that draws nothing", world([row({ place: 'RO' }), row({ id: 'E', place: 'M2' })]), [
    duty('D', 60, ro),
    duty('E', 60, { machine: 'M2' }),
  ]),
  free(
    'a machine of another source, and its test',
    world([row({ place: 'RO' })], {
      machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO-2' }],
      water: ['RO', 'RO-2'].map((id) => ({
        id,
        capacity: 1600,
        testEvery: 240,
        testMinutes: 10,
        lastTest: at(0),
      })),
    }),
    [test(60, 'RO-2'), circuit(70), duty('D', 60, ro)],
  ),

  tested('a test after the duty', voiding, [duty('D', 60, ro), test(90), circuit(100)]),
  tested('a test that ends with the duty holds', voiding, [duty('D', 60, ro), test(80), circuit(90)]),
  tested(
    'and one that ends a minute before does not',
    voiding,
    [duty('D', 60, ro), test(79), circuit(90)],
    [90, 120, 30],
  ),
  tested('the tests before it are void', voiding, [duty('D', 60, ro), test(95), circuit(90)], [90, 105, 15]),
  tested('up to its start they serve', voiding, [circuit(30), duty('D', 60, ro)]),
  tested('from its start on none does', voiding, [circuit(31), duty('D', 60, ro)], [60, 61, 1]),
  tested('a duty that voids none', atRO, [duty('D', 60, ro), circuit(90)]),
];
