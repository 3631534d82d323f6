import { describe, expect, test } from 'vitest';
import { startAt } from '../../src/record/from.ts';
import { outTimes } from '../../src/record/minuteOf.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, tinyWorld } from '../world.ts';
import { autumnCircuit, noted, stateAt } from './book.ts';

// All that the state tells of a machine, a source, a lot and of what does not fit, worked out by hand from the entries:
// a circuit takes 30 min, a bath change 10, a swap 8, a rest 15; 8 bags of 6.5 to 7.5 L at 800 mL/min take 65 to 75 min.
const source = (id: string) => ({ id, capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) });
const machine = (id: string, water: string) => ({ id, flow: 800, positions: 8, water });
const world = tinyWorld({
  machines: [
    { ...machine('M1', 'RO'), loaded: { bath: '2K', circuitSince: at(-60) } },
    machine('M2', 'RO'),
    machine('M3', 'RO-B'),
  ],
  water: [source('RO'), source('RO-B')],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5, expires: at(5000) }],
});
type Entries = Parameters<typeof stateAt>[1];
const machineAt = (entries: Entries, now: number, index = 0) => stateAt(world, entries, now).machines[index]!;
/** A set-up that is to be in place at a minute, noted as it begins. */
const begun = (minute: number, fields: Parameters<typeof noted>[1], told: number) =>
  noted(minute, fields, { told });
const doubtsOf = (entries: Entries, now = 600, where = world) => {
  const { doubts } = stateAt(where, entries, now);
  expect(doubts.every(({ expected }) => expected !== '')).toBe(true);
  return doubts.map(({ entry, wrong }) => [entry, wrong]);
};
const LOADED = { bath: '2K', since: -60 };
const idle = {
  id: 'M1',
  bath: '2K',
  circuitSince: -60,
  setUp: null,
  circuitBefore: LOADED,
  underWay: null,
  swapUntil: null,
  outOfService: false,
  outUntil: null,
  outages: [],
  outOfLimits: null,
};
const fill = noted(60, { kind: 'fill', machine: 'M1' });
const off = noted(128, { kind: 'off', machine: 'M1', good: 8 });
const LOT = 'M1 2031-02-03 01:00';
const lotAt = (entries: Entries, now: number, where = world) =>
  stateAt(where, entries, now).lots.find(({ lot }) => lot === LOT)!;

