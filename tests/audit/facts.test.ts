import { describe, expect, it } from 'vitest';
import {
  counted,
  factsOf,
  hasSoundTimes,
  isKnownKind,
  judgedFrom,
  nameOf,
  timesAt,
} from '../../src/audit/facts.ts';
import { walkMachines } from '../../src/audit/loaded.ts';
import { Changes, stretchesOver } from '../../src/audit/stretches.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, bathChange, circuit, duty, fill, swap, test, tinyWorld } from '../world.ts';

const world = tinyWorld({
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '4K', circuitSince: at(-60) } },
    { id: 'M2', flow: 800, positions: 8, water: 'RO' },
  ],
  water: [
    { id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(-20) },
    { id: 'RO-B', capacity: 1600, testEvery: 240, testMinutes: 10 },
  ],
  duties: [
    { id: 'D', place: 'M1', times: ['01:00'], minutes: 30, endsCircuit: true },
    { id: 'D', place: 'RO', times: ['02:00'], minutes: 30 },
    { id: 'W', place: 'RO-B', times: ['02:00'], minutes: 30 },
    { id: 'X', times: ['02:00'], minutes: 30 },
  ],
});
const problem = compile(world);
const onM1 = { machine: 'M1' };

describe('a plan sorted for judging', () => {
  it('by start, then end; each machine and source has its own; what cannot be read is left out', () => {
    const bad = [
      null,
      7,
      { kind: 'nap', start: 0, end: 5 },
      fill(9.5),
      { ...fill(5), end: 5 },
      { ...fill(5), end: 4 },
    ];
    const plan = [
      swap(95),
      fill(30),
      test(30, 'RO-B'),
      duty('D', 60, onM1),
      circuit(60),
      circuit(0, '2K', 'M2'),
      duty('W', 120, { water: 'RO-B' }),
      test(300),
      test(200),
      fill(7, '2K', 'M9'),
      test(1, 'RO-9'),
      ...(bad as Activity[]),
    ];
    const facts = factsOf(problem, plan);
    const told = (list: readonly Activity[]) => list.map(({ kind, start, end }) => `${kind} ${start} ${end}`);
    expect(facts.given).toBe(plan);
    expect(told(facts.sound)).toEqual([
      'circuit 0 30',
      'test 1 11',
      'fill 7 72',
      'test 30 40',
      'fill 30 95',
      'duty 60 90',
      'circuit 60 90',
      'swap 95 103',
      'duty 120 150',
      'test 200 210',
      'test 300 310',
    ]);
    expect(facts.onMachine.map(told)).toEqual([
      ['fill 30 95', 'circuit 60 90', 'swap 95 103'],
      ['circuit 0 30'],
    ]);
    expect(told(facts.allOnMachine[0]!)).toEqual([
      'fill 30 95',
      'duty 60 90',
      'circuit 60 90',
      'swap 95 103',
    ]);
    expect(told(facts.duties)).toEqual(['duty 60 90', 'duty 120 150']);
    expect(facts.dutiesAtWater.map(told)).toEqual([[], ['duty 120 150']]);
    expect(facts.testEnds).toEqual([[-20, 210, 310], [40]]);
  });
  it('at one minute duties come first, of two the one that ends first', () => {
    const four = [
      circuit(60),
      duty('D', 60, { ...onM1, minutes: 40 }),
      duty('D', 60, onM1),
      circuit(60, '2K', 'M1', 9),
    ];
    for (const plan of [four, four.toReversed()]) {
      const { allOnMachine, sound } = factsOf(problem, plan);
      expect(allOnMachine[0]!.map(({ kind, end }) => [kind, end])).toEqual([
        ['duty', 90],
        ['duty', 100],
        ['circuit', 69],
        ['circuit', 90],
      ]);
      expect(sound.map(({ end }) => end)).toEqual([69, 90, 90, 100]);
    }
  });
  it('tests count from their ends, in the order of these', () =>
    expect(factsOf(problem, [test(10, 'RO-B', 200), test(20, 'RO-B', 30)]).testEnds[1]).toEqual([50, 210]));
  it('a test takes no machine and a circuit no source, whatever a file says', () => {
    const facts = factsOf(problem, []);
    const odd = [
      { ...test(0), machine: 'M1' },
      { ...circuit(0), water: 'RO' },
    ] as Activity[];
    expect(odd.map((one) => [facts.machineNumber(one), facts.sourceNumber(one)])).toEqual([
      [-1, 0],
      [0, -1],
    ]);
  });
  it('knows machine, source and bath by name, a duty by the first of its name', () => {
    const facts = factsOf(problem, []);
    expect(
      [circuit(0), circuit(0, '2K', 'M2'), swap(0, 'M9'), test(0), duty('D', 60, onM1), duty('X', 120)].map(
        facts.machineNumber,
      ),
    ).toEqual([0, 1, -1, -1, 0, -1]);
    expect(facts.machine(circuit(0, '2K', 'M2'))?.id).toBe('M2');
    expect(facts.machine(test(0))).toBeUndefined();
    expect(
      [
        test(0),
        test(0, 'RO-B'),
        test(0, 'RO-9'),
        duty('W', 1, { water: 'RO-B' }),
        duty('D', 60, onM1),
        circuit(0),
      ].map(facts.sourceNumber),
    ).toEqual([0, 1, -1, 1, -1, -1]);
    expect([facts.source(test(0, 'RO-B'))?.id, facts.source(circuit(0))]).toEqual(['RO-B', undefined]);
    expect(['2K', '4K', '9K'].map(facts.bathNumber)).toEqual([0, 1, -1]);
    expect(facts.duty(duty('D', 60) as never)?.endsCircuit).toBe(true);
    expect(facts.duty(duty('Z', 60) as never)).toBeUndefined();
    expect(problem.duties.map(facts.placeOfDuty)).toEqual(['M1', 'RO', 'RO-B', '']);
  });
  it('tells local times near, and minutes far away', () => {
    const { at: told } = factsOf(problem, []);
    expect([told(0), told(421), told(421), told(-1), told(60.5)]).toEqual([
      '2031-02-03 00:00',
      '2031-02-03 07:01',
      '2031-02-03 07:01',
      '2031-02-02 23:59',
      '2031-02-03 01:00',
    ]);
    expect([105_000_000, -105_000_000, Number.NaN].map(told)).toEqual([
      'minute 105000000',
      'minute -105000000',
      'minute NaN',
    ]);
    // 199 years and 8 months on.
    expect(told(104_999_999)).toMatch(/^2230-/);
  });
  it('what is under way is known by kind, place, start and bath, and began before now', () => {
    const later = { ...problem, now: 70 };
    const known = (given: Activity, underWay: readonly Activity[] = [fill(60), test(65), circuit(75)]) =>
      factsOf(later, [], underWay).isUnderWay(given);
    expect(known({ ...fill(60), end: 200 })).toBe(true);
    expect(known(test(65))).toBe(true);
    expect(
      [fill(61), fill(60, '4K'), fill(60, '2K', 'M2'), circuit(60), test(65, 'RO-B')].map((one) =>
        known(one),
      ),
    ).toEqual([false, false, false, false, false]);
    // Not begun by now.
    expect([known(circuit(75)), known(fill(70), [fill(70)]), known(fill(69), [fill(69)])]).toEqual([
      false,
      false,
      true,
    ]);
    expect(factsOf(later, []).isUnderWay(fill(60))).toBe(false);
  });
  it('is judged from its start, or from now on where a day is under way', () => {
    const from = (now: number, start: number) => judgedFrom(factsOf({ ...problem, now }, []), fill(start));
    expect([from(0, 5), from(0, -5), from(70, 60), from(70, 80)]).toEqual([5, -5, 70, 80]);
  });
});

