import { describe, expect, test } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { roundBefore, startAt } from '../../src/record/from.ts';
import type { Noted } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, test as testAt, tinyWorld } from '../world.ts';
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
  test('bags counted of a delivery whose arrival nobody noted are expected later, and not at once', () => {
    const delivery = { lot: 'C-9', bath: '2K', bags: 12, litres: 6.5, ready: at(60), expires: at(1400) };
    const counted = noted(100, { kind: 'count', lot: 'C-9', bags: 8 });
    const { problem } = from([counted], 110, { deliveries: [delivery] });
    const { swapMinutes, releaseMinutes } = problem.rules;
    expect(problem.lots.filter(({ id }) => id === 'C-9')).toMatchObject([
      { bags: 8, ready: 110 + swapMinutes + releaseMinutes },
    ]);
  });
  test('the fill under way keeps its real begin, the circuit its age', () => {
    const { problem, underWay } = from([circuit, fill], 100);
    expect(underWay).toEqual([{ kind: 'fill', machine: 'M1', bath: '2K', start: 80, end: 145 }]);
    expect(problem.machines[0]!.loaded).toEqual({ bath: 0, since: 10 });
    expect(from([circuit, fill], 150).underWay).toMatchObject([{ end: 150 }]);
    expect(from([circuit, fill], 156).underWay).toEqual([]);
  });
  test('a fill goes on where its test is under way by the plan; nobody knows of it without the plan', () => {
    const plan = [testAt(95), testAt(96, 'RO-B')];
    const water = world.water.map((source) => ({ ...source, testEvery: 104 }));
    const during = (followed: readonly Activity[], entries = [circuit, fill], now = 100) =>
      startAt({ ...world, water }, entries, now, followed);
    // Its test serves to 104; another one from now on would end at 110.
    expect(during([]).stopped).toEqual(['M1']);
    const { stopped, underWay, ended } = during(plan);
    expect(stopped).toEqual([]);
    expect(underWay.map(({ kind, start }) => [kind, start])).toEqual([
      ['fill', 80],
      ['test', 95],
      ['test', 96],
    ]);
    expect(ended.filter(({ kind }) => kind === 'test')).toHaveLength(2);
    // Its end over and nothing noted: it was not made.
    expect(during(plan, [circuit, fill], 105).stopped).toEqual(['M1']);
    expect(during(plan, [circuit, fill], 105).underWay.map(({ kind }) => kind)).toEqual(['test']);
    const fails = noted(99, { kind: 'test', water: 'RO', result: 'fail' });
    expect(during(plan, [circuit, fill, fails]).stopped).toEqual(['M1']);
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

describe('hours of a machine from now on', () => {
  const out = (minute: number, until?: number, machine = 'M1') =>
    noted(minute, { kind: 'out', machine, ...(until === undefined ? {} : { until: at(until) }) });
  const windows = (entries: readonly Noted[], now: number, changes: Partial<Scenario> = {}) =>
    from(entries, now, changes).problem.machines[0]!.windows;
  const open = (...times: [number, number][]): Partial<Scenario> => ({
    machines: [
      { ...world.machines[0]!, available: times.map(([a, b]) => ({ from: at(a), to: at(b) })) },
      world.machines[1]!,
    ],
  });
  test('are those left after now; one that is over is gone', () => {
    expect(windows([], 0)).toEqual([{ from: 0, to: 1440 }]);
    const hours = open([10, 50], [60, 200], [300, 500]);
    const left = [
      { from: 100, to: 200 },
      { from: 300, to: 500 },
    ];
    expect(windows([], 100, hours)).toEqual(left);
    expect(windows([], 199, hours)).toEqual([{ from: 199, to: 200 }, left[1]]);
    expect(windows([], 200, hours)).toEqual([left[1]]);
  });
  test('an outage takes its part: the end, the beginning, the middle, all', () => {
    const hours = open([300, 500]);
    expect(windows([out(90, 300)], 100, hours)).toEqual([{ from: 300, to: 500 }]);
    expect(windows([out(90, 301)], 100, hours)).toEqual([{ from: 301, to: 500 }]);
    expect(windows([out(90, 499)], 100, hours)).toEqual([{ from: 499, to: 500 }]);
    expect(windows([out(90, 500)], 100, hours)).toEqual([]);
    expect(windows([out(90)], 100, hours)).toEqual([]);
    expect(windows([out(90, 200)], 100, hours)).toEqual([{ from: 300, to: 500 }]);
    // While a fill ran on, as somebody judged: its hours before and after the outage, and those that were over by then.
    const judged = noted(96, { kind: 'release', lot: 'M1 2031-02-03 01:20' });
    const ran = [circuit, fill, out(90, 95), judged];
    expect(windows(ran, 100)).toEqual([
      { from: 80, to: 90 },
      { from: 95, to: 1440 },
    ]);
    expect(windows(ran, 100, open([70, 85], [97, 500]))).toEqual([
      { from: 80, to: 85 },
      { from: 97, to: 500 },
    ]);
  });
  test('what runs keeps the hours that it began in; stopped, it ends them until somebody has taken its bags off', () => {
    expect(windows([circuit, fill], 100)).toEqual([{ from: 80, to: 1440 }]);
    const fail = noted(100, { kind: 'test', water: 'RO', result: 'fail' });
    expect(windows([circuit, fill, fail], 100)).toEqual([{ from: 108, to: 1440 }]);
    // Nobody is there after 12:00.
    const late = noted(650, { kind: 'fill', machine: 'M1' });
    expect(windows([circuit, late], 721)).toEqual([]);
  });
});

describe('what is under way', () => {
  const begun = (kind: 'circuit' | 'bath', bath: string, began = 90) =>
    noted(began + 30, { kind, machine: 'M1', bath, began: at(began) }, { told: began });
  test('a set-up goes on to its end, on what ran before', () => {
    const { underWay, problem, stopped } = from([circuit, begun('bath', '4K')], 100);
    expect(underWay).toEqual([{ kind: 'bath', machine: 'M1', bath: '4K', start: 90, end: 120 }]);
    expect(stopped).toEqual([]);
    expect(problem.machines[0]!.loaded).toEqual({ bath: 0, since: 10 });
  });
  test('a set-up that is cut off leaves nobody knows what', () => {
    const out = noted(95, { kind: 'out', machine: 'M1' });
    const { underWay, problem, stopped } = from([circuit, begun('bath', '4K'), out], 100);
    expect([underWay, stopped, problem.machines[0]!.loaded]).toEqual([[], ['M1'], null]);
    // A set-up that goes on puts right what was out of limits.
    const pH = noted(85, { kind: 'reading', machine: 'M1', pH: 8 });
    expect(from([circuit, pH], 90).problem.machines[0]!.loaded).toBeNull();
    expect(from([circuit, pH, begun('bath', '4K')], 100)).toMatchObject({
      stopped: [],
      problem: { machines: [{ loaded: { bath: 0, since: 10 } }, { loaded: null }] },
    });
  });
  test('a fill is stopped on water or a machine in doubt, overfull, or out of service', () => {
    const stopped = (now: number, ...entries: Noted[]) => from([circuit, fill, ...entries], now).stopped;
    expect(stopped(155)).toEqual([]);
    expect(stopped(156)).toEqual(['M1']);
    expect(stopped(100, noted(90, { kind: 'reading', machine: 'M1', pH: 8 }))).toEqual(['M1']);
    expect(stopped(100, noted(90, { kind: 'out', machine: 'M1' }))).toEqual(['M1']);
    expect(stopped(100, noted(90, { kind: 'out', water: 'RO' }))).toEqual(['M1']);
    expect(stopped(100, noted(90, { kind: 'out', water: 'RO-B' }))).toEqual([]);
    expect(from([fill], 100).stopped).toEqual(['M1']);
    // Released, and still nobody knows its bath.
    const release = noted(90, { kind: 'release', lot: 'M1 2031-02-03 01:20' });
    expect(from([fill, release], 100)).toMatchObject({ stopped: ['M1'], underWay: [] });
    // The circuit stays in place.
    const fail = noted(90, { kind: 'test', water: 'RO', result: 'fail' });
    expect(from([circuit, fill, fail], 100).problem.machines[0]!.loaded).toEqual({ bath: 0, since: 10 });
  });
  test('a set-up that is cut off has no bags to take off', () => {
    const out = noted(95, { kind: 'out', machine: 'M1', until: at(101) });
    const { problem } = from([circuit, begun('bath', '4K'), out], 100);
    expect([...problem.staff.slice(99, 103)]).toEqual([2, 2, 2, 2]);
    expect(problem.machines[0]!.windows).toEqual([{ from: 101, to: 1440 }]);
    expect(problem.lost).toEqual([]);
  });
  test('bags that must come off now wait for somebody, who is then busy for the swap', () => {
    // Nobody is there from 100 to 109.
    const breaks = [
      noted(90, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: 0 }),
      noted(110, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: 1 }),
    ];
    const fail = noted(100, { kind: 'test', water: 'RO', result: 'fail' });
    const at100 = from([circuit, fill, fail, breaks[0]!], 100).problem;
    expect(at100.machines[0]!.windows).toEqual([]);
    const at110 = from([circuit, fill, fail, ...breaks], 110).problem;
    expect(at110.machines[0]!.windows).toEqual([{ from: 118, to: 1440 }]);
    expect([...at110.staff.slice(108, 120)]).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1]);
  });
});