describe('a machine', () => {
  test('as loaded at the start, or with no circuit', () => {
    expect(machineAt([], 0)).toEqual(idle);
    expect(machineAt([], 0, 1)).toEqual({
      ...idle,
      id: 'M2',
      bath: null,
      circuitSince: null,
      circuitBefore: null,
    });
  });
  test('a bath change where no circuit was noted leaves it without one', () => {
    const change = noted(50, { kind: 'bath', machine: 'M2', bath: '2K' });
    expect(machineAt([change], 60, 1)).toMatchObject({ bath: null, circuitSince: null });
  });
  test('whose bath is being changed runs the old one until the change is in place, on the same circuit', () => {
    const entries = [
      begun(40, { kind: 'bath', machine: 'M1', bath: '4K', began: at(30), lots: { acid: 'A-4' } }, 30),
    ];
    expect(machineAt(entries, 30)).toEqual({
      ...idle,
      underWay: {
        kind: 'bath',
        start: 30,
        earliestEnd: 40,
        latestEnd: 40,
        bath: '4K',
        lot: null,
        doubtful: false,
        overfull: false,
      },
    });
    const setUp = {
      entry: entries[0]!.entry.id,
      machine: 'M1',
      bath: '4K',
      since: -60,
      began: 30,
      at: 40,
      by: 'AB',
      lots: { acid: 'A-4' },
      circuit: null,
    };
    expect(machineAt(entries, 40)).toEqual({
      ...idle,
      bath: '4K',
      setUp,
      circuitBefore: { bath: '4K', since: -60 },
    });
    expect(stateAt(world, entries, 40).setUps).toEqual([setUp]);
    expect(stateAt(world, entries, 39).setUps).toEqual([]);
  });
  test('whose circuit is being renewed runs nothing, and keeps what ran before in mind', () => {
    const entries = [
      begun(40, { kind: 'circuit', machine: 'M1', bath: '4K', began: at(10), lots: { filter: 'F-1' } }, 10),
    ];
    expect(machineAt(entries, 10)).toMatchObject({
      bath: null,
      circuitSince: null,
      setUp: null,
      circuitBefore: LOADED,
      underWay: { kind: 'circuit', start: 10, earliestEnd: 40, latestEnd: 40, bath: '4K', lot: null },
    });
    expect(machineAt(entries, 9)).toEqual(idle);
    expect(machineAt(entries, 40)).toMatchObject({
      bath: '4K',
      circuitSince: 10,
      circuitBefore: { bath: '4K', since: 10 },
      setUp: { since: 10, began: 10, at: 40, lots: { filter: 'F-1' }, circuit: entries[0]!.entry.id },
      underWay: null,
    });
  });
  test('a set-up on water that failed is in doubt, on other water it is not', () => {
    const fail = noted(20, { kind: 'test', water: 'RO', result: 'fail' });
    const on = (id: string) => begun(40, { kind: 'circuit', machine: id, bath: '2K', began: at(10) }, 10);
    const { machines } = stateAt(world, [fail, on('M2'), on('M3')], 30);
    expect(machines.map(({ underWay }) => underWay?.doubtful)).toEqual([undefined, true, false]);
  });
  test('a fill is overfull a minute after its longest, not before', () => {
    const told = { kind: 'fill', start: 60, earliestEnd: 125, latestEnd: 135, bath: '2K', lot: LOT };
    expect(machineAt([fill], 135)).toEqual({
      ...idle,
      underWay: { ...told, doubtful: false, overfull: false },
    });
    expect(machineAt([fill], 136).underWay).toMatchObject({ overfull: true });
  });
  test('a swap goes on for its minutes after bags came off, and ends when something new begins', () => {
    expect([128, 135, 136].map((now) => machineAt([fill, off], now).swapUntil)).toEqual([136, 136, null]);
    const next = begun(160, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(130) }, 130);
    expect(machineAt([fill, off, next], 131)).toMatchObject({
      swapUntil: null,
      underWay: { kind: 'circuit' },
    });
  });
  test('its outages are its own and those of its water; it is out until the last of them ends', () => {
    const own = noted(100, { kind: 'out', machine: 'M1', until: at(300) });
    const water = noted(120, { kind: 'out', water: 'RO', until: at(400) });
    const [from100, from120] = [
      { from: 100, until: 300 },
      { from: 120, until: 400 },
    ];
    const told = (entries: Entries, now: number, index = 0) => {
      const { outOfService, outUntil, outages } = machineAt(entries, now, index);
      return [outOfService, outUntil, outages];
    };
    expect(told([own, water], 99)).toEqual([false, null, []]);
    expect(told([own, water], 100)).toEqual([true, 300, [from100]]);
    expect(told([own, water], 299)).toEqual([true, 400, [from100, from120]]);
    expect(told([own, water], 300)).toEqual([true, 400, [from100, from120]]);
    expect(told([own, water], 400)).toEqual([false, null, [from100, from120]]);
    expect(told([own, water], 200, 1)).toEqual([true, 400, [from120]]);
    expect(told([own, water], 200, 2)).toEqual([false, null, []]);
    // Nobody knows when the water is back: nor the machine.
    const open = noted(130, { kind: 'out', water: 'RO' });
    expect(told([own, open], 200)).toEqual([true, null, [from100, { from: 130, until: null }]]);
    // Back before the time that was said; out again; back later than said.
    const back = noted(250, { kind: 'back', machine: 'M1' });
    expect(told([own, back], 260)).toEqual([false, null, [{ from: 100, until: 250 }]]);
    const again = noted(270, { kind: 'out', machine: 'M1' });
    expect(told([own, back, again], 280)).toEqual([
      true,
      null,
      [
        { from: 100, until: 250 },
        { from: 270, until: null },
      ],
    ]);
    expect(told([own, noted(350, { kind: 'back', machine: 'M1' })], 360)).toEqual([false, null, [from100]]);
    expect(told([back], 260)).toEqual([false, null, []]);
  });
  test('an outage near an hour that comes twice lasts as long as it was said to', () => {
    // Clocks go back in Chicago on 2031-11-02 at 02:00 (IANA time zone database): 01:30 is minute 90 and minute 150.
    const autumn = { ...world, timeZone: 'America/Chicago', start: '2031-11-02T00:00' };
    const { clock } = compile(autumn);
    for (const [from, until] of [
      [90, 150],
      [40, 100],
      [40, 160],
      [150, 210],
      [95, 215],
    ] as const) {
      const out = { machine: 'M1', ...outTimes(clock, from, until), noted: '2031-11-02T05:00:00Z' };
      const { outages } = stateAt(autumn, [noted(0, { kind: 'out', ...out })], 155).machines[0]!;
      expect(outages).toEqual([{ from, until }]);
    }
    expect(outTimes(clock, 40, null)).toEqual({ at: '2031-11-02T00:40' });
  });
  test('a set-up during which the power fails is not in place until somebody notes it anew', () => {
    const change = begun(90, { kind: 'bath', machine: 'M1', bath: '4K', began: at(80) }, 80);
    const renewed = begun(90, { kind: 'circuit', machine: 'M1', bath: '4K', began: at(60) }, 60);
    const out = noted(85, { kind: 'out', machine: 'M1' });
    const back = noted(88, { kind: 'back', machine: 'M1' });
    const dry = noted(85, { kind: 'out', water: 'RO', until: at(88) });
    for (const setUp of [change, renewed])
      for (const outage of [[out, back], [dry]]) {
        expect(machineAt([setUp, ...outage], 95)).toMatchObject({
          bath: null,
          circuitSince: null,
          underWay: null,
        });
        expect(doubtsOf([setUp, ...outage], 95)).toEqual([
          [
            setUp.entry.id,
            'M1 became unavailable during this set-up, and nobody noted since that it is in place',
          ],
        ]);
        const anew = noted(130, { kind: 'circuit', machine: 'M1', bath: '4K' });
        expect(machineAt([setUp, ...outage, anew], 130)).toMatchObject({ bath: '4K', circuitSince: 100 });
      }
    // Noted once it was in place, or without an outage meanwhile: it counts.
    const after = noted(90, { kind: 'bath', machine: 'M1', bath: '4K', began: at(80) });
    expect(machineAt([after, out, back], 95)).toMatchObject({ bath: '4K' });
    expect(machineAt([change, noted(90, { kind: 'out', machine: 'M1' })], 95)).toMatchObject({ bath: '4K' });
  });
  test('a fill during which the power fails is in doubt, also when it is soon back: its bags go on hold', () => {
    // 40 minutes without power between 01:20 and 02:00: 68 minutes by the clock, and 28 at the pump.
    for (const place of [{ machine: 'M1' }, { water: 'RO' }]) {
      const out = noted(80, { kind: 'out', ...place });
      const back = noted(120, { kind: 'back', ...place });
      expect(machineAt([fill, out, back], 121).underWay).toMatchObject({ doubtful: true });
      expect(startAt(world, [fill, out, back], 121).stopped).toEqual(['M1']);
      expect(lotAt([fill, out, back, off], 128)).toMatchObject({ good: 0, held: 8 });
      expect(lotAt([fill, out, back, off], 128).holds[0]!.why).toBe(
        `${Object.values(place)[0]} became unavailable during the fill`,
      );
      const release = noted(140, { kind: 'release', lot: LOT });
      expect(lotAt([fill, out, back, off, release], 140)).toMatchObject({ good: 8, held: 0 });
    }
    // Before it, after it, and elsewhere: nothing is held.
    const short = noted(40, { kind: 'out', machine: 'M1', until: at(50) });
    const after = noted(128, { kind: 'out', machine: 'M1' }, { told: 129 });
    const other = noted(80, { kind: 'out', water: 'RO-B' });
    expect(lotAt([short, fill, off, after, other], 130)).toMatchObject({ good: 8, held: 0 });
  });
  test('out of limits since a reading, which is named', () => {
    const bath = { id: '2K', sodium: 140, chloride: 108, bicarbonate: 32 };
    const typed = { ...world, baths: [bath, { id: '4K' }] };
    const reading = noted(50, { kind: 'reading', machine: 'M1', conductivity: 10, temperature: 25 });
    expect(stateAt(typed, [reading], 60).machines[0]!.outOfLimits).toBe(reading.entry.id);
    const change = noted(70, { kind: 'bath', machine: 'M1', bath: '4K' });
    expect(stateAt(typed, [reading, change], 69).machines[0]!.outOfLimits).toBe(reading.entry.id);
    expect(stateAt(typed, [reading, change], 70).machines[0]!.outOfLimits).toBeNull();
  });
});

