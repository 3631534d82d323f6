import { describe, expect, test } from 'vitest';
import { roundDeclared } from '../../src/record/declare.ts';
import { at, tinyWorld } from '../world.ts';
import { noted, stateAt } from './book.ts';

const BATH = {
  id: '2K',
  sodium: 140,
  potassium: 2,
  calcium: 2.5,
  magnesium: 1,
  chloride: 108,
  bicarbonate: 32,
  acetate: 4,
};
const world = tinyWorld({
  baths: [BATH, { ...BATH, id: '4K', potassium: 4, chloride: 110 }],
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO' },
    { id: 'M2', flow: 800, positions: 8, water: 'RO' },
  ],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
});
const circuit = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K', lots: { acid: 'A-7' } });
const fill = noted(60, { kind: 'fill', machine: 'M1' });
const off = noted(128, { kind: 'off', machine: 'M1', good: 7, rejected: [{ reason: 'leak', bags: 1 }] });
const LOT = 'M1 2031-02-03 01:00';
const lotIn = (state: ReturnType<typeof stateAt>, name: string) => state.lots.find(({ lot }) => lot === name);

describe('machines', () => {
  test('a circuit lives from its begin, by default its minutes before it was in place', () => {
    const [m1] = stateAt(world, [circuit], 50).machines;
    expect(m1).toMatchObject({ bath: '2K', circuitSince: 10, underWay: null, outOfService: false });
    const own = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(5) });
    expect(stateAt(world, [own], 50).machines[0]!.circuitSince).toBe(5);
  });
  test('a set-up that began and is not in place yet is under way', () => {
    const begun = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(10) }, { told: 12 });
    const [m1] = stateAt(world, [begun], 20).machines;
    expect(m1).toMatchObject({
      bath: null,
      underWay: { kind: 'circuit', start: 10, earliestEnd: 40, latestEnd: 40 },
    });
    expect(stateAt(world, [circuit], 5).machines[0]).toMatchObject({ bath: null, underWay: null });
  });
  // Common practice, no source: 8 bags of 6.5 to 7.5 L at 800 mL/min take 65 to 75 min.
  test('a fill under way has its window from its own begin, however late it began', () => {
    const late = noted(80, { kind: 'fill', machine: 'M1' });
    expect(stateAt(world, [circuit, late], 100).machines[0]!.underWay).toMatchObject({
      kind: 'fill',
      start: 80,
      earliestEnd: 145,
      latestEnd: 155,
      lot: 'M1 2031-02-03 01:20',
      overfull: false,
    });
    expect(stateAt(world, [circuit, late], 156).machines[0]!.underWay!.overfull).toBe(true);
  });
  test('bags off make a lot: ready after swap and release, expiring a shelf life after they came off', () => {
    const state = stateAt(world, [circuit, fill, off], 130);
    expect(lotIn(state, LOT)).toMatchObject({
      bath: '2K',
      made: 8,
      good: 7,
      held: 0,
      left: 0,
      discarded: 1,
      balance: 0,
      ready: 128 + 8 + 15,
      expires: 128 + 7200,
    });
    expect(state.machines[0]).toMatchObject({ underWay: null, swapUntil: 136 });
    expect(stateAt(world, [circuit, fill], 130).lots.map(({ lot }) => lot)).toEqual(['P-1']);
  });
  test('a swap is over as soon as the next fill runs', () => {
    const next = noted(128, { kind: 'fill', machine: 'M1' });
    expect(stateAt(world, [circuit, fill, off, next], 130).machines[0]).toMatchObject({
      underWay: { kind: 'fill', start: 128 },
      swapUntil: null,
    });
  });
  test('what came off too late or too soon is on hold, unless it was measured', () => {
    const held = (minute: number, more = {}) =>
      lotIn(
        stateAt(world, [circuit, fill, noted(minute, { kind: 'off', machine: 'M1', good: 8, ...more })], 300),
        LOT,
      )!;
    expect(held(136)).toMatchObject({ good: 0, held: 8, holds: [{ cause: 'overfull' }] });
    expect(held(124)).toMatchObject({ good: 0, held: 8, holds: [{ cause: 'too little' }] });
    expect(held(135).held).toBe(0);
    expect(held(125).held).toBe(0);
    expect(held(124, { litres: 6.6 }).held).toBe(0);
    expect(held(130, { litres: 7.6 }).held).toBe(8);
    expect(held(130, { litres: 52 }).held).toBe(0);
  });
  test('a fill that was stopped leaves no usable bag, and balances', () => {
    const state = stateAt(
      world,
      [circuit, fill, noted(100, { kind: 'stop', machine: 'M1', why: 'leak' })],
      110,
    );
    expect(lotIn(state, LOT)).toMatchObject({ good: 0, discarded: 8, balance: 0 });
    expect(state.machines[0]!.underWay).toBeNull();
  });
  test('a fill whose end nobody noted is on hold, not lost', () => {
    const state = stateAt(world, [circuit, fill, noted(200, { kind: 'fill', machine: 'M1' })], 210);
    expect(lotIn(state, LOT)).toMatchObject({ good: 0, held: 8, balance: 0 });
    expect(state.doubts.map(({ wrong }) => wrong)).toContain(`nobody noted the end of the fill ${LOT}`);
  });
  test('bags that came off without a begin are told, not counted', () => {
    const state = stateAt(world, [circuit, off], 200);
    expect(state.lots.map(({ lot }) => lot)).toEqual(['P-1']);
    expect(state.doubts).toHaveLength(1);
  });
  test('out of service until somebody notes it is back, or until the time said', () => {
    const out = noted(100, { kind: 'out', machine: 'M1' });
    const isOut = (entries: Parameters<typeof stateAt>[1], now: number) =>
      stateAt(world, entries, now).machines.map(({ outOfService }) => outOfService);
    expect(isOut([out], 99)).toEqual([false, false]);
    expect(isOut([out], 900)).toEqual([true, false]);
    expect(isOut([out, noted(200, { kind: 'back', machine: 'M1' })], 900)).toEqual([false, false]);
    const until = noted(100, { kind: 'out', machine: 'M1', until: at(300) });
    expect(isOut([until], 299)).toEqual([true, false]);
    expect(isOut([until], 300)).toEqual([false, false]);
    expect(isOut([noted(100, { kind: 'out', water: 'RO' })], 300)).toEqual([true, true]);
  });
});