describe('small words and counts', () => {
  it('one unit, many, and parts without the noise of sums', () => {
    expect([counted(1, 'bag'), counted(2, 'bag'), counted(0.1 + 0.2, 'bag'), counted(0, 'bag')]).toEqual([
      '1 bag',
      '2 bags',
      '0.3 bags',
      '0 bags',
    ]);
  });
  it('what is known, and whole', () => {
    expect(
      ['circuit', 'bath', 'fill', 'swap', 'test', 'duty', 'nap'].map((kind) =>
        isKnownKind({ kind } as Activity),
      ),
    ).toEqual([...Array(6).fill(true), false]);
    expect([null, undefined, 'fill', 3].map((one) => isKnownKind(one as unknown as Activity))).toEqual(
      Array(4).fill(false),
    );
    const sound = (start: number, end: number) => hasSoundTimes({ ...fill(0), start, end });
    expect([
      sound(0, 1),
      sound(1, 1),
      sound(2, 1),
      sound(0.5, 3),
      sound(0, 2.5),
      sound(Number.NaN, 1),
      sound(0, 2 ** 60),
    ]).toEqual([true, ...Array(6).fill(false)]);
    expect([nameOf(fill(0)), nameOf({ kind: 'nap' } as never)]).toEqual(['fill of 2K on M1', 'activity']);
  });
  it('how often something starts or ends in a minute', () => {
    const plan = [fill(30), fill(30, '4K'), fill(40), swap(95)] as never;
    expect([...timesAt(plan, 'fill', 'start')]).toEqual([
      [30, 2],
      [40, 1],
    ]);
    expect([...timesAt(plan, 'fill', 'end')]).toEqual([
      [95, 2],
      [105, 1],
    ]);
    expect([...timesAt(plan, 'swap', 'start')]).toEqual([[95, 1]]);
  });
});

