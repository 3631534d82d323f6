import { describe, expect, test } from 'vitest';
import { startAt } from '../../src/record/from.ts';
import type { Noted } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';
import { noted } from './book.ts';

const world = tinyWorld({
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO' },
    { id: 'M2', flow: 800, positions: 8, water: 'RO-B' },
  ],
  water: [
    { id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) },
    { id: 'RO-B', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) },
  ],
  shifts: [{ id: 'day', from: '00:00', to: '12:00', technicians: 2 }],
  rules: { rounds: ['06:00', '18:00'] },
});
const circuit = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K' });
const fill = noted(80, { kind: 'fill', machine: 'M1' });
const from = (entries: readonly Noted[], now: number, changes: Partial<Scenario> = {}) =>
  startAt({ ...world, ...changes }, entries, now);

describe('the problem from now on', () => {
  test('nothing begins before now; rounds that left are gone and what is due now is round 0', () => {
    const { problem } = from([], 400);
    expect(problem.now).toBe(400);
    expect(problem.rounds.map(({ index, at }) => [index, at])).toEqual([
      [0, 400],
      [1, 1080],
    ]);
    expect(problem.dueNow).toEqual([0, 0]);
  });
  test('the fill under way keeps its real begin, the circuit its age', () => {
    const { problem, underWay } = from([circuit, fill], 100);
    expect(underWay).toEqual([{ kind: 'fill', machine: 'M1', bath: '2K', start: 80, end: 145 }]);
    expect(problem.machines[0]!.loaded).toEqual({ bath: 0, since: 10 });
    expect(from([circuit, fill], 150).underWay).toMatchObject([{ end: 150 }]);
    expect(from([circuit, fill], 156).underWay).toEqual([]);
  });
  test('a failed test leaves no test to run on, and stops what runs on its water alone', () => {
    const other = [
      noted(40, { kind: 'circuit', machine: 'M2', bath: '2K' }),
      noted(80, { kind: 'fill', machine: 'M2' }),
    ];
    const fail = noted(100, { kind: 'test', water: 'RO', result: 'fail' });
    const { problem, underWay } = from([circuit, fill, ...other, fail], 100);
    expect(problem.water.map(({ lastTest }) => lastTest)).toEqual([null, 0]);
    expect(underWay.map((one) => 'machine' in one && one.machine)).toEqual(['M2']);
    // Somebody takes the bags off M1 now: a swap of 8 minutes.
    expect(problem.machines[0]!.windows[0]!.from).toBe(108);
    expect([...problem.staff.slice(99, 110)]).toEqual([2, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2]);
  });
  test('a fill that nobody can end, or whose water is tested too late, is not counted on', () => {
    // The test of minute 0 serves to 240: one of 10 minutes begun by 230 is in time, so that the fill may run on.
    const late = noted(200, { kind: 'fill', machine: 'M1' });
    expect(from([circuit, late], 231)).toMatchObject({ stopped: [], underWay: [{ start: 200, end: 265 }] });
    expect(from([circuit, late], 231).ended.map(({ kind, start, end }) => [kind, start, end])).toEqual([
      ['fill', 200, 265],
      ['test', 231, 241],
      ['swap', 265, 273],
    ]);
    const { stopped, underWay, problem } = from([circuit, late], 232);
    expect([stopped, underWay]).toEqual([['M1'], []]);
    expect(problem.machines[0]!.windows[0]!.from).toBe(240);
    const home = noted(210, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: 0 });
    expect(from([circuit, late, home], 231).stopped).toEqual(['M1']);
  });
  test('a fill lost on one machine leaves the good fill on another alone', () => {
    const other = [
      noted(40, { kind: 'circuit', machine: 'M2', bath: '2K' }),
      noted(80, { kind: 'fill', machine: 'M2' }),
    ];
    const { underWay } = from(
      [circuit, fill, ...other, noted(100, { kind: 'stop', machine: 'M2', why: 'leak' })],
      100,
    );
    expect(underWay).toEqual([{ kind: 'fill', machine: 'M1', bath: '2K', start: 80, end: 145 }]);
  });
  test('a fill of a bath that is no longer listed is not counted on', () => {
    expect(from([circuit, fill], 100, { baths: [{ id: '4K' }] })).toMatchObject({
      stopped: ['M1'],
      underWay: [],
    });
  });
  test('the swap that goes on keeps the machine and a technician', () => {
    const { problem } = from([circuit, fill, noted(150, { kind: 'off', machine: 'M1', good: 8 })], 152);
    expect(problem.machines[0]!.windows[0]!.from).toBe(158);
    expect([...problem.staff.slice(152, 160)]).toEqual([1, 1, 1, 1, 1, 1, 2, 2]);
    expect(problem.lots).toMatchObject([{ id: 'M1 2031-02-03 01:20', bags: 8, ready: 173, expires: 7350 }]);
  });
  test('bags on hold, gone or expired are no lots', () => {
    const made = [circuit, fill, noted(150, { kind: 'off', machine: 'M1', good: 8 })];
    const lot = 'M1 2031-02-03 01:20';
    expect(from([...made, noted(200, { kind: 'hold', lot, bags: 3 })], 210).problem.lots).toMatchObject([
      { bags: 5 },
    ]);
    expect(from([...made, noted(200, { kind: 'hold', lot })], 210).problem.lots).toEqual([]);
    const stock = [{ lot: 'P-1', bath: '2K', bags: 4, litres: 6.5, expires: at(200) }];
    expect(from([], 199, { stock }).problem.lots).toHaveLength(1);
    expect(from([], 200, { stock }).problem.lots).toHaveLength(0);
  });
  test('people who went home are missing from their minute to the end of the shift', () => {
    const home = noted(300, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: 1 });
    const { problem } = from([home], 310);
    expect([problem.staff[299], problem.staff[300], problem.staff[719], problem.staff[720]]).toEqual([
      2, 1, 1, 0,
    ]);
  });
  test('a machine out until a minute is back at that minute, next day too', () => {
    const out = noted(300, { kind: 'out', machine: 'M1', until: at(1400) });
    expect(from([out], 310).problem.machines[0]!.windows).toEqual([{ from: 1400, to: 1440 }]);
    expect(from([out], 310).problem.machines[1]!.windows).toEqual([{ from: 310, to: 1440 }]);
    expect(from([noted(300, { kind: 'out', machine: 'M1' })], 310).problem.machines[0]!.windows).toEqual([]);
  });
  test('out of limits: what runs there next is a new set-up', () => {
    const bath = { id: '2K', sodium: 140, chloride: 108, bicarbonate: 32 };
    const reading = noted(60, { kind: 'reading', machine: 'M1', conductivity: 10, temperature: 25 });
    const { problem } = from([circuit, reading], 70, { baths: [bath, { id: '4K' }] });
    expect(problem.machines[0]!.loaded).toBeNull();
  });
  test('supplies are those on hand less what was used, delivered ones counted', () => {
    const supplies = [
      { item: 'circuit', onHand: 3, perCircuit: 1 },
      {
        item: 'bag set',
        onHand: 10,
        perFill: 2,
        deliveries: [
          { at: at(100), quantity: 5 },
          { at: at(500), quantity: 7 },
        ],
      },
      { item: 'acid', onHand: 90, perLitre: 0.02, bath: '2K' },
    ];
    const done = [circuit, fill, noted(150, { kind: 'off', machine: 'M1', good: 8 })];
    const [circuits, bags, acid] = from(done, 200, { supplies }).problem.supplies;
    expect(circuits!.onHand / circuits!.scale).toBe(2);
    expect(bags!.onHand / bags!.scale).toBe(13);
    expect(bags!.deliveries.map(({ at }) => at)).toEqual([500]);
    // 30 min of circuit and 70 of fill at 0.8 L/min.
    expect(acid!.onHand / acid!.scale).toBeCloseTo(90 - 100 * 0.8 * 0.02, 9);
  });
  test('duties done or over are gone, the others stay', () => {
    const duties = [{ id: 'rest', times: ['02:00', '04:00', '06:00'], minutes: 20, slackMinutes: 60 }];
    const done = noted(265, { kind: 'duty', duty: 'rest' });
    expect(from([done], 270, { duties }).problem.duties[0]!.at).toEqual([360]);
    expect(from([], 270, { duties }).problem.duties[0]!.at).toEqual([240, 360]);
  });
});