describe('water', () => {
  const pass = noted(240, { kind: 'test', water: 'RO', result: 'pass' });
  test('what the scenario says of the last test stands until one is noted', () => {
    expect(stateAt(world, [], 10).water).toEqual([
      { id: 'RO', last: 'pass', lastEnd: 0, unsure: null, outOfService: false, outage: null },
    ]);
    expect(stateAt(world, [pass], 250).water[0]).toMatchObject({ last: 'pass', lastEnd: 240 });
  });
  // ISO 23500-3:2019, Table 1 (from memory; CJASN 2015;10(6):1061, Table 4): 0.1 mg/L of total chlorine.
  test('0.10 mg/L pass, 0.11 mg/L fail whatever was ticked', () => {
    const last = (totalChlorine: number) =>
      stateAt(world, [noted(240, { kind: 'test', water: 'RO', result: 'pass', totalChlorine })], 250)
        .water[0]!.last;
    expect(last(0.1)).toBe('pass');
    expect(last(0.11)).toBe('fail');
  });
  test('a failed test holds what filled since the last passed one, part lots too; what left is recalled', () => {
    const entries = [
      circuit,
      fill,
      off,
      noted(150, { kind: 'discard', lot: LOT, bags: 2, why: 'dropped' }),
      noted(180, { kind: 'leave', round: 0, loads: [{ lot: LOT, bath: '2K', bags: 1, bed: 'bed-4' }] }),
      noted(200, { kind: 'fill', machine: 'M1' }),
      noted(240, { kind: 'test', water: 'RO', result: 'fail' }),
    ];
    const state = stateAt(world, entries, 250);
    expect(lotIn(state, LOT)).toMatchObject({ good: 0, held: 4, left: 1, discarded: 3, balance: 0 });
    expect(state.recall).toMatchObject([{ lot: LOT, bags: 1, round: 0, bed: 'bed-4' }]);
    expect(state.machines[0]!.underWay).toMatchObject({ kind: 'fill', doubtful: true });
    // The stock was not filled on this water.
    expect(lotIn(state, 'P-1')).toMatchObject({ good: 10, held: 0 });
    const later = stateAt(world, [...entries, noted(270, { kind: 'off', machine: 'M1', good: 8 })], 300);
    expect(lotIn(later, 'M1 2031-02-03 03:20')).toMatchObject({ good: 0, held: 8 });
  });
  test('a pass in between narrows the hold to what filled after it', () => {
    const entries = [circuit, fill, off, noted(130, { kind: 'test', water: 'RO', result: 'pass' })];
    const fail = noted(240, { kind: 'test', water: 'RO', result: 'fail' });
    expect(lotIn(stateAt(world, [...entries, fail], 250), LOT)!.held).toBe(0);
    // A fill of which a part ran after the pass is on hold as a whole.
    const earlier = noted(127, { kind: 'test', water: 'RO', result: 'pass' });
    expect(lotIn(stateAt(world, [circuit, fill, off, earlier, fail], 250), LOT)!.held).toBe(7);
  });
  test('bags filled after the failed test are on hold too, those after the next pass are not', () => {
    const fail = noted(50, { kind: 'test', water: 'RO', result: 'fail' });
    expect(lotIn(stateAt(world, [circuit, fail, fill, off], 250), LOT)!.held).toBe(7);
    const pass = noted(55, { kind: 'test', water: 'RO', result: 'pass' });
    expect(lotIn(stateAt(world, [circuit, fail, pass, fill, off], 250), LOT)!.held).toBe(0);
  });
});