it('what each activity finds on its machine: the circuit and its bath, until a duty ends it', () => {
  const found: unknown[] = [];
  const plan = [
    fill(0),
    bathChange(70, '2K'),
    fill(80),
    duty('D', 150, onM1),
    bathChange(180, '4K'),
    circuit(200, '4K'),
    duty('X', 240, onM1),
    duty('Z', 250, onM1),
    swap(300),
    circuit(0, '2K', 'M2'),
    fill(30, '2K', 'M2'),
  ];
  walkMachines(factsOf(problem, plan), ({ kind, start }, loaded) =>
    found.push([kind, start, loaded?.bath, loaded?.since]),
  );
  expect(found).toEqual([
    ['fill', 0, '4K', -60],
    ['bath', 70, '4K', -60],
    ['fill', 80, '2K', -60],
    ['bath', 180, undefined, undefined],
    ['circuit', 200, undefined, undefined],
    ['swap', 300, '4K', 200],
    ['circuit', 0, undefined, undefined],
    ['fill', 30, '2K', 0],
  ]);
});

describe('stretches over a limit', () => {
  it('run without a break, tell their first worst minute, and end with the plan at the latest', () => {
    expect(stretchesOver([], 10)).toEqual([]);
    expect(
      stretchesOver(
        [
          [0, 0],
          [2, -1],
        ],
        10,
      ),
    ).toEqual([]);
    expect(
      stretchesOver(
        [
          [0, 1],
          [3, 2],
          [5, 2],
          [6, 1],
          [8, 0],
          [9, 3],
        ],
        12,
      ),
    ).toEqual([
      { start: 0, end: 8, worst: 3, over: 2 },
      { start: 9, end: 12, worst: 9, over: 3 },
    ]);
  });
  it('changes of one minute are summed, and told in order of time', () => {
    const changes = new Changes<number>((a, b) => a + b);
    changes.add(9, 1);
    changes.add(2, 5);
    changes.add(9, -4);
    changes.add(0, 0);
    changes.add(0, 3);
    expect(changes.inOrder()).toEqual([
      [0, 3],
      [2, 5],
      [9, -3],
    ]);
  });
});
