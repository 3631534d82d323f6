import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { continued } from '../../src/record/continue.ts';
import { startAt } from '../../src/record/from.ts';
import { NO_LINE, type Noted } from '../../src/record/journal.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { readScenario } from '../../src/scenario/read.ts';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';
import { bed, noted } from './book.ts';

/** The next scenario from a minute on, as its file is read, with its record noted at once. */
function next(scenario: Scenario, entries: readonly Noted[], now: number) {
  const before = startAt(scenario, entries, now).state;
  const going = continued(scenario, before, 'AB');
  const read = readScenario(JSON.stringify(going.scenario));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const lines = going.entries.map((draft, n) => ({
    entry: { ...draft, n: n + 1, id: `desk/${n + 1}`, noted: `${at(now)}:00Z`, before: NO_LINE },
    file: 'desk.jsonl',
    line: n + 1,
  })) as Noted[];
  const stateAt = (minute: number) => startAt(read.scenario, lines, minute).state;
  return { before, scenario: read.scenario, lines, stateAt };
}
const ward = tinyWorld({
  patients: [bed()],
  stock: [
    { lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 },
    { lot: 'P-2', bath: '2K', bags: 10, litres: 6.5 },
  ],
  rules: { rounds: ['06:00', '12:00', '18:00'] },
});
const load = (lot: string, bags: number) => ({ lot, bath: '2K', bags, bed: 'bed-1' });
const left = (minute: number, round: number, ...loads: object[]) =>
  noted(minute, { kind: 'leave', round, loads });
const hangs = (scenario: Scenario) => demandOf(compile(scenario)).hangs;

test('a fill under way that is in doubt is in doubt in the next scenario too', () => {
  const before = [
    noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' }),
    noted(60, { kind: 'fill', machine: 'M1' }),
  ];
  const doubts = [
    [noted(70, { kind: 'hold', lot: 'M1 2031-02-03 01:00' })],
    [noted(70, { kind: 'out', machine: 'M1' }), noted(80, { kind: 'back', machine: 'M1' })],
  ];
  for (const doubt of doubts) {
    const { lines, stateAt } = next(ward, [...before, ...doubt], 90);
    expect(stateAt(0).machines[0]!.underWay).toMatchObject({ doubtful: true, lot: 'M1 2031-02-03 01:00' });
    expect(lines.filter(({ entry }) => entry.kind === 'hold')).toHaveLength(1);
  }
  expect(next(ward, before, 90).stateAt(0).machines[0]!.underWay).toMatchObject({ doubtful: false });
});

test('a machine out of limits is so in the next scenario too, until every quantity is within', () => {
  const row = { id: '2K', sodium: 140, chloride: 108, bicarbonate: 32 };
  const typed = { ...ward, baths: [row, { id: '4K' }] };
  const reading = (minute: number, measured: object) =>
    noted(minute, { kind: 'reading', machine: 'M1', ...measured });
  const before = [
    noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' }),
    reading(50, { conductivity: 10, temperature: 25 }),
    reading(55, { pH: 8.9 }),
  ];
  const { scenario, lines, stateAt } = next(typed, before, 60);
  expect(stateAt(0).machines[0]!.outOfLimits).not.toBeNull();
  const later = (...more: Noted[]) =>
    startAt(scenario, [...lines, ...more], 30).state.machines[0]!.outOfLimits;
  expect(later(reading(70, { pH: 7.2 }))).not.toBeNull();
  expect(later(noted(90, { kind: 'circuit', machine: 'M1', bath: '2K' }))).toBeNull();
  expect(next(typed, before.slice(0, 1), 60).lines.filter(({ entry }) => entry.kind === 'reading')).toEqual(
    [],
  );
});
test('a fill begun the second time an hour comes keeps its minute in the next scenario', () => {
  // Clocks go back in Chicago on 2031-11-02 at 02:00 (IANA time zone database). 01:10 the second time is minute 130.
  const autumn = { ...ward, timeZone: 'America/Chicago', start: '2031-11-02T00:00' };
  const local = { at: '2031-11-02T01:10', again: true, noted: '2031-11-02T07:10:00Z' };
  const fill = noted(0, { kind: 'fill', machine: 'M1', ...local });
  const { state } = startAt(autumn, [fill], 190);
  expect(state.machines[0]!.underWay).toMatchObject({ start: 130 });
  const { entries } = continued(autumn, state, 'AB');
  expect(entries.find(({ kind }) => kind === 'fill')).toMatchObject({ at: local.at, again: true });
});