describe('water', () => {
  test('as its last test left it, and its outage while it lasts', () => {
    const fail = noted(100, { kind: 'test', water: 'RO', result: 'fail', totalChlorine: 0.4 });
    const out = noted(110, { kind: 'out', water: 'RO', until: at(200) });
    const at150 = stateAt(world, [fail, out], 150);
    expect(at150.water).toEqual([
      {
        id: 'RO',
        last: 'fail',
        lastEnd: 100,
        unsure: null,
        outOfService: true,
        outage: { from: 110, until: 200 },
      },
      { id: 'RO-B', last: 'pass', lastEnd: 0, unsure: null, outOfService: false, outage: null },
    ]);
    expect(stateAt(world, [fail, out], 200).water[0]).toMatchObject({ outOfService: false, outage: null });
    expect(at150.tests).toEqual([
      { entry: fail.entry.id, water: 'RO', at: 100, by: 'AB', passed: false, totalChlorine: 0.4 },
    ]);
    const pass = noted(120, { kind: 'test', water: 'RO', result: 'pass' });
    expect(stateAt(world, [fail, pass], 150).tests[1]).toMatchObject({ passed: true, totalChlorine: null });
  });
  test('never tested has no last test', () => {
    const dry = { ...world, water: [{ ...source('RO'), lastTest: null }, source('RO-B')] };
    expect(stateAt(dry, [], 10).water[0]).toMatchObject({ last: null, lastEnd: null });
  });
  test('that failed holds what filled on it, and nothing of other water', () => {
    const fail = (water: string) => noted(200, { kind: 'test', water, result: 'fail' });
    const hold = { cause: 'test', why: 'the total chlorine test of RO failed', at: 200, bags: 'all' };
    expect(lotAt([fill, off, fail('RO')], 210).holds).toMatchObject([hold]);
    expect(lotAt([fill, off, fail('RO-B')], 210).holds).toEqual([]);
  });
  test('a failure in the minute of the last pass, or a bad reading in that of a good one, holds what fills then', () => {
    const doubtful = (...entries: Entries) => machineAt([fill, ...entries], 110).underWay!.doubtful;
    const result = (one: 'pass' | 'fail') => noted(100, { kind: 'test', water: 'RO', result: one });
    const reading = (pH: number) => noted(100, { kind: 'reading', machine: 'M1', pH });
    expect(doubtful(result('pass'), result('fail'))).toBe(true);
    expect(doubtful(reading(7.2), reading(8))).toBe(true);
    expect(doubtful(result('pass'), reading(7.2))).toBe(false);
  });
  test('a set-up over a clock change that repeats an hour began before it was in place', () => {
    // On 2031-11-02 clocks in Chicago go back at 02:00 (IANA time zone database, US rules since 2007).
    const autumn = { ...world, timeZone: 'America/Chicago', start: '2031-11-02T00:00' };
    const began = (from: string, to: string, again: boolean) => {
      const entry = autumnCircuit(from, to, again);
      const { setUps, machines } = stateAt(autumn, [entry], 200);
      return [setUps[0]!.began, machines[0]!.circuitSince, setUps[0]!.at];
    };
    expect(began('01:10', '01:40', false)).toEqual([70, 70, 100]);
    expect(began('01:10', '01:40', true)).toEqual([130, 130, 160]);
    // From the first 01:50 to the second 01:20 it is half an hour.
    expect(began('01:50', '01:20', true)).toEqual([110, 110, 140]);
    expect(began('01:20', '01:20', true)).toEqual([140, 140, 140]);
    expect(began('01:50', '02:10', true)).toEqual([170, 170, 190]);
    expect(began('01:50', '02:10', false)).toEqual([110, 110, 190]);
  });
  test('out until the second time of an hour that a clock change repeats', () => {
    const autumn = { ...world, timeZone: 'America/Chicago', start: '2031-11-02T00:00' };
    const out = (again: boolean) =>
      noted(0, {
        kind: 'out',
        water: 'RO',
        at: '2031-11-02T00:10',
        noted: '2031-11-02T05:10:00Z',
        until: '2031-11-02T01:30',
        ...(again && { again }),
      });
    const until = (again: boolean) => stateAt(autumn, [out(again)], 20).water[0]!.outage;
    expect([until(false), until(true)]).toEqual([
      { from: 10, until: 90 },
      { from: 10, until: 150 },
    ]);
  });
  test('a duty ends circuits of its machine and voids tests of its water alone', () => {
    const flags = { times: ['02:00'], minutes: 20, slackMinutes: 60, endsCircuit: true, voidsTests: true };
    const duties = [
      { ...flags, id: 'at water', place: 'RO' },
      { ...flags, id: 'at machine', place: 'M1' },
      { ...flags, id: 'elsewhere' },
    ];
    const after = (duty: string) => {
      const { water, machines } = stateAt({ ...world, duties }, [noted(140, { kind: 'duty', duty })], 150);
      return [water[0]!.last, machines[0]!.bath];
    };
    expect(duties.map(({ id }) => after(id))).toEqual([
      [null, '2K'],
      ['pass', null],
      ['pass', '2K'],
    ]);
  });
  describe('a duty that voids tests and that nobody noted', () => {
    // Due at 02:00, 20 min, at most 60 min late: it may have been done until 03:20.
    const duty = {
      id: 'rinse',
      place: 'RO',
      times: ['02:00'],
      minutes: 20,
      slackMinutes: 60,
      voidsTests: true,
    };
    const busy = { ...world, duties: [duty] };
    const pass = (minute: number) => noted(minute, { kind: 'test', water: 'RO', result: 'pass' });
    const run = (from: number, to: number) => [
      noted(from, { kind: 'fill', machine: 'M1' }),
      noted(to, { kind: 'off', machine: 'M1', good: 8 }),
    ];
    const unsure = { duty: 'rinse', at: 120 };
    test.each([
      ['while it may still begin, the test before it counts', [pass(60)], 180, null],
      ['once its time is over, it may be void', [pass(60)], 181, unsure],
      ['also where the scenario says of the test', [], 181, unsure],
      [
        'noted as done it is void for sure',
        [pass(60), noted(150, { kind: 'duty', duty: 'rinse' })],
        181,
        null,
      ],
      ['a test that ended before its usual end is of before it', [pass(139)], 181, unsure],
      ['one that ended then is of after it', [pass(140)], 181, null],
      [
        'what ran meanwhile and left less than its minutes shows that nobody did it',
        run(130, 185),
        200,
        null,
      ],
      ['what left its minutes shows nothing', run(140, 205), 230, unsure],
      ['nor does what came off before its time was over', run(100, 165), 200, unsure],
      ['what still runs counts until now', [noted(130, { kind: 'fill', machine: 'M1' })], 195, null],
    ] as const)('%s', (_, entries, now, expected) => {
      const { water, doubts } = stateAt(busy, entries, now);
      expect(water[0]!.unsure).toEqual(expected);
      const told = doubts.filter(({ wrong }) => wrong.includes('the last test of RO may be void'));
      expect(told).toHaveLength(expected ? 1 : 0);
    });
    test('and of another source, or one that voids nothing, leaves the test alone', () => {
      for (const other of [
        { ...duty, place: 'RO-B' },
        { ...duty, voidsTests: false },
      ])
        expect(stateAt({ ...world, duties: [other] }, [pass(60)], 181).water[0]!.unsure).toBeNull();
    });
    test('a plan from then on tests before anything runs; what was noted of the test stands', () => {
      const { problem, state } = startAt(busy, [pass(60)], 181);
      expect(problem.water[0]!.lastTest).toBeNull();
      expect(state.water[0]).toMatchObject({ last: 'pass', lastEnd: 60 });
      expect(startAt(busy, [pass(60)], 180).problem.water[0]!.lastTest).toBe(60);
    });
  });
  test('a fill that begins on water without a test that counts is told: none, or one that is too old', () => {
    const begun = (minute: number, ...entries: ReturnType<typeof noted>[]) =>
      stateAt(world, [...entries, noted(minute, { kind: 'fill', machine: 'M1' })], minute + 1).doubts;
    const wrong = 'M1 began to fill on RO without a total chlorine test that counts';
    const { testEvery } = world.water[0]!;
    expect(begun(testEvery).map((one) => one.wrong)).not.toContain(wrong);
    expect(begun(testEvery + 1)).toMatchObject([{ wrong }]);
    const later = noted(testEvery, { kind: 'test', water: 'RO', result: 'pass' });
    expect(begun(testEvery + 1, later)).toEqual([]);
    const done = noted(140, { kind: 'duty', duty: 'rinse' });
    const rinsed = {
      ...world,
      duties: [
        { id: 'rinse', place: 'RO', times: ['02:00'], minutes: 20, slackMinutes: 60, voidsTests: true },
      ],
    };
    const after = stateAt(rinsed, [done, noted(150, { kind: 'fill', machine: 'M1' })], 151);
    expect(after.doubts.map((one) => one.wrong)).toEqual([wrong]);
  });
  test('a duty that voids tests takes the force of a pass, not of a failure; one at a machine ends its circuit', () => {
    const duties = [
      { id: 'rinse', place: 'RO', times: ['02:00'], minutes: 20, slackMinutes: 60, voidsTests: true },
      { id: 'strip', place: 'M1', times: ['03:00'], minutes: 20, slackMinutes: 60, endsCircuit: true },
      { id: 'dust', place: 'M1', times: ['01:00'], minutes: 20, slackMinutes: 60 },
      { id: 'look', place: 'RO', times: ['01:00'], minutes: 20, slackMinutes: 60 },
    ];
    const busy = { ...world, duties };
    const done = (minute: number, duty: string) => noted(minute, { kind: 'duty', duty });
    const fail = noted(100, { kind: 'test', water: 'RO', result: 'fail' });
    expect(
      stateAt(busy, [done(140, 'rinse')], 150).water.map(({ last, lastEnd }) => [last, lastEnd]),
    ).toEqual([
      [null, null],
      ['pass', 0],
    ]);
    expect(stateAt(busy, [fail, done(140, 'rinse')], 150).water[0]).toMatchObject({
      last: 'fail',
      lastEnd: 100,
    });
    const harmless = stateAt(
      busy,
      [done(80, 'dust'), noted(90, { kind: 'duty', duty: 'look', place: 'RO' })],
      150,
    );
    expect([harmless.water[0]!.last, harmless.machines[0]!.bath]).toEqual(['pass', '2K']);
    expect(harmless.duties.map(({ duty, place, at: minute }) => [duty, place, minute])).toEqual([
      ['dust', null, 80],
      ['look', 'RO', 90],
    ]);
    const stripped = stateAt(busy, [done(200, 'strip')], 210);
    expect(stripped.machines[0]).toMatchObject({ bath: null, circuitSince: null, circuitBefore: null });
    expect(stripped.water[0]!.last).toBe('pass');
  });
});