describe('holds', () => {
  const made = [circuit, fill, off];
  const fail = noted(240, { kind: 'test', water: 'RO', result: 'fail' });
  test('somebody releases, holds and discards: a part or all', () => {
    const lot = (...entries: Parameters<typeof stateAt>[1]) =>
      lotIn(stateAt(world, [...made, ...entries], 400), LOT)!;
    expect(lot(noted(200, { kind: 'hold', lot: LOT, bags: 3, why: 'label' }))).toMatchObject({
      good: 4,
      held: 3,
    });
    expect(lot(noted(200, { kind: 'hold', lot: LOT }))).toMatchObject({ good: 0, held: 7 });
    const three = noted(200, { kind: 'hold', lot: LOT, bags: 3 });
    expect(lot(three, noted(210, { kind: 'discard', lot: LOT, bags: 3 }))).toMatchObject({
      good: 4,
      held: 0,
      discarded: 4,
    });
    expect(lot(three, noted(210, { kind: 'release', lot: LOT }))).toMatchObject({ good: 7, held: 0 });
    const all = noted(200, { kind: 'hold', lot: LOT });
    expect(lot(all, noted(210, { kind: 'release', lot: LOT, bags: 5 }))).toMatchObject({ good: 5, held: 2 });
  });
  test('a release lifts what was known when it was noted, nothing noted later', () => {
    const release = noted(300, { kind: 'release', lot: LOT, why: 'seen' });
    expect(lotIn(stateAt(world, [...made, fail, release], 400), LOT)).toMatchObject({ good: 7, held: 0 });
    const late = noted(240, { kind: 'test', water: 'RO', result: 'fail' }, { told: 350 });
    expect(lotIn(stateAt(world, [...made, late, release], 400), LOT)).toMatchObject({ good: 0, held: 7 });
  });
  test('where the site demands it, bags wait for the entry of their release', () => {
    const strict = { ...world, rules: { releaseBy: 'entry' } };
    expect(lotIn(stateAt(strict, made, 400), LOT)!.ready).toBeNull();
    const release = (minute: number) => noted(minute, { kind: 'release', lot: LOT });
    expect(lotIn(stateAt(strict, [...made, release(300)], 400), LOT)!.ready).toBe(300);
    expect(lotIn(stateAt(strict, [...made, release(140)], 400), LOT)!.ready).toBe(151);
  });
  test('a count corrects the book and shows the difference', () => {
    const lot = lotIn(stateAt(world, [noted(200, { kind: 'count', lot: 'P-1', bags: 9 })], 210), 'P-1')!;
    expect(lot).toMatchObject({ good: 9, counted: -1, balance: 1 });
    expect(
      lotIn(stateAt(world, [noted(200, { kind: 'count', lot: 'P-1', bags: 12 })], 210), 'P-1'),
    ).toMatchObject({ good: 12, balance: -2 });
  });
});