describe('what is on the ward goes on into the next scenario', () => {
  const entries = [left(0, 0, load('P-1', 4))];
  test('the bag that hangs goes on with what is left in it; the next hangs at its own minute', () => {
    // Hung at 2 h; by 2 h 50 min 50/120 of 6.5 L ran.
    const { scenario } = next(ward, entries, 170);
    expect(scenario.patients[0]!.hanging).toEqual({ hungAt: at(120), litres: 3.791667 });
    expect(
      hangs(scenario)[0]!
        .slice(0, 3)
        .map(({ minute }) => minute + 170),
    ).toEqual([240, 360, 480]);
  });
  test('bags that wait at the bed are carried, not in stock and not due again', () => {
    const { before, stateAt } = next(ward, entries, 170);
    expect(before).toMatchObject({ dueNow: [0, 0], bedside: [{ lot: 'P-1', bags: 2, bed: 'bed-1' }] });
    const state = stateAt(0);
    expect(state).toMatchObject({ dueNow: [0, 0], bedside: [{ lot: 'P-1', bags: 2, bed: 'bed-1' }] });
    expect(state.doubts).toEqual([]);
    expect(state.lots.map(({ lot, good, left: away }) => [lot, good, away])).toEqual([
      ['P-1', 6, 2],
      ['P-2', 10, 0],
    ]);
    // The site goes on noting its rounds.
    expect(state.notesRounds).toBe(true);
  });
  test('a site that notes no rounds goes on noting none', () => {
    const { before, stateAt } = next(ward, [noted(1, { kind: 'note', text: 'quiet' })], 170);
    expect(before.bedside).toMatchObject([{ lot: 'P-1', bags: 2 }]);
    expect(stateAt(0)).toMatchObject({ notesRounds: false, dueNow: [0, 0], bedside: [{ bags: 2 }] });
    // At 06:00, minute 190, the next round leaves as planned: 8, 10, 12 h.
    expect(stateAt(191).lots.map(({ left: away }) => away)).toEqual([5, 0]);
  });
  test('what is due and what is called back stay so', () => {
    const held = noted(125, { kind: 'hold', lot: 'P-1', why: 'a leak' });
    const { before, stateAt } = next(ward, [...entries, held], 130);
    expect(before.dueNow).toEqual([3, 0]);
    const state = stateAt(0);
    expect(state.dueNow).toEqual([3, 0]);
    expect(state.recall.reduce((sum, { bags }) => sum + bags, 0)).toBe(3);
    expect(state.lots[0]).toMatchObject({ lot: 'P-1', good: 0, held: 6, left: 3 });
  });
  test('bags of a bath that nobody knows are no stock of the next scenario, and a note says so', () => {
    // No circuit was noted before the fill.
    const bare = [
      noted(10, { kind: 'fill', machine: 'M1' }),
      noted(78, { kind: 'off', machine: 'M1', good: 8 }),
    ];
    const text =
      'Discard what is left of M1 2031-02-03 00:10 (bags: 8). This scenario does not list it, because nobody knows its bath.';
    const { scenario, lines, stateAt } = next(ward, [...entries, ...bare], 170);
    expect(scenario.stock!.map(({ lot }) => lot)).toEqual(['P-1', 'P-2']);
    expect(lines.filter(({ entry }) => entry.kind === 'note').map(({ entry }) => entry)).toMatchObject([
      { text },
    ]);
    expect(stateAt(0).doubts).toEqual([]);
    const gone = noted(100, { kind: 'discard', lot: 'M1 2031-02-03 00:10' });
    const after = next(ward, [...entries, ...bare, gone], 170).lines;
    expect(after.some(({ entry }) => entry.kind === 'note')).toBe(false);
  });
  test('a circuit of a bath that the scenario does not list is none of the next one', () => {
    const other = noted(90, { kind: 'circuit', machine: 'M1', bath: '9K' });
    expect(next(ward, [...entries, other], 170).scenario.machines[0]!.loaded).toBeNull();
  });
  test('a round that left before its time keeps it', () => {
    const early = left(340, 1, load('P-2', 3));
    const { stateAt } = next(ward, [...entries, early], 350);
    expect(stateAt(0)).toMatchObject({ dueNow: [0, 0], nextRound: 2 });
  });
});