describe('people from now on', () => {
  const told = (minute: number, technicians: number, more: Record<string, unknown> = {}) =>
    noted(minute, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians, ...more });
  const bands = (entries: readonly Noted[], changes: Partial<Scenario> = {}) =>
    from(entries, 600, changes).problem.shifts.map(({ from: a, to, technicians }) => [a, to, technicians]);
  test('a change counts from its minute on, the last one most; another shift or date is another', () => {
    expect(bands([])).toEqual([[0, 720, 2]]);
    expect(bands([told(300, 1)])).toEqual([
      [0, 300, 2],
      [300, 720, 1],
    ]);
    expect(bands([told(300, 1), told(400, 3)])).toEqual([
      [0, 300, 2],
      [300, 400, 1],
      [400, 720, 3],
    ]);
    expect(bands([told(300, 1), told(300, 3)])).toEqual([
      [0, 300, 2],
      [300, 720, 3],
    ]);
    expect(bands([told(0, 1)])).toEqual([[0, 720, 1]]);
    expect(bands([told(-60, 1)])).toEqual([[0, 720, 1]]);
    expect(bands([told(300, 1, { shift: 'night' })])).toEqual([[0, 720, 2]]);
    expect(bands([told(300, 1, { date: '2031-02-04' })])).toEqual([[0, 720, 2]]);
  });
  test('a change noted as the shift ends, or later, changes nothing of it', () => {
    const shifts = [{ id: 'day', from: '00:00', to: '05:00', technicians: 2 }];
    expect(bands([told(299, 1)], { shifts })).toEqual([
      [0, 299, 2],
      [299, 300, 1],
    ]);
    expect(bands([told(300, 1)], { shifts })).toEqual([[0, 300, 2]]);
  });
  test('of two shifts at once both are there', () => {
    const shifts = [
      { id: 'day', from: '00:00', to: '12:00', technicians: 2 },
      { id: 'help', from: '10:00', to: '11:00', technicians: 1 },
    ];
    const { staff } = from([told(630, 1)], 640, { shifts }).problem;
    expect([599, 600, 629, 630, 659, 660, 719, 720].map((t) => staff[t])).toEqual([2, 3, 3, 2, 2, 1, 1, 0]);
  });
});

