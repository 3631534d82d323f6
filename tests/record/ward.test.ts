import { describe, expect, test } from 'vitest';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';
import { bed, noted, stateAt } from './book.ts';

// What leaves with the bag rounds, what hangs and waits at the beds and what is due, by hand: 80 kg x 40.625 mL/kg/h =
// 3.25 L/h, a 6.5 L bag each 2 h from minute 0. Rounds at 0, 360, 720, 1080; with an hour for the way they cover what
// hangs in 0..420, 420..780, 780..1140, 1140..1440.
const world = tinyWorld({
  patients: [bed()],
  stock: [
    { lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 },
    { lot: 'P-2', bath: '2K', bags: 10, litres: 6.5 },
    { lot: 'P-4', bath: '4K', bags: 10, litres: 5 },
  ],
  rules: { rounds: ['06:00', '12:00', '18:00'], leadMinutes: 60 },
});
type Entries = Parameters<typeof stateAt>[1];
const load = (lot: string, bags: number, more: object = { bed: 'bed-1' }) => ({
  lot,
  bath: '2K',
  bags,
  ...more,
});
const left = (minute: number, round: number | string, ...loads: object[]) =>
  noted(minute, { kind: 'leave', round, loads });
const hold = (minute: number, lot: string, more: object = {}) =>
  noted(minute, { kind: 'hold', lot, ...more });
const quiet = noted(1, { kind: 'note', text: 'quiet' });
const wrong = (entries: Entries, now = 100, where = world) =>
  stateAt(where, entries, now).doubts.map((one) => one.wrong);

describe('what is noted of a round', () => {
  test('names it by its number or its local time; else it counts as left, and is asked about', () => {
    const rounds = (round: number | string) => {
      const state = stateAt(world, [left(10, 0, load('P-1', 1)), left(300, round, load('P-2', 2))], 310);
      return [state.lots[1]!.leaves.map((one) => one.round), state.doubts.map((one) => one.wrong)];
    };
    expect(rounds(1)).toEqual([[1], []]);
    expect(rounds(at(360))).toEqual([[1], []]);
    expect(rounds(at(361))).toEqual([[at(361)], [`there is no bag round ${at(361)}`]]);
    expect(rounds(at(-5))).toEqual([[at(-5)], [`there is no bag round ${at(-5)}`]]);
    expect(rounds(3)).toEqual([[3], []]);
    expect(rounds(4)).toEqual([[4], ['there is no bag round 4']]);
  });
  test('each load leaves its lot, with ward and bed as noted', () => {
    const entry = left(10, 0, load('P-1', 3, { bed: 'bed-1', ward: 'ICU' }), load('P-2', 1, {}));
    const { lots } = stateAt(world, [entry], 20);
    const told = { entry: entry.entry.id, round: 0, at: 10 };
    expect(lots[0]).toMatchObject({
      good: 7,
      left: 3,
      leaves: [{ ...told, bags: 3, ward: 'ICU', bed: 'bed-1' }],
    });
    expect(lots[1]!.leaves).toEqual([{ ...told, bags: 1 }]);
  });
  test('more than is there, what is on hold, another bath, a lot that nobody knows: each is told', () => {
    expect(wrong([left(10, 0, load('P-1', 10))])).toEqual([]);
    expect(wrong([left(10, 0, load('P-1', 11))])).toEqual(['11 bags of P-1 left, and 10 were there']);
    const held = hold(5, 'P-1', { bags: 4 });
    expect(wrong([held, left(10, 0, load('P-1', 6))])).toEqual([]);
    expect(wrong([held, left(10, 0, load('P-1', 7))])).toEqual(['bags of P-1 left that were on hold']);
    expect(wrong([left(10, 0, { lot: 'P-1', bath: '4K', bags: 1 })])).toEqual(['P-1 is 2K, and left as 4K']);
    expect(wrong([left(10, 0, { lot: 'P-1', bags: 1 })])).toEqual([]);
    expect(wrong([left(10, 0, load('X', 2))])).toEqual(['no lot is called X; 2 bags of it left']);
  });
  test('bags of a lot that nobody knows were carried all the same, in bags as they are filled here', () => {
    expect(stateAt(world, [left(10, 0, load('X', 4))], 20).dueNow).toEqual([0, 0]);
    expect(stateAt(world, [left(10, 0, load('X', 3))], 20).dueNow).toEqual([1, 0]);
    // Of what bath nobody knows: three are still to be hung.
    expect(stateAt(world, [left(10, 0, { lot: 'X', bags: 4 })], 20).dueNow).toEqual([3, 0]);
  });
  test('a round that left with nothing left', () => {
    const state = stateAt(world, [left(10, 0)], 20);
    expect(state).toMatchObject({
      notesRounds: true,
      dueNow: [3, 0],
      roundsGone: [0],
      bedside: [],
      recall: [],
    });
    expect(stateAt(world, [left(10, 0), left(300, 1)], 310)).toMatchObject({
      roundsGone: [0, 1],
      nextRound: 2,
    });
  });
});