describe('a lot', () => {
  test('of stock, and of a fill with how it was made', () => {
    const state = stateAt(world, [fill, off], 130);
    expect(state.lots).toEqual([
      {
        lot: 'P-1',
        origin: 'stock',
        bath: '2K',
        litres: 6.5,
        made: 10,
        good: 10,
        held: 0,
        left: 0,
        discarded: 0,
        balance: 0,
        counted: null,
        ready: Number.NEGATIVE_INFINITY,
        expires: 5000,
        holds: [],
        leaves: [],
        discards: [],
        fill: null,
      },
      {
        lot: LOT,
        origin: 'fill',
        bath: '2K',
        litres: 6.5,
        made: 8,
        good: 8,
        held: 0,
        left: 0,
        discarded: 0,
        balance: 0,
        counted: null,
        ready: 151,
        expires: 7328,
        holds: [],
        leaves: [],
        discards: [],
        fill: { machine: 'M1', start: 60, end: 128, fill: fill.entry.id, off: off.entry.id, circuit: null },
      },
    ]);
  });
  test('names the set-up that it was filled on', () => {
    const circuit = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K' });
    const change = noted(55, { kind: 'bath', machine: 'M1', bath: '4K' });
    expect(lotAt([circuit, fill, off], 130)).toMatchObject({ fill: { circuit: circuit.entry.id } });
    expect(lotAt([circuit, change, fill, off], 130)).toMatchObject({
      bath: '4K',
      fill: { circuit: change.entry.id },
    });
  });
  test('that was stopped, or whose end nobody noted, says so: all gone, or all on hold', () => {
    const stop = noted(100, { kind: 'stop', machine: 'M1', why: 'leak' });
    expect(lotAt([fill, stop], 110)).toMatchObject({
      made: 8,
      discarded: 8,
      ready: 100,
      expires: 100,
      discards: [{ why: 'leak', bags: 8, at: 100, entry: stop.entry.id }],
      fill: { end: 100, off: stop.entry.id },
    });
    expect(machineAt([fill, stop], 110)).toEqual(idle);
    const { why: _, ...unsaid } = stop.entry as { why?: string } & typeof stop.entry;
    expect(lotAt([fill, { ...stop, entry: unsaid as typeof stop.entry }], 110).discards[0]!.why).toBe('');
    const next = noted(200, { kind: 'fill', machine: 'M1' });
    expect(lotAt([fill, next], 210)).toMatchObject({
      made: 8,
      good: 0,
      held: 8,
      ready: 200,
      expires: 200,
      holds: [
        {
          cause: 'end not noted',
          entry: next.entry.id,
          at: 200,
          bags: 'all',
          why: 'nobody noted when its bags came off',
        },
      ],
      fill: { end: 200, off: null },
    });
    // A set-up that began says the same: its begin is the latest end.
    const change = noted(200, { kind: 'bath', machine: 'M1', bath: '4K' });
    expect(lotAt([fill, change], 210)).toMatchObject({ held: 8, fill: { end: 190 } });
  });
  test('a figure that no bag can hold is the sum of all of them', () => {
    const held = (litres: number, good = 8) =>
      lotAt([fill, noted(130, { kind: 'off', machine: 'M1', good, litres })], 140).holds.map(
        ({ cause }) => cause,
      );
    // At most 7.5 L: twice that is still one bag, far too full.
    expect(held(15)).toEqual(['overfull']);
    expect(held(15.1)).toEqual(['too little']);
    expect([held(52), held(60), held(60.8), held(51.2)]).toEqual([[], [], ['overfull'], ['too little']]);
    expect(held(20, 1)).toEqual(['overfull']);
    const why = (litres: number) =>
      lotAt([fill, noted(130, { kind: 'off', machine: 'M1', good: 8, litres })], 140).holds[0]!.why;
    expect(why(60.8)).toBe('a bag may hold more than it may');
    expect(why(51.2)).toBe('a bag may hold less than it must');
    const rejected = [
      { reason: 'leak', bags: 2 },
      { reason: 'label', bags: 1 },
    ];
    const entry = noted(130, { kind: 'off', machine: 'M1', good: 5, rejected, litres: 52 });
    expect(lotAt([fill, entry], 140)).toMatchObject({
      made: 8,
      good: 5,
      discarded: 3,
      holds: [],
      discards: [
        { why: 'leak', bags: 2, at: 130, entry: entry.entry.id },
        { why: 'label', bags: 1, at: 130, entry: entry.entry.id },
      ],
    });
  });
  test('what filled on a machine since a bad reading goes back to its last good one, else to its last set-up', () => {
    const reading = (minute: number, pH: number, told = minute) =>
      noted(minute, { kind: 'reading', machine: 'M1', pH }, { told });
    const change = noted(150, { kind: 'bath', machine: 'M1', bath: '2K' });
    const again = [
      noted(160, { kind: 'fill', machine: 'M1' }),
      noted(228, { kind: 'off', machine: 'M1', good: 8 }),
    ];
    const held = (...entries: Entries) =>
      stateAt(world, [fill, off, ...again, ...entries], 400)
        .lots.filter((lot) => lot.fill)
        .map((lot) => lot.held > 0);
    expect(held(reading(300, 8))).toEqual([true, true]);
    expect(held(reading(127, 7.2), reading(300, 8))).toEqual([true, true]);
    expect(held(reading(128, 7.2), reading(300, 8))).toEqual([false, true]);
    expect(held(change, reading(300, 8))).toEqual([false, true]);
    expect(held(change, reading(228, 7.2), reading(300, 8))).toEqual([false, false]);
    // One noted by a clock that is wrong counts where it is bad, not where it is good.
    expect(held(reading(228, 7.2, 500), reading(300, 8))).toEqual([true, true]);
    expect(held(reading(300, 8, 500))).toEqual([true, true]);
    expect(stateAt(world, [reading(228, 7.2, 500)], 400).readings).toEqual([]);
    // What is under way is held as it comes off.
    const going = stateAt(world, [fill, reading(100, 8)], 110);
    expect(going.machines[0]!.underWay).toMatchObject({ doubtful: true });
  });
  test('without a circuit is on hold, and nobody knows its bath', () => {
    const bare = noted(60, { kind: 'fill', machine: 'M2' });
    const done = noted(128, { kind: 'off', machine: 'M2', good: 8 });
    const lot = stateAt(world, [bare, done], 130).lots[1]!;
    expect(lot).toMatchObject({
      bath: null,
      held: 8,
      holds: [{ cause: 'no circuit', entry: bare.entry.id, why: 'no circuit was noted before it' }],
    });
  });
  test('that began on water whose last test failed is on hold for that test', () => {
    const failed = noted(50, { kind: 'test', water: 'RO', result: 'fail' }, { told: 52 });
    expect(lotAt([failed, fill, off], 130).holds).toEqual([
      {
        cause: 'test',
        entry: failed.entry.id,
        at: 50,
        noted: Date.UTC(2031, 1, 3, 0, 52),
        why: 'filled on water whose last test failed',
        bags: 'all',
      },
    ]);
  });
  test('of which some bags are put aside while it fills is not in doubt as a whole', () => {
    const some = noted(70, { kind: 'hold', lot: LOT, bags: 3 });
    expect(machineAt([fill, some], 80).underWay).toMatchObject({ doubtful: false });
    expect(lotAt([fill, some, off], 130)).toMatchObject({ good: 5, held: 3 });
  });
  test('is judged against the bath that runs', () => {
    const baths = [
      { id: '2K', potassium: 2 },
      { id: '4K', potassium: 4 },
    ];
    const change = noted(40, { kind: 'bath', machine: 'M1', bath: '4K' });
    const reading = noted(50, { kind: 'reading', machine: 'M1', potassium: 4 });
    const { readings } = stateAt({ ...world, baths }, [change, reading], 60);
    expect(readings).toMatchObject([{ bath: '4K', result: 'within', judged: [{ low: 3.8, high: 4.2 }] }]);
  });
  test('filled after a reading out of limits is on hold for that reading, until the machine is right again', () => {
    const bath = { id: '2K', sodium: 140, chloride: 108, bicarbonate: 32 };
    const typed = { ...world, baths: [bath, { id: '4K' }] };
    // Sodium 140, chloride 108, bicarbonate 32: expected near 13 mS/cm at 25 C; pH 6.9 to 7.6.
    const bad = noted(50, { kind: 'reading', machine: 'M1', pH: 8 }, { told: 52 });
    const right = noted(55, { kind: 'reading', machine: 'M1', pH: 7.2 });
    expect(lotAt([bad, fill, off], 130, typed).holds).toEqual([
      {
        cause: 'reading',
        entry: bad.entry.id,
        at: 50,
        noted: Date.UTC(2031, 1, 3, 0, 52),
        why: 'filled after a reading out of limits',
        bags: 'all',
      },
    ]);
    expect(lotAt([bad, right, fill, off], 130, { ...world })).toMatchObject({ holds: [], good: 8 });
    // What was within limits then need not be measured again; all that was not must be.
    const composed = { ...world, baths: [{ ...bath, potassium: 2 }, { id: '4K' }] };
    const outOfLimits = (...entries: Entries) => stateAt(composed, entries, 58).machines[0]!.outOfLimits;
    const both = { kind: 'reading', machine: 'M1', temperature: 25 } as const;
    const alkaline = noted(50, { ...both, conductivity: 13.5, potassium: 2, pH: 8 });
    expect(outOfLimits(alkaline, right)).toBe(alkaline.entry.id);
    expect(outOfLimits(alkaline, noted(56, { ...both, conductivity: 13.5 }))).toBe(alkaline.entry.id);
    expect(outOfLimits(alkaline, noted(56, { ...both, conductivity: 13.5, pH: 7.2 }))).toBeNull();
    const worse = noted(50, { ...both, conductivity: 10, pH: 8 });
    expect(outOfLimits(worse, right)).toBe(worse.entry.id);
    expect(outOfLimits(worse, noted(56, { ...both, conductivity: 13.5 }))).toBe(worse.entry.id);
    expect(outOfLimits(worse, noted(56, { ...both, conductivity: 13.5, pH: 7.2 }))).toBeNull();
    expect(stateAt(world, [bad], 60).readings).toEqual([
      {
        entry: bad.entry.id,
        machine: 'M1',
        at: 50,
        by: 'AB',
        bath: '2K',
        measured: { conductivity: null, temperature: null, pH: 8, potassium: null },
        result: 'out',
        judged: [{ quantity: 'pH', value: 8, low: 6.9, high: 7.6, within: false }],
      },
    ]);
  });
  test('waits for its time, its release and a pass of a test begun since, whichever comes last', () => {
    const strict = { ...world, rules: { releaseAfterTest: true } };
    const pass = (minute: number, water = 'RO') => noted(minute, { kind: 'test', water, result: 'pass' });
    const ready = (entries: Entries, where = strict) => lotAt([fill, off, ...entries], 400, where).ready;
    // Bags off at 128: a test of 10 min that ended at 138 began then, one of 137 before.
    expect(ready([])).toBeNull();
    expect(ready([pass(137)])).toBeNull();
    expect(ready([pass(138)])).toBe(151);
    expect(ready([pass(200, 'RO-B')])).toBeNull();
    expect(ready([pass(200)])).toBe(200);
    expect(ready([pass(137), pass(250), pass(300)])).toBe(250);
    expect(ready([noted(200, { kind: 'test', water: 'RO', result: 'fail' })])).toBeNull();
    const both = { ...world, rules: { releaseAfterTest: true, releaseBy: 'entry' as const } };
    const release = (minute: number) => noted(minute, { kind: 'release', lot: LOT });
    expect(ready([pass(200)], both)).toBeNull();
    expect(ready([pass(200), release(180)], both)).toBe(200);
    expect(ready([pass(200), release(230)], both)).toBe(230);
    expect(ready([release(230)], both)).toBeNull();
    // On another machine and other water.
    const third = [
      noted(40, { kind: 'circuit', machine: 'M3', bath: '2K' }),
      noted(60, { kind: 'fill', machine: 'M3' }),
      noted(128, { kind: 'off', machine: 'M3', good: 8 }),
    ];
    const onOther = stateAt(strict, [...third, pass(200), pass(220, 'RO-B')], 400).lots[1]!;
    expect(onOther).toMatchObject({ ready: 220, fill: { machine: 'M3' } });
    // Stock waits for neither.
    expect(stateAt(both, [], 10).lots[0]!.ready).toBe(Number.NEGATIVE_INFINITY);
  });
  test('bags are counted by the entry: named, and more than are there, is told', () => {
    const judged = (
      ...fields: (Record<string, unknown> & { kind: 'hold' | 'release' | 'discard' | 'count' })[]
    ) => fields.map((one, n) => noted(200 + n, { lot: 'P-1', ...one }));
    const lot = (entries: Entries) => {
      const { good, held, discarded, balance } = stateAt(world, entries, 400).lots[0]!;
      return [good, held, discarded, balance];
    };
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'hold', bags: 2 }))).toEqual([5, 5, 0, 0]);
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'release', bags: 2 }))).toEqual([9, 1, 0, 0]);
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'release', bags: 3 }))).toEqual([10, 0, 0, 0]);
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'release' }))).toEqual([10, 0, 0, 0]);
    // What was put aside is thrown away first, then what is good.
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'discard', bags: 2 }))).toEqual([7, 1, 2, 0]);
    expect(lot(judged({ kind: 'hold', bags: 3 }, { kind: 'discard', bags: 5 }))).toEqual([5, 0, 5, 0]);
    expect(
      lot(judged({ kind: 'hold', bags: 3 }, { kind: 'hold', bags: 2 }, { kind: 'discard', bags: 4 })),
    ).toEqual([5, 1, 4, 0]);
    expect(lot(judged({ kind: 'hold' }, { kind: 'discard', bags: 4 }))).toEqual([0, 6, 4, 0]);
    expect(lot(judged({ kind: 'discard' }))).toEqual([0, 0, 10, 0]);
    expect(lot(judged({ kind: 'discard', bags: 10 }))).toEqual([0, 0, 10, 0]);
    expect(lot(judged({ kind: 'discard', bags: 12 }))).toEqual([0, 0, 12, -2]);
    expect(lot(judged({ kind: 'count', bags: 7 }, { kind: 'discard', bags: 2 }))).toEqual([5, 0, 2, 3]);
    expect(doubtsOf(judged({ kind: 'discard', bags: 10 }))).toEqual([]);
    expect(doubtsOf(judged({ kind: 'hold', bags: 10 }, { kind: 'release', bags: 99 }))).toEqual([]);
    const [hold] = judged({ kind: 'hold', bags: 11 });
    expect(doubtsOf([hold!])).toEqual([[hold!.entry.id, '11 bags of P-1 are named, and 10 are there']]);
    const [more] = judged({ kind: 'discard', bags: 11 });
    expect(doubtsOf([more!])).toEqual([[more!.entry.id, '11 bags of P-1 are named, and 10 are there']]);
    const [count] = judged({ kind: 'count', bags: 30 });
    expect(doubtsOf([count!])).toEqual([]);
  });
  test('says why it is on hold or was thrown away, and since which entry', () => {
    const hold = noted(200, { kind: 'hold', lot: 'P-1', bags: 3, why: 'label' });
    const silent = noted(201, { kind: 'hold', lot: 'P-1', bags: 1 });
    const gone = noted(202, { kind: 'discard', lot: 'P-1', bags: 1, why: 'torn' });
    const release = noted(203, { kind: 'release', lot: 'P-1', bags: 2 });
    const at201 = stateAt(world, [hold, silent], 201).lots[0]!;
    const note = (minute: number) => Date.UTC(2031, 1, 3, 0, minute);
    expect(at201.holds).toEqual([
      { cause: 'by hand', entry: hold.entry.id, at: 200, noted: note(200), why: 'label', bags: 3 },
      { cause: 'by hand', entry: silent.entry.id, at: 201, noted: note(201), why: '', bags: 1 },
    ]);
    const at203 = stateAt(world, [hold, silent, gone, release], 203).lots[0]!;
    const why = 'not among the bags released';
    expect(at203.holds).toMatchObject([{ cause: 'by hand', entry: release.entry.id, at: 203, bags: 1, why }]);
    // Held and released in one minute: the release is the later word.
    const both = [noted(200, { kind: 'hold', lot: 'P-1' }), noted(200, { kind: 'release', lot: 'P-1' })];
    expect(stateAt(world, both, 210).lots[0]).toMatchObject({ good: 10, holds: [] });
    expect(at203.discards).toEqual([{ at: 202, bags: 1, why: 'torn', entry: gone.entry.id }]);
    // All that was put aside is gone: no hold is left to tell.
    const all = noted(204, { kind: 'discard', lot: 'P-1', bags: 3 });
    expect(stateAt(world, [hold, all], 210).lots[0]).toMatchObject({ holds: [], good: 7, held: 0 });
  });
});