describe('readings', () => {
  const made = [circuit, fill, off];
  const reading = (minute: number, more: object) =>
    noted(minute, { kind: 'reading', machine: 'M1', temperature: 25, ...more });
  test('out of limits holds what filled since the last set-up, and the machine', () => {
    const state = stateAt(world, [...made, reading(200, { conductivity: 15 })], 250);
    expect(lotIn(state, LOT)).toMatchObject({ good: 0, held: 7 });
    expect(state.machines.map(({ outOfLimits }) => outOfLimits !== null)).toEqual([true, false]);
  });
  test('a reading within limits before ends what a later one holds, and puts the machine back', () => {
    const state = stateAt(
      world,
      [...made, reading(140, { conductivity: 13.9 }), reading(200, { conductivity: 15 })],
      250,
    );
    expect(lotIn(state, LOT)!.held).toBe(0);
    expect(state.machines[0]!.outOfLimits).not.toBeNull();
    const again = stateAt(
      world,
      [...made, reading(200, { conductivity: 15 }), reading(220, { conductivity: 13.9 })],
      250,
    );
    expect(again.machines[0]!.outOfLimits).toBeNull();
    expect(lotIn(again, LOT)!.held).toBe(7);
  });
  test('a new set-up puts the machine back too', () => {
    const anew = noted(260, { kind: 'circuit', machine: 'M1', bath: '2K' });
    expect(
      stateAt(world, [...made, reading(200, { conductivity: 15 }), anew], 300).machines[0]!.outOfLimits,
    ).toBeNull();
  });
  test('a reading of something else does not say that what was out is right again', () => {
    const state = stateAt(
      world,
      [...made, reading(200, { potassium: 3, conductivity: 13.9 }), reading(220, { conductivity: 13.9 })],
      250,
    );
    expect(state.machines[0]!.outOfLimits).not.toBeNull();
  });
  // ISO 13958:2014, 4.1.2.1: 5 % or 0.1 mmol/L, whichever is more.
  test.each([
    [1.9, 'within'],
    [2.1, 'within'],
    [1.89, 'out'],
    [2.11, 'out'],
  ])('potassium %d in a bath of 2 is %s', (potassium, result) => {
    expect(
      stateAt(world, [...made, reading(200, { potassium, conductivity: 13.9 })], 250).readings[0]!.result,
    ).toBe(result);
  });
});