describe('where nobody notes what leaves', () => {
  const taken = (
    stock: NonNullable<Scenario['stock']>,
    now = 10,
    more: Partial<Scenario> = {},
    entries: Entries = [],
  ) => stateAt({ ...world, stock, ...more }, [quiet, ...entries], now).lots.map((lot) => lot.left);
  const lot = (id: string, bags: number, more: object = {}) => ({
    lot: id,
    bath: '2K',
    bags,
    litres: 6.5,
    ...more,
  });
  test('the first to expire leaves first, then the one that never expires', () => {
    expect(
      taken([lot('A', 3), lot('B', 3, { expires: at(5000) }), lot('C', 3, { expires: at(4000) })]),
    ).toEqual([0, 1, 3]);
    expect(taken([lot('A', 3), lot('B', 3)])).toEqual([3, 1]);
    expect(taken([lot('A', 9)])).toEqual([4]);
    expect(taken([lot('A', 2)])).toEqual([2]);
    // At 06:00 the round of 8, 10 and 12 h.
    expect(taken([lot('A', 9)], 359)).toEqual([4]);
    expect(taken([lot('A', 9)], 360)).toEqual([7]);
    expect(taken([lot('A', 5)], 360)).toEqual([5]);
  });
  test('of those that expire together the one that was ready first', () => {
    const both = (a: number, b: number) =>
      taken(
        [lot('A', 9, { ready: at(a), expires: at(5000) }), lot('B', 9, { ready: at(b), expires: at(5000) })],
        360,
      );
    // Nothing is ready at minute 0; three are taken at 06:00.
    expect(both(10, 20)).toEqual([3, 0]);
    expect(both(20, 10)).toEqual([0, 3]);
  });
  test('one that is not ready as the round leaves, or that expires before its last bag hangs, stays', () => {
    const one = (more: object) => taken([lot('A', 9, more)]);
    expect(one({ ready: at(0) })).toEqual([4]);
    expect(one({ ready: at(1) })).toEqual([0]);
    expect(one({ expires: at(420) })).toEqual([4]);
    expect(one({ expires: at(419) })).toEqual([0]);
  });
  test('bags on hold or of another bath stay; 5 L bags are as many as hold the liters', () => {
    expect(taken([lot('A', 9)], 10, {}, [hold(-5, 'A')])).toEqual([0]);
    expect(taken([lot('A', 9)], 10, {}, [hold(-5, 'A', { bags: 7 })])).toEqual([2]);
    expect(taken([lot('A', 9, { bath: '4K' })])).toEqual([0]);
    // 4 x 6.5 = 26 L are 6 bags of 5 L; after 5 of them (25 L) one of 6.5 L.
    expect(taken([lot('A', 9, { litres: 5 })])).toEqual([6]);
    expect(taken([lot('A', 5, { litres: 5, expires: at(5000) }), lot('B', 9)])).toEqual([5, 1]);
  });
  test('a delivery leaves once it has come', () => {
    const deliveries = [lot('C', 9, { ready: at(300), expires: at(5000) })];
    const came = (minute: number) => noted(minute, { kind: 'arrive', lot: 'C', bags: 9 });
    const all = (now: number, ...entries: Entries) => taken([], now, { deliveries }, entries);
    expect(all(365)).toEqual([0]);
    expect(all(365, came(310))).toEqual([3]);
    expect(all(365, came(360))).toEqual([3]);
    expect(all(365, came(361))).toEqual([0]);
    // It came a minute after the round: the next one at 12:00 takes it.
    expect(all(720, came(361))).toEqual([3]);
    // Its expiry as listed was too soon for the round, as noted it is not.
    const soon = [lot('C', 9, { ready: at(300), expires: at(400) })];
    const entry = noted(310, { kind: 'arrive', lot: 'C', bags: 9, expires: at(9000) });
    expect(taken([], 365, { deliveries: soon }, [entry])).toEqual([3]);
  });
  test('a delivery that no list has leaves once it has come, unless it expires before its last bag hangs', () => {
    const came = (expires: number) =>
      noted(-5, { kind: 'arrive', lot: 'N', bags: 9, bath: '2K', litres: 6.5, expires: at(expires) });
    expect(taken([], 10, {}, [came(420)])).toEqual([4]);
    expect(taken([], 10, {}, [came(419)])).toEqual([0]);
  });
  test('bags filled here leave when they are ready, and where the site says so released', () => {
    const machines = [{ ...world.machines[0]!, loaded: { bath: '2K', circuitSince: at(-60) } }];
    const off = (minute: number) => [
      noted(minute - 68, { kind: 'fill', machine: 'M1' }),
      noted(minute, { kind: 'off', machine: 'M1', good: 8 }),
    ];
    const gone = (entries: Entries, rules: object = {}) =>
      taken([], 400, { machines, rules: { ...world.rules, ...rules } }, entries);
    // Swap 8 and rest 15 min: off by 337 for 06:00.
    expect(gone(off(337))).toEqual([3]);
    expect(gone(off(338))).toEqual([0]);
    const strict = { releaseBy: 'entry' };
    const release = (minute: number) => noted(minute, { kind: 'release', lot: 'M1 2031-02-03 03:12' });
    expect(gone(off(260), strict)).toEqual([0]);
    expect(gone([...off(260), release(360)], strict)).toEqual([3]);
    expect(gone([...off(260), release(361)], strict)).toEqual([0]);
    // Stock needs no release here.
    expect(taken([lot('A', 9)], 10, { rules: { ...world.rules, ...strict } })).toEqual([4]);
  });
  test('changes of a prescription count as far as they were known when the round left', () => {
    const change = (fields: object) => ({
      patients: [bed({ changes: [{ bath: '4K', ...fields }] as never })],
    });
    const lots = [lot('A', 9), lot('B', 9, { bath: '4K' })];
    // 4K from 3 h on hangs at 3, 5, 7 h: two bags of each bath in the opening round.
    expect(taken(lots, 10, change({ at: at(180) }))).toEqual([4, 0]);
    expect(taken(lots, 10, change({ at: at(180), noted: at(0) }))).toEqual([2, 2]);
    expect(taken(lots, 10, change({ at: at(180), noted: at(1) }))).toEqual([4, 0]);
    expect(taken(lots, 10, change({ at: at(0) }))).toEqual([0, 4]);
    // Of two changes the later one was not known.
    const two = [
      { at: at(180), bath: '4K', noted: at(-9) },
      { at: at(300), bath: '2K' },
    ];
    expect(taken(lots, 10, { patients: [bed({ changes: two })] })).toEqual([2, 2]);
    // By 06:00 both are: 2K hangs from 5 h on each 2 h, at 7, 9, 11 h; at the opening round none was.
    const both = two.map(({ noted: _, ...one }) => one);
    expect(taken(lots, 10, { patients: [bed({ changes: both })] })).toEqual([4, 0]);
    expect(taken(lots, 360, { patients: [bed({ changes: both })] })).toEqual([7, 0]);
  });
  test('of several patients each has changes of his own', () => {
    const change = (fields: object) => ({ changes: [{ at: at(180), ...fields }] as never });
    const both = { patients: [bed(change({ bath: '4K' })), bed({ id: 'bed-2', ...change({ dose: 0 }) })] };
    // Neither change was known: four bags of 2K for each of them.
    const lots = [lot('A', 9), lot('B', 9, { bath: '4K' })];
    expect(taken(lots, 10, both)).toEqual([8, 0]);
    const of4K = {
      patients: [bed(change({ dose: 0 })), bed({ id: 'bed-2', bath: '4K', ...change({ dose: 0 }) })],
    };
    expect(taken(lots, 10, of4K)).toEqual([4, 4]);
  });
  test('said to be carried, with loads noted all the same: the loads count, and nothing else', () => {
    const said = noted(0, { kind: 'leave', round: 0, declared: 'carried', loads: [load('P-2', 2)] });
    expect(stateAt(world, [said], 10).lots.map((one) => one.left)).toEqual([0, 2, 0]);
  });
  test('a round that goes on from another scenario is carried once', () => {
    const over = noted(0, {
      kind: 'leave',
      round: 0,
      declared: 'carried over',
      loads: [load('P-1', 4)],
    });
    const state = stateAt(world, [over], 10);
    expect(state).toMatchObject({ notesRounds: false, dueNow: [0, 0], roundsGone: [0] });
    expect(state.lots.map((one) => one.left)).toEqual([4, 0, 0]);
    expect(stateAt(world, [over], 360).lots.map((one) => one.left)).toEqual([7, 0, 0]);
  });
});