describe('lots that may serve from now on', () => {
  const made = [circuit, fill, noted(150, { kind: 'off', machine: 'M1', good: 8 })];
  const lots = (entries: readonly Noted[], now: number, changes: Partial<Scenario> = {}) =>
    from([...made, ...entries], now, changes).problem.lots;
  test('are as the record has them: bags in whole parts, from the start, for ever where no expiry is known', () => {
    const stock = [{ lot: 'P-1', bath: '4K', bags: 4, litres: 5 }];
    const [stocked, filled] = lots([], 210, { stock });
    expect(stocked).toMatchObject({
      id: 'P-1',
      origin: 'stock',
      bath: 1,
      bags: 4,
      ready: Number.NEGATIVE_INFINITY,
      expires: Number.POSITIVE_INFINITY,
    });
    expect(stocked!.bagParts / filled!.bagParts).toBeCloseTo(5 / 6.5, 12);
    expect(filled).toMatchObject({ origin: 'fill', bath: 0, bags: 8, ready: 173, expires: 7350 });
  });
  test('of a bath that is no longer listed, or that nobody knows, are none', () => {
    expect(lots([], 210, { baths: [{ id: '4K' }] })).toEqual([]);
    const bare = [
      noted(80, { kind: 'fill', machine: 'M2' }),
      noted(150, { kind: 'off', machine: 'M2', good: 8 }),
    ];
    const release = noted(160, { kind: 'release', lot: 'M2 2031-02-03 01:20' });
    expect(lots([...bare, release], 210).map(({ id }) => id)).toEqual(['M1 2031-02-03 01:20']);
  });
  test('that wait for their release, or for a test, are expected as early as they may come: never at once', () => {
    const ready = (now: number, rules: object, ...entries: Noted[]) =>
      lots(entries, now, { rules: { ...world.rules, ...rules } })[0]!.ready;
    // Off at 150, swap 8 and rest 15 min: 173.
    expect(ready(152, { releaseBy: 'entry' })).toBe(173);
    expect(ready(172, { releaseBy: 'entry' })).toBe(173);
    expect(ready(173, { releaseBy: 'entry' })).toBe(174);
    expect(ready(400, { releaseBy: 'entry' })).toBe(401);
    // The last test ended at 0 and holds 240 min: the next one is due then, and takes 10 min from now at the least.
    expect(ready(152, { releaseAfterTest: true })).toBe(240);
    expect(ready(229, { releaseAfterTest: true })).toBe(240);
    expect(ready(300, { releaseAfterTest: true })).toBe(310);
    const pass = noted(100, { kind: 'test', water: 'RO', result: 'pass' });
    expect(ready(200, { releaseAfterTest: true }, pass)).toBe(340);
    const other = noted(100, { kind: 'test', water: 'RO-B', result: 'pass' });
    expect(ready(200, { releaseAfterTest: true }, other)).toBe(240);
    const onM2 = [
      noted(20, { kind: 'circuit', machine: 'M2', bath: '2K' }),
      noted(30, { kind: 'fill', machine: 'M2' }),
      noted(100, { kind: 'off', machine: 'M2', good: 8 }),
    ];
    const both = lots([...onM2, other], 200, { rules: { ...world.rules, releaseAfterTest: true } });
    expect(both.map((lot) => [lot.id, lot.ready])).toEqual([
      ['M2 2031-02-03 00:30', 340],
      ['M1 2031-02-03 01:20', 240],
    ]);
  });
});