describe('what goes on into the next scenario, field by field', () => {
  const source = (id: string) => ({ id, capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) });
  const week = tinyWorld({
    patients: [bed()],
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(-60) } },
      { id: 'M2', flow: 800, positions: 8, water: 'RO-B' },
    ],
    water: [source('RO'), source('RO-B')],
    shifts: [{ id: 'day', from: '00:00', to: '00:00', technicians: 2 }],
    stock: [
      { lot: 'P-1', bath: '2K', bags: 10, litres: 6.5, expires: at(5000) },
      { lot: 'P-2', bath: '2K', bags: 4, litres: 5 },
    ],
    rules: { rounds: ['06:00', '12:00', '18:00'] },
  });
  const go = (scenario: Scenario, entries: readonly Noted[], now: number) => {
    const { state } = startAt(scenario, entries, now);
    return continued(scenario, state, 'CD');
  };
  const kinds = (entries: readonly Noted[], now: number, kind: string) =>
    go(week, entries, now).entries.filter((one) => one.kind === kind);
  const quiet = left(0, 0);

  test('stock: what is here or at the bedside, with its expiry, and from when on where it is not ready yet', () => {
    const made = [
      noted(60, { kind: 'fill', machine: 'M1' }),
      noted(128, { kind: 'off', machine: 'M1', good: 7, rejected: [{ reason: 'leak', bags: 1 }] }),
    ];
    const gone = noted(100, { kind: 'discard', lot: 'P-2' });
    const stock = (now: number, ...entries: Noted[]) =>
      go(week, [quiet, ...made, ...entries], now).scenario.stock;
    const filled = { lot: 'M1 2031-02-03 01:00', bath: '2K', bags: 7, litres: 6.5, expires: at(7328) };
    const whole = { lot: 'P-1', bath: '2K', bags: 10, litres: 6.5, ready: null, expires: at(5000) };
    expect(stock(150, gone)).toEqual([whole, { ...filled, ready: at(151) }]);
    expect(stock(151)).toEqual([
      whole,
      { lot: 'P-2', bath: '2K', bags: 4, litres: 5, ready: null, expires: null },
      { ...filled, ready: null },
    ]);
    const held = noted(140, { kind: 'hold', lot: 'P-1', bags: 3 });
    expect(stock(150, held)![0]).toEqual(whole);
    // All of it left, and two of its bags wait.
    const away = go(week, [left(0, 0, load('P-2', 4))], 130).scenario.stock!;
    expect(away.map(({ lot, bags }) => [lot, bags])).toEqual([
      ['P-1', 10],
      ['P-2', 2],
    ]);
    const resting = { ...week, stock: [{ lot: 'P-3', bath: '2K', bags: 4, litres: 5, ready: at(200) }] };
    expect(go(resting, [quiet], 100).scenario.stock).toMatchObject([{ lot: 'P-3', ready: at(200) }]);
  });
  test('a delivery goes on as one while it may still come', () => {
    const deliveries = [
      { lot: 'C-1', bath: '2K', bags: 5, litres: 5, ready: at(100) },
      { lot: 'C-2', bath: '2K', bags: 5, litres: 5, ready: at(300) },
    ];
    const lots = (now: number, ...entries: Noted[]) => {
      const { scenario } = go({ ...week, deliveries }, [quiet, ...entries], now);
      return [scenario.deliveries!.map(({ lot }) => lot), scenario.stock!.map(({ lot }) => lot)];
    };
    expect(lots(50)).toEqual([
      ['C-1', 'C-2'],
      ['P-1', 'P-2'],
    ]);
    // Due and not noted: it may still come, as one that is late.
    expect(lots(200)).toEqual([
      ['C-1', 'C-2'],
      ['P-1', 'P-2'],
    ]);
    const came = noted(120, { kind: 'arrive', lot: 'C-1', bags: 5 });
    expect(lots(200, came)).toEqual([['C-2'], ['P-1', 'P-2', 'C-1']]);
    expect(lots(120, came)).toEqual([['C-2'], ['P-1', 'P-2', 'C-1']]);
  });
  test('supplies: what is left of them, and the deliveries that are still to come', () => {
    const supplies = [
      {
        item: 'circuit',
        onHand: 3,
        perCircuit: 1,
        deliveries: [
          { at: at(100), quantity: 4 },
          { at: at(200), quantity: 5 },
        ],
      },
    ];
    const circuits = noted(90, { kind: 'circuit', machine: 'M1', bath: '2K' });
    // 30 min of a set-up at 0.8 L/min.
    const acid = [{ item: 'acid', onHand: 900, perLitre: 0.02 }];
    const [less] = go({ ...week, supplies: acid }, [circuits], 199).scenario.supplies!;
    expect(less).toMatchObject({ onHand: expect.closeTo(900 - 30 * 0.8 * 0.02, 9), deliveries: [] });
    const at199 = go({ ...week, supplies }, [circuits], 199).scenario.supplies![0]!;
    expect([at199.onHand, at199.deliveries!.map(({ at: minute }) => minute)]).toEqual([6, [at(200)]]);
    const at200 = go({ ...week, supplies }, [circuits], 200).scenario.supplies![0]!;
    expect([at200.onHand, at200.deliveries]).toEqual([11, []]);
  });
  test('circuits, tests and prescriptions are those of the minute; who is no longer treated is not there', () => {
    const entries = [
      noted(90, { kind: 'bath', machine: 'M1', bath: '4K' }),
      noted(95, { kind: 'test', water: 'RO', result: 'pass' }),
      noted(96, { kind: 'test', water: 'RO-B', result: 'fail' }),
    ];
    const change = { at: at(50), bath: '4K', dose: 20, noted: at(40) };
    const later = { at: at(300), dose: 30 };
    const patients = [
      bed({ changes: [later, change] }),
      bed({ id: 'bed-2', until: at(100) }),
      bed({ id: 'bed-3', until: at(101) }),
    ];
    const { scenario } = go({ ...week, patients }, entries, 100);
    expect(scenario.start).toBe(at(100));
    expect(scenario.machines.map(({ loaded }) => loaded)).toEqual([
      { bath: '4K', circuitSince: at(-60) },
      null,
    ]);
    expect(scenario.water.map(({ lastTest }) => lastTest)).toEqual([at(95), null]);
    expect(scenario.patients.map(({ id }) => id)).toEqual(['bed-1', 'bed-3']);
    expect(scenario.patients[0]).toMatchObject({ bath: '4K', dose: 20, changes: [later] });
    expect(scenario.patients[0]).not.toHaveProperty('noted');
    // A change of the very minute is in force.
    expect(
      go({ ...week, patients: [bed({ changes: [{ at: at(100), bath: '4K' }] })] }, [], 100).scenario
        .patients[0],
    ).toMatchObject({ bath: '4K', changes: [] });
    // A field that a change leaves empty stays as it was; of two changes the later one counts.
    const empty = [
      { at: at(60), bath: null, dose: 25 },
      { at: at(50), bath: '4K', dose: 20 },
    ] as never;
    expect(go({ ...week, patients: [bed({ changes: empty })] }, [], 100).scenario.patients[0]).toMatchObject({
      bath: '4K',
      dose: 25,
    });
  });
  test('the bag that hangs: none where nobody is treated, where it has run dry, or where it was called back', () => {
    const hanging = (now: number, fields: Partial<Patient> = {}, ...entries: Noted[]) =>
      go({ ...week, patients: [bed(fields)] }, entries, now).scenario.patients[0]!.hanging;
    expect(hanging(130)).toEqual({ hungAt: at(120), litres: 5.958334 });
    expect(hanging(180)).toEqual({ hungAt: at(120), litres: 3.25 });
    expect(hanging(0)).toBeNull();
    // What is called back was brought after it was hung, and waits.
    const later = [left(0, 0, load('P-1', 1)), left(60, 0, load('P-2', 3))];
    const called = [...later, noted(110, { kind: 'hold', lot: 'P-2' })];
    expect(hanging(115, {}, ...called)).toEqual({ hungAt: at(0), litres: 0.270834 });
    expect(kinds(called, 115, 'leave')).toMatchObject([
      { round: 0, loads: [{ lot: 'P-2', bath: '2K', bags: 3, bed: 'bed-1' }] },
    ]);
    expect((kinds(called, 115, 'leave')[0] as { loads: object[] }).loads).toHaveLength(1);
    expect(hanging(130, { from: at(200) })).toBeNull();
    const carried = left(1, 0, load('P-1', 4));
    expect(hanging(130, {}, carried)).not.toBeNull();
    expect(hanging(130, {}, carried, noted(125, { kind: 'hold', lot: 'P-1' }))).toBeNull();
  });
  test('a failed test, a fill and outages go on as entries of their own', () => {
    const fail = noted(96, { kind: 'test', water: 'RO-B', result: 'fail' });
    const fill = noted(90, { kind: 'fill', machine: 'M1' });
    expect(kinds([fail, fill], 100, 'test')).toEqual([
      { kind: 'test', at: at(96), by: 'CD', water: 'RO-B', result: 'fail' },
    ]);
    expect(kinds([fail, fill], 100, 'fill')).toEqual([{ kind: 'fill', at: at(90), by: 'CD', machine: 'M1' }]);
    const setUp = noted(130, { kind: 'bath', machine: 'M1', bath: '4K', began: at(95) }, { told: 95 });
    expect(kinds([setUp], 100, 'fill')).toEqual([]);
    const outs = [
      noted(50, { kind: 'out', machine: 'M1', until: at(100) }),
      noted(60, { kind: 'out', machine: 'M2', until: at(101) }),
      noted(70, { kind: 'out', water: 'RO-B' }),
    ];
    expect(kinds(outs, 100, 'out')).toEqual([
      { kind: 'out', at: at(100), by: 'CD', water: 'RO-B' },
      { kind: 'out', at: at(100), by: 'CD', machine: 'M2', until: at(101) },
    ]);
    expect(kinds([noted(100, { kind: 'out', machine: 'M1' })], 100, 'out')).toEqual([
      { kind: 'out', at: at(100), by: 'CD', machine: 'M1' },
    ]);
    const back = [noted(50, { kind: 'out', machine: 'M1' }), noted(80, { kind: 'back', machine: 'M1' })];
    expect(kinds(back, 100, 'out')).toEqual([]);
  });
  test('who is there: of each shift the last word, of yesterday too, of none before', () => {
    const told = (minute: number, date: string, technicians: number, names?: string[]) =>
      noted(minute, { kind: 'staff', shift: 'day', date, technicians, ...(names && { names }) });
    const entries = [
      told(10, '2031-02-01', 1),
      told(11, '2031-02-02', 1),
      told(12, '2031-02-03', 1),
      told(13, '2031-02-03', 3, ['AB', 'CD']),
    ];
    expect(go(week, entries, 100).entries.map(({ kind }) => kind)).toEqual(['staff', 'staff', 'leave']);
    expect(kinds(entries, 100, 'staff')).toEqual([
      { kind: 'staff', at: at(100), by: 'CD', shift: 'day', date: '2031-02-02', technicians: 1 },
      {
        kind: 'staff',
        at: at(100),
        by: 'CD',
        shift: 'day',
        date: '2031-02-03',
        technicians: 3,
        names: ['AB', 'CD'],
      },
    ]);
  });
  test('holds: so many bags, or all of it, with the reasons; nothing of what is not held', () => {
    const hold = (lot: string, more: object = {}) => noted(50, { kind: 'hold', lot, ...more });
    expect(
      kinds([quiet, hold('P-1', { bags: 3, why: 'label' }), hold('P-1', { bags: 1 })], 100, 'hold'),
    ).toEqual([{ kind: 'hold', at: at(100), by: 'CD', lot: 'P-1', bags: 4, why: 'label' }]);
    expect(kinds([quiet, hold('P-1', { why: 'label' }), hold('P-1', { why: 'torn' })], 100, 'hold')).toEqual([
      { kind: 'hold', at: at(100), by: 'CD', lot: 'P-1', why: 'label; torn' },
    ]);
    expect(kinds([quiet], 100, 'hold')).toEqual([]);
    expect(kinds([left(0, 0, load('P-1', 4))], 10, 'hold')).toEqual([]);
    // Of two lots at the bedside one is called back; when its round is over nothing of it is there.
    const first = [left(1, 0, load('P-2', 4), load('P-1', 1)), hold('P-2', { why: 'torn' })];
    expect(kinds(first, 100, 'hold')).toMatchObject([{ lot: 'P-2', why: 'torn' }]);
    expect(kinds([...first, left(360, 1, load('P-1', 4))], 430, 'hold')).toEqual([]);
    // All that is left of it is at the bedside, called back: it stays on hold.
    const away = [left(1, 0, load('P-2', 4)), hold('P-2', { why: 'torn' })];
    expect(kinds(away, 100, 'hold')).toEqual([
      { kind: 'hold', at: at(100), by: 'CD', lot: 'P-2', why: 'torn' },
    ]);
  });
  test('what waits at the bedside: by its round, with bed and ward as noted, also of a lot that nobody knows', () => {
    const loads = [
      { lot: 'P-1', bath: '2K', bags: 2, bed: 'bed-1', ward: 'ICU' },
      { lot: 'X', bath: '2K', bags: 3, bed: 'bed-1' },
    ];
    expect(kinds([left(0, 0, ...loads)], 10, 'leave')).toEqual([
      {
        kind: 'leave',
        at: at(10),
        by: 'CD',
        round: 0,
        // One of P-1 hangs since minute 0.
        loads: [
          { lot: 'P-1', bath: '2K', bags: 1, ward: 'ICU', bed: 'bed-1' },
          { lot: 'not known', bath: '2K', bags: 3, bed: 'bed-1' },
        ],
      },
    ]);
    // A round that left early keeps its own time, in the words of the next scenario.
    const early = left(340, 1, load('P-1', 3));
    const [opening, next] = kinds([left(0, 0, load('P-2', 4)), early], 350, 'leave');
    expect(opening).toMatchObject({ round: 0, loads: [{ lot: 'P-2', bags: 1 }] });
    expect(next).toMatchObject({ round: at(360), loads: [{ lot: 'P-1', bags: 3 }] });
    expect(opening).not.toHaveProperty('declared');
    // At its time it is the opening one.
    expect(kinds([left(0, 0, load('P-2', 4)), early], 360, 'leave')).toHaveLength(1);
    expect(kinds([], 10, 'leave')).toMatchObject([{ round: 0, declared: 'carried over' }]);
    expect(kinds([quiet], 10, 'leave')).toEqual([
      { kind: 'leave', at: at(10), by: 'CD', round: 0, loads: [] },
    ]);
    const bare = kinds([left(0, 0, { lot: 'P-1', bath: '2K', bags: 2 })], 10, 'leave')[0]!;
    expect(bare).toMatchObject({ loads: [{ lot: 'P-1', bags: 1 }] });
    expect((bare as { loads: object[] }).loads[0]).not.toHaveProperty('bed');
  });
});