describe('what is due now', () => {
  const due = (entries: Entries, now: number) => {
    const { dueNow, nextRound, roundsGone, unnotedRounds } = stateAt(world, entries, now);
    return [dueNow[0], nextRound, roundsGone, unnotedRounds];
  };
  const opening = left(0, 0, load('P-1', 4));
  test('is what hangs until the last round is over, less what was carried and does not hang yet', () => {
    expect(due([opening], 10)).toEqual([0, 1, [0], []]);
    expect(due([left(0, 0, load('P-1', 3))], 10)).toEqual([1, 1, [0], []]);
    expect(due([left(0, 0, load('P-1', 3))], 361)).toEqual([3, 2, [0, 1], []]);
    expect(due([left(0, 0, load('P-1', 9))], 10)).toEqual([0, 1, [0], []]);
    // One of 6.5 L hangs, three are to be hung: 26 L. Five bags of 5 L leave 1 L short, six are enough.
    const of5 = { ...world, stock: [{ lot: 'P-5', bath: '2K', bags: 9, litres: 5 }] };
    const short = (bags: number) => stateAt(of5, [left(0, 0, load('P-5', bags))], 10).dueNow[0];
    expect([6, 5, 4, 3].map(short)).toEqual([0, 1, 1, 2]);
    expect(due([opening, left(300, 1, load('P-2', 3))], 310)).toEqual([0, 2, [0, 1], []]);
    // At its minute a round is gone. At 8 h one of its two bags hangs: of the two to come one is short.
    expect(due([opening], 359)).toEqual([0, 1, [0], []]);
    expect(due([opening], 360)).toEqual([3, 2, [0, 1], []]);
    expect(due([opening, left(340, 1, load('P-2', 2))], 490)).toEqual([1, 2, [0, 1], []]);
  });
  test('before the start nothing is due, at the end nothing any more', () => {
    expect(stateAt(world, [noted(-10, { kind: 'note', text: 'quiet' })], -5)).toMatchObject({
      dueNow: [0, 0],
      nextRound: 0,
      roundsGone: [],
      recall: [],
      bedside: [],
      openingAssumed: false,
    });
    expect(due([opening], 1440).slice(0, 3)).toEqual([0, 4, [0, 1, 2, 3]]);
  });
  test('a round that nobody noted is asked about when a later one left or its time is over', () => {
    const first = left(361, 1, load('P-2', 3));
    // What hung since 0 h may have come from it: the safe answer is that its own bags are due.
    expect(due([first], 365)).toEqual([3, 2, [0, 1], [0]]);
    expect(due([first], 420)).toEqual([0, 2, [0, 1], [0]]);
    expect(due([opening], 419)).toEqual([3, 2, [0, 1], []]);
    expect(due([opening], 779)).toEqual([3, 3, [0, 1, 2], []]);
    expect(due([opening], 780)).toEqual([3, 3, [0, 1, 2], [1]]);
    expect(wrong([opening], 780)).toEqual(['nobody noted what left with the bag round of Mon, Feb 3, 06:00']);
    // A round that nobody knows is neither the first nor the last.
    const unknown = left(10, at(5), load('P-1', 1));
    expect(due([unknown], 20)).toEqual([3, 1, [0], []]);
    expect(due([first, unknown], 365)[3]).toEqual([0]);
    // A later one left early: this one is asked about from its own minute on.
    const early = left(350, 2, load('P-2', 3));
    expect([due([opening, early], 359)[3], due([opening, early], 360)[3]]).toEqual([[], [1]]);
    // Nobody is treated: nothing left, and nobody asks.
    expect(stateAt({ ...world, patients: [] }, [first], 365).unnotedRounds).toEqual([]);
  });
  test('before any round there is nothing', () => {
    const later = { ...world, start: at(0), patients: [] };
    expect(stateAt(later, [], 0)).toMatchObject({ dueNow: [0, 0], bedside: [], recall: [] });
  });
});