describe('what does not fit is told once, by its entry', () => {
  const lone = (fields: Parameters<typeof noted>[1], where = world) => {
    const entry = noted(100, fields);
    return doubtsOf([entry], 600, where).map(([id, wrong]) => [id === entry.entry.id, wrong]);
  };
  test.each<[Parameters<typeof noted>[1], string]>([
    [{ kind: 'test', water: 'RO-9', result: 'pass' }, 'no water source is called RO-9'],
    [
      { kind: 'test', water: 'RO', result: 'pass', totalChlorine: 0.2 },
      '0.2 mg/L of total chlorine are above the limit: the test counts as failed',
    ],
    [{ kind: 'circuit', machine: 'M9', bath: '2K' }, 'no machine is called M9'],
    [{ kind: 'circuit', machine: 'M1', bath: '9K' }, 'no bath is called 9K'],
    [{ kind: 'bath', machine: 'M2', bath: '2K' }, 'M2 has no circuit in place'],
    [{ kind: 'reading', machine: 'M9', pH: 7 }, 'no machine is called M9'],
    [{ kind: 'fill', machine: 'M9' }, 'no machine is called M9'],
    [{ kind: 'fill', machine: 'M2' }, 'M2 has no circuit in place'],
    [{ kind: 'off', machine: 'M9', good: 8 }, 'no machine is called M9'],
    [{ kind: 'stop', machine: 'M9' }, 'no machine is called M9'],
    [{ kind: 'stop', machine: 'M1' }, 'no fill is under way on M1'],
    [
      { kind: 'off', machine: 'M1', good: 6, rejected: [{ reason: 'leak', bags: 1 }] },
      'no fill is under way on M1; 7 bags came off',
    ],
    [{ kind: 'hold', lot: 'X' }, 'no lot is called X'],
    [{ kind: 'out', machine: 'M9' }, 'no machine or water source is called M9'],
    [{ kind: 'back', water: 'RO-9' }, 'no machine or water source is called RO-9'],
    [{ kind: 'out' }, 'no machine or water source is called (nothing)'],
    [{ kind: 'duty', duty: 'X' }, 'no duty is called X'],
    [{ kind: 'arrive', lot: 'N', bags: 5 }, 'the lot N that arrived is in no list'],
    [{ kind: 'arrive', lot: 'N', bags: 5, bath: '2K' }, 'the lot N that arrived is in no list'],
    [{ kind: 'arrive', lot: 'N', bags: 5, litres: 5 }, 'the lot N that arrived is in no list'],
    [{ kind: 'arrive', lot: 'N', bags: 5, bath: '9K', litres: 5 }, 'the lot N that arrived is in no list'],
    [{ kind: 'arrive', lot: 'N', bags: 5, bath: '2K', litres: 5 }, 'no expiry is noted of the lot N'],
  ])('%o', (fields, wrong) => {
    expect(lone(fields)).toEqual([[true, wrong]]);
  });
  test.each<Parameters<typeof noted>[1]>([
    { kind: 'test', water: 'RO', result: 'pass', totalChlorine: 0.1 },
    { kind: 'test', water: 'RO', result: 'fail', totalChlorine: 0.2 },
    { kind: 'test', water: 'RO', result: 'fail', totalChlorine: 0 },
    { kind: 'circuit', machine: 'M2', bath: '2K' },
    { kind: 'bath', machine: 'M1', bath: '4K' },
    { kind: 'fill', machine: 'M1' },
    { kind: 'reading', machine: 'M1', pH: 7 },
    { kind: 'out', machine: 'M1' },
    { kind: 'out', water: 'RO' },
    { kind: 'arrive', lot: 'N', bags: 5, bath: '2K', litres: 5, expires: at(9000) },
    { kind: 'arrive', lot: 'P-1', bags: 5 },
    { kind: 'note', text: 'all well' },
    { kind: 'staff', shift: 'all day', date: '2031-02-03', technicians: 1 },
  ])('%o fits', (fields) => {
    expect(lone(fields)).toEqual([]);
  });
  test('more or fewer bags than the machine fills, a fill noted twice, one without an end', () => {
    const seven = noted(128, {
      kind: 'off',
      machine: 'M1',
      good: 6,
      rejected: [{ reason: 'leak', bags: 1 }],
    });
    expect(doubtsOf([fill, seven])).toEqual([[seven.entry.id, '7 bags came off M1, which fills 8']]);
    expect(doubtsOf([fill, off])).toEqual([]);
    const twice = noted(60, { kind: 'fill', machine: 'M1' }, { station: 'tablet', told: 61 });
    expect(doubtsOf([fill, twice])).toEqual([
      [twice.entry.id, `nobody noted the end of the fill ${LOT}`],
      [twice.entry.id, `a fill ${LOT} is noted already`],
    ]);
    const next = noted(200, { kind: 'circuit', machine: 'M1', bath: '2K' });
    expect(doubtsOf([fill, next])).toEqual([[next.entry.id, `nobody noted the end of the fill ${LOT}`]]);
  });
  test('a station whose clock is wrong, and an entry of another week', () => {
    const early = noted(90, { kind: 'note', text: 'x' }, { told: 300 });
    expect(doubtsOf([early], 100)).toEqual([
      [early.entry.id, 'it was noted at 2031-02-03T05:00:00Z, which is still to come'],
    ]);
    expect(doubtsOf([early], 300)).toEqual([]);
    const old = noted(-20_000, { kind: 'note', text: 'x' });
    expect(doubtsOf([old], 100)).toEqual([[old.entry.id, `it is of ${at(-20_000)}, outside this scenario`]]);
  });
  test('a delivery that is due and that nobody noted', () => {
    const due = {
      ...world,
      deliveries: [{ lot: 'C-9', bath: '4K', bags: 60, litres: 5, ready: at(120) }],
    };
    expect(doubtsOf([], 119, due)).toEqual([]);
    expect(doubtsOf([], 120, due)).toEqual([
      [null, 'the delivery C-9 is due, and nobody noted that it came'],
    ]);
    expect(doubtsOf([noted(90, { kind: 'arrive', lot: 'C-9', bags: 60 })], 120, due)).toEqual([]);
  });
});

