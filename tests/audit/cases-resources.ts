import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, fill, swap, test, tinyWorld } from '../world.ts';
import { type Case, casesOf } from './case.ts';

const world = tinyWorld();
const machines = (flow: number, count = 3) =>
  Array.from({ length: count }, (_, index) => ({ id: `M${index + 1}`, flow, positions: 8, water: 'RO' }));
const crowd = (technicians: number, flow = 100, capacity = 1600) =>
  tinyWorld({
    machines: machines(flow),
    water: [{ id: 'RO', capacity, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
    shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians }],
  });
const gap = tinyWorld({
  shifts: [
    { id: 'early', from: '00:00', to: '02:00', technicians: 1 },
    { id: 'late', from: '03:00', to: '00:00', technicians: 2 },
  ],
});
const tested = (lastTest: string | null, testEvery = 240) =>
  tinyWorld({ water: [{ id: 'RO', capacity: 1600, testEvery, testMinutes: 10, lastTest }] });
const stocked = (...supplies: NonNullable<Scenario['supplies']>) =>
  tinyWorld({ machines: machines(800, 2), supplies });

const hands = casesOf('technicians-enough');
const staffed = casesOf('fill-start-staffed');
const capacity = casesOf('water-capacity');
const water = casesOf('water-tested');
const supplies = casesOf('supplies-enough');