describe('what waits at the bedside', () => {
  const waiting = (entries: Entries, now: number, where = world) =>
    stateAt(where, entries, now).bedside.map(({ lot, bags, round, bed: at1 }) => [lot, bags, round, at1]);
  test('is what was carried less what was hung, the first to leave first', () => {
    const entries = [left(0, 0, load('P-1', 2)), left(5, 0, load('P-2', 3))];
    expect(waiting(entries, 0)).toEqual([['P-1', 2, 0, 'bed-1']]);
    expect(waiting(entries, 5)).toEqual([
      ['P-1', 1, 0, 'bed-1'],
      ['P-2', 3, 0, 'bed-1'],
    ]);
    expect(waiting(entries, 121)).toEqual([['P-2', 3, 0, 'bed-1']]);
    expect(waiting(entries, 241)).toEqual([['P-2', 2, 0, 'bed-1']]);
    // Its time is over at 7 h.
    expect(waiting(entries, 419)).toEqual([['P-2', 1, 0, 'bed-1']]);
    expect(waiting(entries, 420)).toEqual([]);
  });
  test('of a round that is said to have been carried, its bags left first', () => {
    const said = noted(200, { kind: 'leave', round: 0, declared: 'carried', loads: [] });
    const later = left(100, 0, load('P-2', 1, {}));
    expect(waiting([later, said], 210)).toEqual([
      ['P-1', 2, 0, undefined],
      ['P-2', 1, 0, undefined],
    ]);
  });
  test('of what left long after its bag was due, one hangs', () => {
    expect(waiting([left(100, 0, load('P-2', 4))], 110)).toEqual([['P-2', 3, 0, 'bed-1']]);
  });
  test('has its bath, liters and ward', () => {
    const entries = [left(0, 0, { lot: 'P-4', bath: '4K', bags: 2, ward: 'ICU' })];
    expect(stateAt(world, entries, 10).bedside).toEqual([
      { lot: 'P-4', bath: '4K', litres: 5, bags: 2, round: 0, ward: 'ICU' },
    ]);
    expect(stateAt(world, [left(0, 0, load('X', 2))], 10).bedside).toEqual([
      { lot: null, bath: '2K', litres: 6.5, bags: 1, round: 0, bed: 'bed-1' },
    ]);
  });
});