describe('rounds', () => {
  // 80 kg x 65/80 mL/kg/h = 6.5 L in an hour... one bag each 2 h: 40.625 mL/kg/h.
  const patients = [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }];
  const rules = { rounds: ['06:00', '12:00'], leadMinutes: 60 };
  const ward = { ...world, patients, rules };
  test('where the site notes none, each round takes what the plan would have taken, once', () => {
    const state = stateAt(ward, [], 10);
    // The opening round covers 00:00 to 07:00: bags at 0, 2, 4, 6 h.
    expect(lotIn(state, 'P-1')).toMatchObject({ left: 4, good: 6 });
    expect(state.dueNow).toEqual([0, 0]);
    expect(stateAt(ward, [], 361).lots[0]).toMatchObject({ left: 7, good: 3 });
  });
  test('a bath changed after the round left makes the bags still to be hung due now; what left stands', () => {
    const changed = { ...ward, patients: [{ ...patients[0]!, changes: [{ at: at(180), bath: '4K' }] }] };
    const left = noted(1, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4 }] });
    const state = stateAt(changed, [left], 175);
    // 4K hangs at 3, 5, 7 h; 7 h is the next round's.
    expect(state.dueNow).toEqual([0, 2]);
    expect(lotIn(state, 'P-1')).toMatchObject({ left: 4, good: 6 });
    // The same without an entry of what left: the change was not known at the opening round.
    expect(stateAt(changed, [], 175).dueNow).toEqual([0, 2]);
    const carried = noted(176, { kind: 'leave', round: 0, loads: [{ lot: 'X', bath: '4K', bags: 2 }] });
    expect(stateAt(changed, [left, carried], 177).dueNow).toEqual([0, 0]);
  });
  test('bags that are called back do not count as carried: what is still to be hung is due now', () => {
    const left = noted(1, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4 }] });
    const held = noted(125, { kind: 'hold', lot: 'P-1', why: 'a leak' });
    // Hung at 0 and 2 h, still to be hung at 4 and 6 h; the one of 2 h hangs until 4 h and must come down.
    expect(stateAt(ward, [left], 130).dueNow).toEqual([0, 0]);
    expect(stateAt(ward, [left, held], 130).dueNow).toEqual([3, 0]);
  });
  describe('the opening round, of which nobody noted what left before a later one did', () => {
    const later = noted(361, { kind: 'leave', round: 1, loads: [{ lot: 'P-1', bath: '2K', bags: 3 }] });
    const said = (declared: 'carried' | 'not carried', told = 370) =>
      noted(0, roundDeclared(ward, 0, declared, 'CD') as never, { told });
    test('is asked about: until somebody says so its bags count as still here', () => {
      const state = stateAt(ward, [later], 371);
      expect(state.unnotedRounds).toEqual([0]);
      expect(lotIn(state, 'P-1')).toMatchObject({ left: 3, good: 7 });
      expect(state.doubts.map(({ wrong }) => wrong)).toEqual([
        'nobody noted what left with the opening round',
      ]);
    });
    test('of a site that notes no rounds it counts as carried, and that is asked about while its bags hang', () => {
      const test = noted(0, { kind: 'test', water: 'RO', result: 'pass' });
      const assumed = (now: number, ...more: ReturnType<typeof noted>[]) =>
        stateAt(ward, [test, ...more], now).openingAssumed;
      const over = noted(0, {
        kind: 'leave',
        round: 0,
        loads: [{ lot: 'P-1', bath: '2K', bags: 4 }],
        declared: 'carried over',
      });
      // What it brought hangs until 7 h.
      expect([assumed(0), assumed(419), assumed(420)]).toEqual([true, true, false]);
      expect([
        assumed(130, said('carried', 130)),
        assumed(130, said('not carried', 130)),
        assumed(130, over),
      ]).toEqual([false, false, false]);
      expect(stateAt(ward, [], 0).openingAssumed).toBe(false);
      expect(stateAt({ ...ward, patients: [] }, [test], 0).openingAssumed).toBe(false);
    });
    test('declared as carried: what it asked for left, the first to expire first, and nothing more is asked', () => {
      const state = stateAt(ward, [later, said('carried')], 371);
      // Bags at 0, 2, 4, 6 h.
      expect(lotIn(state, 'P-1')).toMatchObject({ left: 7, good: 3, balance: 0 });
      expect(lotIn(state, 'P-1')!.leaves[0]).toMatchObject({ round: 0, at: 0, bags: 4 });
      expect(state).toMatchObject({ unnotedRounds: [], doubts: [] });
    });
    test('declared as not carried: nothing left, what is still to be hung is due', () => {
      const state = stateAt(ward, [said('not carried', 130)], 130);
      expect(lotIn(state, 'P-1')).toMatchObject({ left: 0, good: 10 });
      expect(state).toMatchObject({ unnotedRounds: [], dueNow: [2, 0] });
      expect(stateAt(ward, [later, said('not carried')], 371).unnotedRounds).toEqual([]);
    });
    test('what left may also be noted in full, hours later', () => {
      const loads = [{ lot: 'P-1', bath: '2K', bags: 5, bed: 'bed-1' }];
      const state = stateAt(ward, [later, noted(0, { kind: 'leave', round: 0, loads }, { told: 370 })], 371);
      expect(lotIn(state, 'P-1')).toMatchObject({ left: 8, good: 2 });
      expect(state.unnotedRounds).toEqual([]);
    });
  });
  test('of a site that notes rounds, one that nobody noted is due', () => {
    const left = noted(1, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4 }] });
    // At 06:05 the round of 06:00 (7 to 13 h: 8, 10, 12 h) has not left; at 6 h the last of the opening one was hung.
    expect(stateAt(ward, [left], 365)).toMatchObject({ dueNow: [3, 0], nextRound: 2 });
  });
});