test('whatever is prescribed, the bags that hang after the change of scenario are those that would have hung', () => {
  const patient = fc.record({
    weight: fc.integer({ min: 40, max: 140 }),
    dose: fc.constantFrom(12.5, 20, 25, 33.3, 40.625),
    from: fc.constantFrom(undefined, at(77), at(200)),
    session: fc.option(
      fc.record({ start: fc.constantFrom('01:00', '08:30'), hours: fc.constantFrom(6, 10.5, 24) }),
      {
        nil: undefined,
      },
    ),
    changes: fc.array(
      fc.record(
        {
          at: fc.integer({ min: 0, max: 1400 }).map(at),
          dose: fc.constantFrom(0, 15, 30),
          bath: fc.constantFrom('2K', '4K'),
        },
        { requiredKeys: ['at'] },
      ),
      { maxLength: 3 },
    ),
  });
  fc.assert(
    fc.property(patient, fc.integer({ min: 1, max: 1300 }), (fields, now) => {
      const scenario = {
        ...ward,
        patients: [bed(fields as Partial<Patient>)],
        rules: { ...ward.rules, maxHangHours: 5 },
      };
      const going = next(scenario, [], now).scenario;
      const [before, after] = [hangs(scenario)[0]!, going.patients.length > 0 ? hangs(going)[0]! : []];
      expect(
        after.map((hang) => ({ ...hang, minute: hang.minute + now })).filter(({ minute }) => minute < 1440),
      ).toEqual(before.filter(({ minute }) => minute >= now));
    }),
    { numRuns: 300, seed: 7 },
  );
});