describe('what is called back', () => {
  test('bags of a bath that nobody knows are called back too', () => {
    // No circuit was noted before the fill: all of it is on hold, and some of it left.
    const made = [
      noted(10, { kind: 'fill', machine: 'M1' }),
      noted(78, { kind: 'off', machine: 'M1', good: 8 }),
      left(120, 0, { lot: 'M1 2031-02-03 00:10', bags: 3, bed: 'bed-1' }),
    ];
    expect(stateAt(world, made, 130).recall).toEqual([
      {
        lot: 'M1 2031-02-03 00:10',
        bath: null,
        bags: 3,
        round: 0,
        at: 120,
        bed: 'bed-1',
        hanging: 0,
        waiting: 3,
        beds: ['bed-1'],
        replace: 0,
      },
    ]);
    // They left: the round is not asked about, and what it should have carried is due.
    expect(stateAt(world, made, 130)).toMatchObject({ notesRounds: true, dueNow: [2, 0], roundsGone: [0] });
    expect(stateAt(world, made, 430).unnotedRounds).toEqual([]);
  });
  const two = { ...world, patients: [bed(), bed({ id: 'bed-2' })] };
  const called = (entries: Entries, now: number, where: Scenario = world) => {
    const state = stateAt(where, entries, now);
    return {
      due: state.dueNow[0],
      rows: state.recall.map((one) => [one.lot, one.hanging, one.waiting, one.replace, one.beds.join(' ')]),
    };
  };
  test('of each bed its own: another bed keeps its bags', () => {
    const entries = [left(0, 0, load('P-1', 4), load('P-2', 4, { bed: 'bed-2' })), hold(125, 'P-1')];
    expect(called(entries, 130, two)).toEqual({ due: 3, rows: [['P-1', 1, 2, 3, 'bed-1']] });
  });
  test('where no bed is noted, all beds that no other load of the round names', () => {
    const entries = [left(0, 0, load('P-1', 8, {})), hold(125, 'P-1')];
    expect(called(entries, 130, two)).toEqual({ due: 6, rows: [['P-1', 2, 4, 6, 'bed-1 bed-2']] });
    const named = [left(0, 0, load('P-1', 4, {}), load('P-2', 4, { bed: 'bed-2' })), hold(125, 'P-1')];
    expect(called(named, 130, two)).toEqual({ due: 3, rows: [['P-1', 1, 2, 3, 'bed-1']] });
    // A bed that nobody has is no bed.
    const other = [left(0, 0, load('P-1', 4, { bed: 'bed-9' })), hold(125, 'P-1')];
    expect(called(other, 130)).toEqual({ due: 3, rows: [['P-1', 1, 2, 3, 'bed-9']] });
  });
  test('a bag hangs until the next one, the end of therapy or of the session, or for its longest time', () => {
    const entries = [left(0, 0, load('P-1', 4)), hold(130, 'P-1')];
    const hanging = (fields: Partial<Patient>, now: number, rules: object = {}) =>
      called(entries, now, { ...world, patients: [bed(fields)], rules: { ...world.rules, ...rules } })
        .rows[0]![1];
    expect([hanging({}, 131), hanging({}, 239), hanging({}, 240)]).toEqual([1, 1, 0]);
    expect([hanging({ until: at(200) }, 199), hanging({ until: at(200) }, 200)]).toEqual([1, 0]);
    const session = { session: { start: '00:00', hours: 3 } } as Partial<Patient>;
    expect([hanging(session, 179), hanging(session, 180)]).toEqual([1, 0]);
    // Nothing runs from half an hour on: the bag hangs for its longest time, whole minutes of it.
    const paused = { changes: [{ at: at(30), dose: 0 }] } as Partial<Patient>;
    expect([149, 150].map((now) => hanging(paused, now, { maxHangHours: 2.505 }))).toEqual([1, 0]);
    // 20.3125 mL/kg/h: a bag lasts 4 h, and hangs for 3 h at most.
    const slow = { dose: 20.3125 };
    expect([hanging(slow, 179, { maxHangHours: 3 }), hanging(slow, 239)]).toEqual([1, 1]);
  });
  test('known from when it was noted, if that was later than it happened', () => {
    const late = noted(125, { kind: 'hold', lot: 'P-1' }, { told: 245 });
    // The third was hung at 4 h, before anybody knew.
    expect(called([left(0, 0, load('P-1', 4)), late], 250)).toEqual({
      due: 2,
      rows: [['P-1', 1, 1, 2, 'bed-1']],
    });
    expect(called([left(0, 0, load('P-1', 4)), hold(125, 'P-1')], 250)).toEqual({
      due: 2,
      rows: [['P-1', 0, 2, 2, 'bed-1']],
    });
  });
  test('part of a lot on hold calls nothing back, nor a lot that was released', () => {
    const carried = left(0, 0, load('P-1', 4));
    expect(called([carried, hold(125, 'P-1', { bags: 2 })], 130)).toEqual({ due: 0, rows: [] });
    const release = noted(128, { kind: 'release', lot: 'P-1' });
    expect(called([carried, hold(125, 'P-1'), release], 130)).toEqual({ due: 0, rows: [] });
  });
  test('what was carried in a place of it is used up first; what is carried later is not due again', () => {
    const entries = [left(0, 0, load('P-1', 4)), hold(125, 'P-1'), left(140, 0, load('P-2', 1))];
    // One came for the one that hung at 2 h; the ones of 4 and 6 h are still due.
    expect(called(entries, 150).due).toBe(2);
    const all = [left(0, 0, load('P-1', 4)), hold(125, 'P-1'), left(140, 0, load('P-2', 3))];
    expect(called(all, 150)).toEqual({ due: 0, rows: [['P-1', 1, 2, 0, 'bed-1']] });
    expect(called(all, 241).due).toBe(0);
    expect(called(all, 361).due).toBe(3);
  });
  test('what one replaces is short for the next: two came, one for the bag that hung, one for the next', () => {
    const entries = [left(0, 0, load('P-1', 4)), hold(125, 'P-1'), left(140, 0, load('P-2', 2))];
    expect(called(entries, 241).due).toBe(1);
  });
  test('what a round that is over brought takes nothing from the next', () => {
    const before = [left(0, 0, load('P-1', 6)), hold(125, 'P-1'), left(140, 0, load('P-2', 1))];
    // At 7 h 10 min one must hang since 6 h, and three are to come.
    expect(called([...before, left(365, 1, load('P-2', 4))], 430).due).toBe(0);
    expect(called([...before, left(365, 1, load('P-2', 3))], 430).due).toBe(1);
  });
  test('what two replace is short for the next of both', () => {
    const entries = [left(0, 0, load('P-1', 8, {})), hold(125, 'P-1'), left(140, 0, load('P-2', 4, {}))];
    expect(called(entries, 241, two).due).toBe(2);
  });
  test('a bag takes the place of one that hung, if it came before that one was over', () => {
    const back = [left(0, 0, load('P-1', 8, {})), hold(125, 'P-1')];
    const later = [left(140, 0, load('P-2', 1, {})), left(300, 0, load('P-2', 4, {}))];
    // Two hung at 2 h, one of them was replaced; of the four that came later two hang since 4 h, two are for 6 h.
    expect(called([...back, ...later], 310, two).due).toBe(0);
    // It came as the other one was over: it may have hung all the same.
    const one = [left(0, 0, load('P-1', 4)), hold(125, 'P-1')];
    expect(called([...one, left(240, 0, load('P-2', 2))], 310).due).toBe(1);
  });
  test('beds that other loads of the round name are not meant, however many there are', () => {
    const three = { ...world, patients: ['bed-1', 'bed-2', 'bed-3'].map((id) => bed({ id })) };
    const named = [load('P-2', 4), load('P-2', 4, { bed: 'bed-2' })];
    const entries = [left(0, 0, load('P-1', 4, {}), ...named), hold(125, 'P-1')];
    expect(called(entries, 130, three)).toEqual({ due: 3, rows: [['P-1', 1, 2, 3, 'bed-3']] });
  });
  test('a load of no bags calls nothing back', () => {
    const entries = [left(0, 0, load('P-1', 4), load('P-2', 0)), hold(125, 'P-2')];
    expect(called(entries, 130)).toEqual({ due: 0, rows: [['P-2', 0, 0, 0, 'bed-1']] });
  });
  test('only what its round covers is replaced from it', () => {
    // Bags at 1, 3, 5 and 7 h: the last one is of the next round.
    const where = { ...world, patients: [bed({ from: at(60) })] };
    expect(called([left(0, 0, load('P-1', 5)), hold(125, 'P-1')], 130, where)).toEqual({
      due: 3,
      rows: [['P-1', 1, 4, 3, 'bed-1']],
    });
  });
  test('a bag of a session hangs to the end of that session', () => {
    const twoDays = (hours: number) => ({
      ...world,
      days: 2,
      patients: [bed({ session: { start: '00:00', hours } } as Partial<Patient>)],
    });
    const first = (now: number, hours: number) =>
      called([left(0, 0, load('P-1', 2)), hold(10, 'P-1')], now, twoDays(hours)).rows[0]![1];
    expect([first(59, 1), first(60, 1)]).toEqual([1, 0]);
    const second = (hours: number) =>
      called([left(1080, 3, load('P-1', 6)), hold(1450, 'P-1')], 1500, twoDays(hours)).rows[0]![1];
    expect([second(3), second(24)]).toEqual([1, 1]);
  });
  test('beds stand in the order in which their bags were hung', () => {
    const where = { ...world, patients: [bed({ from: at(60) }), bed({ id: 'bed-2', dose: 20.3125 })] };
    const entries = [left(0, 0, load('P-1', 8, {})), hold(125, 'P-1')];
    expect(called(entries, 130, where).rows[0]![4]).toBe('bed-2 bed-1');
  });
  test('at the very minute: nobody hangs what is called back; what left an hour later was there', () => {
    expect(called([left(0, 0, load('P-1', 4)), hold(120, 'P-1')], 130)).toEqual({
      due: 3,
      rows: [['P-1', 0, 3, 3, 'bed-1']],
    });
    const late = (minute: number) =>
      called([left(minute, 0, load('P-1', 4)), hold(65, 'P-1')], 70).rows[0]![1];
    expect([late(60), late(61)]).toEqual([1, 0]);
  });
  test('a bag that was used up when it was called back takes none in its place', () => {
    const due = (minute: number) =>
      called([left(0, 0, load('P-1', 1)), left(70, 0, load('P-2', 1)), hold(minute, 'P-1')], 130).due;
    expect([due(125), due(120)]).toEqual([2, 2]);
  });
  test('two lots: what is due is replaced once', () => {
    const three = { ...world, stock: [...world.stock!, { lot: 'P-3', bath: '2K', bags: 9, litres: 6.5 }] };
    const entries = [
      left(0, 0, load('P-3', 1), load('P-1', 2), load('P-2', 2)),
      hold(125, 'P-1'),
      hold(125, 'P-2'),
    ];
    // The good one hung first; one of P-1 hangs since 2 h, two more are to be hung.
    expect(called(entries, 130, three)).toEqual({
      due: 3,
      rows: [
        ['P-1', 1, 1, 2, 'bed-1'],
        ['P-2', 0, 2, 1, 'bed-1'],
      ],
    });
  });
  test('beds at which one may hang: where a bag was hung before anybody knew, and hangs', () => {
    const beds = (fields: Partial<Patient>, since: number, now: number) => {
      const where = { ...world, patients: [bed(), bed({ id: 'bed-2', ...fields })] };
      return called([left(0, 0, load('P-1', 8, {})), hold(since, 'P-1')], now, where).rows[0]![4];
    };
    expect(beds({}, 125, 130)).toBe('bed-1 bed-2');
    expect(beds({ until: at(60) }, 125, 130)).toBe('bed-1');
    expect(beds({}, 120, 130)).toBe('');
    expect([beds({}, 125, 239), beds({}, 125, 240)]).toEqual(['bed-1 bed-2', '']);
    // Its second bag was hung at 3 h, when it was known.
    expect(beds({ from: at(60) }, 125, 190)).toBe('bed-1');
  });
  test('of a round whose bags all hang by now nothing is on the ward but what hangs or waits', () => {
    const entries = [left(0, 0, load('P-1', 4)), left(355, 1, load('P-2', 3)), hold(800, 'P-1')];
    expect(called(entries, 810).rows).toEqual(
      [['P-1', 0, 0, 0, '']].map((row) => [...row.slice(0, 4), 'bed-1']),
    );
    const unknown = [left(0, at(5), load('P-1', 4)), hold(125, 'P-1')];
    expect(called(unknown, 130).rows).toEqual([['P-1', 0, 4, 0, 'bed-1']]);
    const nobody = [left(0, at(5), load('P-1', 4, { ward: 'ICU' })), hold(125, 'P-1')];
    expect(stateAt(world, nobody, 130).recall).toEqual([
      {
        lot: 'P-1',
        bath: '2K',
        bags: 4,
        round: at(5),
        at: 0,
        ward: 'ICU',
        hanging: 0,
        waiting: 4,
        beds: [],
        replace: 0,
      },
    ]);
  });
});