describe('what is used of supplies', () => {
  const supplies = [
    { item: 'circuit', onHand: 9, perCircuit: 1, bath: '2K' },
    { item: 'bag set', onHand: 99, perFill: 1, bath: '4K' },
    { item: 'acid', onHand: 900, perLitre: 0.02 },
  ];
  const left = (entries: readonly Noted[], now: number) =>
    from(entries, now, { supplies }).problem.supplies.map(({ onHand, scale }) => onHand / scale);
  test('nothing is used before anything is noted', () => expect(left([], 300)).toEqual([9, 99, 900]));
  test('a circuit counts once, its bath changes do not; each bath counts its own', () => {
    const change = noted(70, { kind: 'bath', machine: 'M1', bath: '4K' });
    const fillOf4K = [fill, noted(150, { kind: 'off', machine: 'M1', good: 8 })];
    // 30 + 10 min of set-ups and 70 min of filling at 0.8 L/min.
    expect(left([circuit, change, ...fillOf4K], 200)).toEqual([
      8,
      98,
      expect.closeTo(900 - 110 * 0.8 * 0.02, 9),
    ]);
    // M2 draws the same, and of a circuit for any bath its bath change takes none.
    const any = [{ item: 'circuit', onHand: 9, perCircuit: 1 }, supplies[2]!];
    const onM2 = noted(40, { kind: 'circuit', machine: 'M2', bath: '2K' });
    expect(
      from([circuit, onM2, change], 200, { supplies: any }).problem.supplies.map(
        ({ onHand, scale }) => onHand / scale,
      ),
    ).toEqual([7, expect.closeTo(900 - 70 * 0.8 * 0.02, 9)]);
    const renewed = noted(300, { kind: 'circuit', machine: 'M1', bath: '4K' });
    expect(left([circuit, renewed], 400)).toEqual([8, 99, expect.closeTo(900 - 60 * 0.8 * 0.02, 9)]);
  });
  test('a fill that goes on is for the plan to count; one that was stopped used what ran until now', () => {
    expect(left([circuit, fill], 100)[2]).toBeCloseTo(900 - 30 * 0.8 * 0.02, 9);
    const out = noted(95, { kind: 'out', machine: 'M1' });
    expect(left([circuit, fill, out], 100)[2]).toBeCloseTo(900 - 50 * 0.8 * 0.02, 9);
    const change = noted(70, { kind: 'bath', machine: 'M1', bath: '4K' });
    expect(left([circuit, change, fill, out], 100)[1]).toBe(98);
    expect(left([circuit, fill, out], 100)[1]).toBe(99);
    // A set-up that is cut off is no fill.
    const cut = noted(120, { kind: 'bath', machine: 'M1', bath: '4K', began: at(90) }, { told: 90 });
    expect(from([circuit, cut, out], 100, { supplies }).stopped).toEqual(['M1']);
    expect(left([circuit, cut, out], 100)[1]).toBe(99);
  });
  test('never falls below none, and counts a delivery from its minute on', () => {
    const few = [{ item: 'circuit', onHand: 0, perCircuit: 1, deliveries: [{ at: at(100), quantity: 3 }] }];
    const on = (now: number) => {
      const [one] = from([circuit], now, { supplies: few }).problem.supplies;
      return [one!.onHand / one!.scale, one!.deliveries.length];
    };
    expect([on(99), on(100)]).toEqual([
      [0, 1],
      [2, 0],
    ]);
  });
});