export const RESOURCES: readonly Case[] = [
  hands('fine', world, [circuit(0), ...batch(30), test(103)]),
  hands('one after the other', world, [test(0), circuit(10), bathChange(40)]),
  hands(
    'one that has ended, two at once, one later',
    crowd(1),
    [circuit(0), circuit(30, '2K', 'M2'), test(30), test(60)],
    [30, 40, 1],
  ),
  hands('what ended before the start', world, [circuit(-30), circuit(0)]),
  hands('what began before the start, until its end', world, [circuit(-10), circuit(19)], [19, 20, 1]),
  hands('what goes on after the end', world, [circuit(1430), bathChange(1439)], [1439, 1440, 1]),
  hands('what begins after the end', world, [circuit(1440), circuit(1440, '4K')]),
  hands('one minute of two', world, [test(0), circuit(9)], [9, 10, 1]),
  hands(
    'three where one is there',
    crowd(1),
    [circuit(0), circuit(10, '2K', 'M2'), circuit(20, '2K', 'M3')],
    [10, 40, 2],
  ),
  hands('three are there', crowd(3), [circuit(0), circuit(0, '2K', 'M2'), circuit(0, '2K', 'M3')]),
  hands('fills need none', crowd(1), [fill(0), fill(0, '2K', 'M2'), fill(0, '2K', 'M3')]),
  hands('throughout: the shift ends a minute before the work', gap, [circuit(91)], [120, 121, 1]),
  hands('up to the end of the shift', gap, [circuit(90)]),
  hands('from the start of the shift', gap, [circuit(180)]),
  hands('a minute before the shift', gap, [circuit(179)], [179, 180, 1]),
  hands('two stretches', gap, [circuit(110), bathChange(170), test(300)], [120, 140, 1], [170, 180, 1]),
  hands(
    'shifts that overlap add up',
    tinyWorld({
      shifts: [
        { id: 'a', from: '00:00', to: '08:00', technicians: 1 },
        { id: 'b', from: '01:00', to: '02:00', technicians: 1 },
      ],
    }),
    [circuit(60), test(60), circuit(105, '2K'), test(115)],
    [120, 125, 1],
  ),
  hands(
    // Europe/Berlin goes from 02:00 to 03:00 on 29 March 2026, so midnight to 06:00 is 5 h.
    'a night shift across a clock change',
    tinyWorld({
      timeZone: 'Europe/Berlin',
      start: '2026-03-29T00:00',
      shifts: [{ id: 'night', from: '22:00', to: '06:00', technicians: 1 }],
    }),
    [circuit(270), circuit(331)],
    [331, 361, 1],
  ),

  staffed('fine', gap, [fill(0)]),
  staffed('in the last minute of the shift', gap, [fill(119)]),
  staffed('in the first minute of the next', gap, [fill(180)]),
  staffed('as the shift ends', gap, [fill(120)], [120, 185, 1]),
  staffed('in the last minute of the gap', gap, [fill(179)], [179, 244, 1]),
  staffed('a busy technician is on shift', gap, [circuit(0), fill(10)]),
  staffed('other kinds are not its business', gap, [circuit(130)]),

  capacity('fine', world, [circuit(0), ...batch(30)]),
  capacity('exactly all', crowd(3, 800), [fill(0), circuit(0, '2K', 'M2')]),
  capacity(
    'three at once',
    crowd(3, 800),
    [fill(0), fill(10, '2K', 'M2'), bathChange(30, '4K', 'M3')],
    [30, 40, 800],
  ),
  capacity('back to back', crowd(3, 800), [fill(0), fill(0, '2K', 'M2'), fill(65, '2K', 'M3')]),
  capacity('one minute', crowd(3, 800), [fill(0), fill(0, '2K', 'M2'), fill(64, '2K', 'M3')], [64, 65, 800]),
  capacity('swaps and tests draw none', crowd(3, 800), [
    fill(0),
    fill(0, '2K', 'M2'),
    swap(10, 'M3'),
    test(20),
  ]),
  // 0.1 + 0.1 + 0.1 is above 0.3 in floating point.
  capacity('decimals are exact', crowd(3, 0.1, 0.3), [fill(0), fill(0, '2K', 'M2'), fill(0, '2K', 'M3')]),
  capacity(
    'over by a hundredth',
    crowd(3, 0.1, 0.29),
    [fill(0), fill(0, '2K', 'M2'), fill(0, '2K', 'M3')],
    [0, 65, 0.01],
  ),
  capacity(
    'sources do not share',
    tinyWorld({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'RO' },
        { id: 'M2', flow: 800, positions: 8, water: 'RO-2' },
      ],
      water: ['RO', 'RO-2'].map((id) => ({
        id,
        capacity: 800,
        testEvery: 240,
        testMinutes: 10,
        lastTest: at(0),
      })),
    }),
    [fill(0), fill(0, '2K', 'M2')],
  ),

  water('fine', world, [circuit(0), ...batch(30)]),
  // A test that ended at 0 serves minutes 0..240 inclusive; an activity is under way in start..end-1.
  water('to the last minute', world, [fill(176)]),
  water('a minute more', world, [fill(177)], [241, 242, 1]),
  water('begun in its last minute', world, [circuit(240)], [241, 270, 29]),
  water('never tested', tested(null), [circuit(0)], [0, 30, 30]),
  water('as a test ends', tested(null), [test(0), circuit(10)]),
  water('a minute before a test ends', tested(null), [test(0), circuit(9)], [9, 10, 1]),
  water('the next test in time', world, [fill(177), test(231)]),
  water('the next test a minute late', world, [fill(200), test(232)], [241, 242, 1]),
  water('a gap in the middle', tested(at(0), 20), [test(30), fill(0)], [21, 40, 19], [61, 65, 4]),
  water('a test before the start counts', tested(at(-200)), [circuit(11)]),
  water('and no longer than it may', tested(at(-200)), [circuit(12)], [41, 42, 1]),
  water('another source', tested(null), [test(0, 'RO-9'), circuit(10)], [10, 40, 30]),
  water('swaps run no water', tested(null), [swap(0)]),

  supplies('fine', stocked({ item: 'circuit', onHand: 9, perCircuit: 1 }), [circuit(0)]),
  supplies(
    'neither a bath change nor a swap takes a bag set',
    stocked({ item: 'bag set', onHand: 0, perFill: 1 }),
    [bathChange(0), swap(20)],
  ),
  supplies(
    'two that begin together',
    stocked({ item: 'circuit', onHand: 1, perCircuit: 1 }),
    [circuit(10, '2K', 'M2'), circuit(10)],
    [10, 1440, 1],
  ),
  supplies(
    'delivered as it is used',
    stocked({ item: 'circuit', onHand: 0, perCircuit: 1, deliveries: [{ at: at(40), quantity: 1 }] }),
    [circuit(40)],
  ),
  supplies(
    'a machine that nobody has takes nothing',
    stocked({ item: 'circuit', onHand: 0, perCircuit: 1 }),
    [circuit(0, '2K', 'M9')],
  ),
  {
    ...supplies(
      'what is under way took them before now',
      stocked({ item: 'bag set', onHand: 1, perFill: 1 }),
      [fill(60), fill(130, '2K', 'M2')],
    ),
    now: { at: 100, underWay: [fill(60)] },
  },
  supplies('to the last one', stocked({ item: 'circuit', onHand: 1, perCircuit: 1 }), [circuit(0)]),
  supplies(
    'one too many',
    stocked({ item: 'circuit', onHand: 1, perCircuit: 1 }),
    [circuit(0), circuit(40)],
    [40, 1440, 1],
  ),
  supplies(
    'a delivery in the same minute is in time',
    stocked({ item: 'circuit', onHand: 0, perCircuit: 1, deliveries: [{ at: at(40), quantity: 1 }] }),
    [circuit(40)],
  ),
  supplies(
    'a minute later is too late',
    stocked({ item: 'bag set', onHand: 1, perFill: 2, deliveries: [{ at: at(41), quantity: 1 }] }),
    [fill(40)],
    [40, 41, 1],
  ),
  // 0.02222 x 0.8 L/min x 65 min = 1.15544 L, used as the fill starts; a longer fill uses more.
  supplies('litres by the minute', stocked({ item: 'acid', onHand: 1.15544, perLitre: 0.02222 }), [fill(40)]),
  supplies(
    'one minute more',
    stocked({ item: 'acid', onHand: 1.15544, perLitre: 0.02222 }),
    [fill(40, '2K', 'M1', 66)],
    [40, 1440, 0.017776],
  ),
  supplies(
    'circuit and bath changes run dialysate too',
    stocked({ item: 'acid', onHand: 1, perLitre: 1 }),
    [circuit(0), bathChange(30)],
    [0, 1440, 31],
  ),
  supplies('only the bath it is for', stocked({ item: 'acid 2K', onHand: 24, perLitre: 1, bath: '2K' }), [
    circuit(0),
    bathChange(30, '4K'),
    ...batch(40, '4K'),
  ]),
  supplies(
    'ten times 0.1 is 1',
    stocked({ item: 'wipe', onHand: 1, perFill: 0.1 }),
    Array.from({ length: 10 }, (_, index) => fill(index * 100)),
  ),
  supplies(
    'swaps and tests use none',
    stocked({ item: 'set', onHand: 0, perFill: 1, perCircuit: 1, perLitre: 1 }),
    [swap(0), test(8)],
  ),
];