test('who is there and what was written down is kept as noted', () => {
  const staff = noted(100, {
    kind: 'staff',
    shift: 'all day',
    date: '2031-02-03',
    technicians: 2,
    names: ['AB', 'CD'],
  });
  const fewer = noted(110, { kind: 'staff', shift: 'all day', date: '2031-02-03', technicians: 1 });
  const note = noted(120, { kind: 'note', text: 'quiet' });
  const state = stateAt(world, [staff, fewer, note], 130);
  expect(state.staff).toEqual([
    { shift: 'all day', date: '2031-02-03', at: 100, technicians: 2, names: ['AB', 'CD'] },
    { shift: 'all day', date: '2031-02-03', at: 110, technicians: 1, names: [] },
  ]);
  expect(state.notes).toEqual([{ entry: note.entry.id, at: 120, by: 'AB', text: 'quiet' }]);
});

describe('what arrives', () => {
  const due = {
    ...world,
    deliveries: [{ lot: 'C-9', bath: '4K', bags: 60, litres: 5, ready: at(120), expires: at(9000) }],
  };
  const arrived = (more: Record<string, unknown>, lot = 'C-9', minute = 100) =>
    noted(minute, { kind: 'arrive', lot, bags: 58, ...more });
  const found = (entries: Entries, lot = 'C-9') =>
    stateAt(due, entries, 140).lots.find((one) => one.lot === lot);
  test('is as it came: where nothing is said, as it was listed', () => {
    expect(found([arrived({})])).toMatchObject({
      bath: '4K',
      litres: 5,
      made: 58,
      ready: 100,
      expires: 9000,
    });
    expect(found([arrived({ bath: '2K', litres: 6, expires: at(8000) })])).toMatchObject({
      bath: '2K',
      litres: 6,
      ready: 100,
      expires: 8000,
    });
  });
  test('in parts adds up, and what comes to stock too', () => {
    const entries = [arrived({}), arrived({ bags: 2 }, 'C-9', 130), arrived({ bags: 3 }, 'P-1', 131)];
    expect(found(entries)).toMatchObject({ made: 60, ready: 100 });
    expect(found(entries, 'P-1')).toMatchObject({
      made: 13,
      origin: 'stock',
      ready: Number.NEGATIVE_INFINITY,
    });
  });
  test('of a new lot in parts adds up too', () => {
    const part = (bags: number, minute: number) =>
      arrived({ bath: '2K', litres: 5.5, expires: at(4000), bags }, 'N-1', minute);
    expect(found([part(10, 100), part(5, 130)], 'N-1')).toMatchObject({ made: 15, good: 15, ready: 100 });
  });
  test('short is told until the others come or the list says so; they do not count', () => {
    const wrong = (...entries: Entries) => stateAt(due, entries, 140).doubts.map((one) => one.wrong);
    expect(wrong(arrived({}))).toEqual(['58 of 60 bags of the delivery C-9 came']);
    expect(wrong(arrived({}), arrived({ bags: 2 }, 'C-9', 130))).toEqual([]);
    expect(found([arrived({})])).toMatchObject({ good: 58 });
  });
  test('after its bags were counted is not added to them', () => {
    for (const before of [90, 125]) {
      const count = noted(before, { kind: 'count', lot: 'C-9', bags: 60 });
      const entries = [count, arrived({ bags: 60 }, 'C-9', 130)];
      expect(found(entries)).toMatchObject({ good: 60, balance: 0, counted: null });
      expect(stateAt(due, entries, 140).doubts.map(({ wrong }) => wrong)).toEqual([
        'bags of C-9 were counted before its arrival was noted',
      ]);
    }
  });
  test('of another bath or volume than what is here does not count', () => {
    for (const [lot, more] of [
      ['C-9', { bath: '2K' }],
      ['C-9', { litres: 4 }],
      ['P-1', { bath: '4K' }],
    ] as const) {
      const entries = [arrived({ bags: 60 }), arrived({ bags: 3, ...more }, lot, 130)];
      const state = stateAt(due, entries, 140);
      expect(state.lots.find((one) => one.lot === lot)).toMatchObject({ made: lot === 'C-9' ? 60 : 10 });
      expect(state.doubts).toHaveLength(1);
      expect(state.doubts[0]!.wrong).toMatch(RegExp(`^${lot} is here as .*, and more of it came as `));
    }
    expect(stateAt(due, [arrived({ bags: 60, bath: '2K' })], 140).doubts.map(({ wrong }) => wrong)).toEqual([
      'C-9 is listed as 4K, and came as 2K',
    ]);
  });
  test('with another expiry counts by the earlier one', () => {
    for (const [first, second] of [
      [8000, 7000],
      [7000, 8000],
    ] as const) {
      const part = (bags: number, expires: number, minute: number) =>
        arrived({ bags, expires: at(expires) }, 'C-9', minute);
      const entries = [part(58, first, 100), part(2, second, 130)];
      expect(found(entries)).toMatchObject({ made: 60, expires: 7000 });
      expect(stateAt(due, entries, 140).doubts.map(({ wrong }) => wrong)).toEqual([
        'two expiries are noted of the lot C-9',
      ]);
    }
  });
  test('is never a lot that was filled here', () => {
    const state = stateAt(world, [fill, off, noted(150, { kind: 'arrive', lot: LOT, bags: 3 })], 160);
    expect(state.lots.find(({ lot }) => lot === LOT)).toMatchObject({ made: 8 });
    expect(state.doubts.map(({ wrong }) => wrong)).toEqual([`the lot ${LOT} that arrived is in no list`]);
  });
  test('a new lot keeps what was noted', () => {
    const entry = arrived({ bath: '2K', litres: 5.5, expires: at(4000) }, 'N-1');
    expect(found([entry], 'N-1')).toMatchObject({
      origin: 'delivery',
      bath: '2K',
      litres: 5.5,
      made: 58,
      good: 58,
      ready: 100,
      expires: 4000,
    });
    expect(found([arrived({ bath: '2K', litres: 5.5 }, 'N-1')], 'N-1')).toMatchObject({ expires: null });
  });
});