describe('duties from now on', () => {
  const duties = [
    { id: 'rest', times: ['02:00', '04:00', '06:00'], minutes: 20, slackMinutes: 60 },
    { id: 'dust', times: ['02:00'], minutes: 20, slackMinutes: 60 },
  ];
  const due = (entries: readonly Noted[], now: number) =>
    from(entries, now, { duties }).problem.duties.map(({ at: minutes }) => minutes);
  const done = (minute: number, duty = 'rest') => noted(minute, { kind: 'duty', duty });
  test('one is open to the end of its slack', () => {
    expect(due([], 180)).toEqual([[120, 240, 360], [120]]);
    expect(due([], 181)).toEqual([[240, 360], []]);
  });
  test('one that is done takes the time nearest to its begin, each its own', () => {
    expect(due([done(140)], 150)).toEqual([[240, 360], [120]]);
    expect(due([done(140, 'dust')], 150)).toEqual([[120, 240, 360], []]);
    // Begun at 179 it is nearer to 120, at 181 to 240.
    expect(due([done(199)], 200)).toEqual([[240, 360], []]);
    expect(due([done(201)], 201)).toEqual([[360], []]);
    expect(due([done(140), done(145)], 150)).toEqual([[360], [120]]);
  });
  test('one done half a day away is another', () => {
    const night = [{ id: 'rest', times: ['20:00'], minutes: 20, slackMinutes: 60 }];
    const open = (minute: number) =>
      from([done(minute)], 600, { duties: night }).problem.duties[0]!.at.length;
    // 20:00 is minute 1200; begun 720 min before it counts, 721 before it does not.
    expect([open(499), open(500)]).toEqual([1, 0]);
  });
});

test('a round from now on has its number in the scenario', () => {
  const { state, problem } = from([], 400);
  expect(problem.rounds.map(({ index }) => [index, roundBefore(state, index)])).toEqual([
    [0, 0],
    [1, 2],
  ]);
  // What is due now is carried until the next round's bags hang, or to the end where there is none.
  expect(problem.rounds.map(({ from: a, to }) => [a, to])).toEqual([
    [400, 1140],
    [1140, 1440],
  ]);
  expect(from([], 1100).problem.rounds).toEqual([{ index: 0, at: 1100, from: 1100, to: 1440 }]);
});