describe('deliveries', () => {
  const due = {
    ...world,
    deliveries: [{ lot: 'C-9', bath: '4K', bags: 60, litres: 5, ready: at(120), expires: at(9000) }],
  };
  test('one that is to come counts as expected, one that is due counts when it came', () => {
    expect(lotIn(stateAt(due, [], 100), 'C-9')).toMatchObject({ good: 60, ready: 120 });
    const state = stateAt(due, [], 120);
    expect(lotIn(state, 'C-9')).toMatchObject({ good: 0, ready: null });
    expect(state.doubts.map(({ wrong }) => wrong)).toEqual([
      'the delivery C-9 is due, and nobody noted that it came',
    ]);
    const came = stateAt(due, [noted(130, { kind: 'arrive', lot: 'C-9', bags: 58 })], 140);
    expect(lotIn(came, 'C-9')).toMatchObject({ good: 58, ready: 130, litres: 5, balance: 0 });
  });
  test('another lot comes with its bath, litres and expiry', () => {
    const came = noted(130, {
      kind: 'arrive',
      lot: 'N-1',
      bags: 5,
      bath: '2K',
      litres: 5,
      expires: at(4000),
    });
    expect(lotIn(stateAt(world, [came], 140), 'N-1')).toMatchObject({ good: 5, ready: 130, expires: 4000 });
    const unknown = stateAt(world, [noted(130, { kind: 'arrive', lot: 'N-1', bags: 5 })], 140);
    expect(lotIn(unknown, 'N-1')).toBeUndefined();
    expect(unknown.doubts).toHaveLength(1);
  });
});

describe('clocks', () => {
  test('what was noted later than now is shown, not trusted; bad news is', () => {
    const wrong = { told: 300 };
    const pass = noted(90, { kind: 'test', water: 'RO', result: 'pass' }, wrong);
    const state = stateAt(world, [pass], 100);
    expect(state.water[0]).toMatchObject({ lastEnd: 0 });
    expect(state.folded.untrusted).toHaveLength(1);
    expect(state.doubts).toHaveLength(1);
    const fail = noted(90, { kind: 'test', water: 'RO', result: 'fail' }, wrong);
    expect(stateAt(world, [fail], 100).water[0]).toMatchObject({ last: 'fail' });
  });
  test('what is of another week does not count', () => {
    const old = noted(-20_000, { kind: 'arrive', lot: 'N-1', bags: 5, bath: '2K', litres: 5 });
    const state = stateAt(world, [old], 100);
    expect(lotIn(state, 'N-1')).toBeUndefined();
    expect(state.folded.elsewhere).toHaveLength(1);
    expect(state.doubts).toHaveLength(1);
  });
});

test('a change that was typed before the round left was carried with it', () => {
  const change = { at: at(180), bath: '4K' };
  const row = (noted?: string) => ({
    id: 'bed-1',
    weight: 80,
    dose: 40.625,
    bath: '2K',
    changes: [{ ...change, ...(noted && { noted }) }],
  });
  const ward = {
    ...world,
    rules: { rounds: ['06:00'], leadMinutes: 60 },
    stock: [...world.stock!, { lot: 'P-4', bath: '4K', bags: 5, litres: 6.5 }],
  };
  // 4K hangs at 3 and 5 h of the opening round.
  expect(stateAt({ ...ward, patients: [row()] }, [], 175).dueNow).toEqual([0, 2]);
  expect(stateAt({ ...ward, patients: [row(at(-600))] }, [], 175).dueNow).toEqual([0, 0]);
  expect(stateAt({ ...ward, patients: [row(at(170))] }, [], 175).dueNow).toEqual([0, 2]);
});
