import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { makeClock } from '../../src/calendar/clock.ts';
import { lotName } from '../../src/plan/lotName.ts';
import { fold, standing } from '../../src/record/fold.ts';
import type { Noted } from '../../src/record/journal.ts';
import { minuteOf } from '../../src/record/minuteOf.ts';
import { at, tinyWorld } from '../world.ts';
import { autumnCircuit, noted, stateAt } from './book.ts';

const world = tinyWorld({ stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }] });
const minute = fc.integer({ min: 0, max: 600 });
/** Entries of several kinds, some void others, all in one tiny day. */
const anyEntries = fc
  .array(
    fc.tuple(
      fc.constantFrom('icu', 'tablet'),
      minute,
      minute,
      fc.oneof(
        fc.constant({ kind: 'test' as const, water: 'RO', result: 'pass' }),
        fc.constant({ kind: 'test' as const, water: 'RO', result: 'fail' }),
        fc.constant({ kind: 'circuit' as const, machine: 'M1', bath: '2K' }),
        fc.constant({ kind: 'fill' as const, machine: 'M1' }),
        fc.constant({ kind: 'off' as const, machine: 'M1', good: 8 }),
        fc.constant({ kind: 'hold' as const, lot: 'P-1', bags: 2 }),
        fc.constant({ kind: 'release' as const, lot: 'P-1' }),
        fc.constant({ kind: 'discard' as const, lot: 'P-1', bags: 1 }),
        fc.record({
          kind: fc.constant('void' as const),
          of: fc.integer({ min: 1, max: 12 }).map((n) => `icu/${n}`),
        }),
      ),
    ),
    { maxLength: 14 },
  )
  .map((rows) => {
    const last = new Map<string, number>();
    return rows.map(([station, at, told, fields]) => {
      const n = (last.get(station) ?? 0) + 1;
      last.set(station, n);
      return noted(at, fields, { n, station, told });
    });
  });
const clock = makeClock(world.timeZone, world.start);
const told = (entries: readonly Noted[]) => JSON.stringify(stateAt(world, entries, 700));

describe('reading the record', () => {
  test('the order in which entries are read makes no difference', () => {
    fc.assert(
      fc.property(anyEntries, fc.infiniteStream(fc.double({ noNaN: true })), (entries, chance) => {
        const shuffled = entries
          .map((entry) => ({ entry, key: chance.next().value! }))
          .sort((a, b) => a.key - b.key)
          .map(({ entry }) => entry);
        expect(told(shuffled)).toBe(told(entries));
        expect(told([...entries, ...entries])).toBe(told(entries));
      }),
    );
  });
  test('what a station notes in one go stays in its order, also where its number gets a digit more', () => {
    const off = noted(100, { kind: 'off', machine: 'M1', good: 8 }, { n: 9 });
    const fill = noted(100, { kind: 'fill', machine: 'M1' }, { n: 10 });
    const ids = fold(clock, [fill, off], 200, 1440).facts.map(({ entry }) => entry.id);
    expect(ids).toEqual(['icu/9', 'icu/10']);
  });
  test('void twice is void once; an entry and its void are as if neither were there', () => {
    fc.assert(
      fc.property(anyEntries, minute, fc.nat(), (entries, at, pick) => {
        const plain = entries.filter(({ entry }) => entry.kind !== 'void');
        fc.pre(plain.length > 0);
        const { entry } = plain[pick % plain.length]!;
        const others = plain.filter((one) => one.entry.id !== entry.id);
        const voids = (n: number) => noted(at, { kind: 'void', of: entry.id }, { n, station: 'desk' });
        expect(told([...plain, voids(1)])).toBe(told(others));
        expect(told([...plain, voids(1), voids(2)])).toBe(told(others));
      }),
    );
  });
  test('a void that is void takes nothing back; a ring of voids ends', () => {
    const hold = noted(10, { kind: 'hold', lot: 'P-1' }, { n: 1, station: 'a' });
    const first = noted(20, { kind: 'void', of: 'a/1' }, { n: 2, station: 'a' });
    const second = noted(30, { kind: 'void', of: 'a/2' }, { n: 3, station: 'a' });
    expect(standing([hold, first, second]).map(({ id }) => id)).toEqual(['a/1', 'a/3']);
    const ring = noted(40, { kind: 'void', of: 'a/3' }, { n: 4, station: 'a' });
    const round = noted(50, { kind: 'void', of: 'a/4' }, { n: 5, station: 'a' });
    expect(standing([hold, first, second, ring, round]).map(({ id }) => id)).toEqual(['a/1', 'a/3', 'a/5']);
  });
  test('facts go by their own time, then by when they were noted, then by id', () => {
    const late = noted(10, { kind: 'note', text: 'late' }, { n: 1, station: 'a', told: 90 });
    const soon = noted(10, { kind: 'note', text: 'soon' }, { n: 1, station: 'b', told: 12 });
    const later = noted(11, { kind: 'note', text: 'later' }, { n: 2, station: 'b', told: 11 });
    const { facts } = fold(clock, [late, later, soon], 100, 1440);
    expect(facts.map(({ entry }) => 'text' in entry && entry.text)).toEqual(['soon', 'late', 'later']);
  });
});

test('a void noted later than now takes nothing back', () => {
  const hold = noted(10, { kind: 'hold', lot: 'P-1' }, { n: 1, station: 'a' });
  const wrong = noted(20, { kind: 'void', of: 'a/1' }, { n: 2, station: 'a', told: 900 });
  expect(stateAt(world, [hold, wrong], 700).lots[0]!.held).toBe(10);
  expect(stateAt(world, [hold, wrong], 900).lots[0]!.held).toBe(0);
});

describe('which entries count', () => {
  const ids = (facts: readonly { entry: { id: string } }[]) => facts.map(({ entry }) => entry.id);
  const note = (at: number, n: number, station = 'a', told = at) =>
    noted(at, { kind: 'note', text: 'x' }, { n, station, told });

  test('what is noted in one minute stays in the order of its lines, one station after the other', () => {
    const entries = [note(10, 10), note(10, 9), note(10, 2, 'b'), note(10, 1, 'b'), note(10, 11)];
    const inLine = ['a/9', 'a/10', 'a/11', 'b/1', 'b/2'];
    expect(ids(fold(clock, entries, 100, 1440).facts)).toEqual(inLine);
    expect(ids(fold(clock, entries, 5, 1440).later)).toEqual(inLine);
    expect(ids(fold(clock, entries, 9_000, -4_000).elsewhere)).toEqual(inLine);
    const clockWrong = entries.map(
      ({ entry }) => ({ entry: { ...entry, noted: `${at(600)}:00Z` } }) as Noted,
    );
    expect(ids(fold(clock, clockWrong, 100, 1440).untrusted)).toEqual(inLine);
  });

  test('a clock may be five minutes fast; beyond, only what may warn counts', () => {
    const kinds = [
      'note',
      'circuit',
      'bath',
      'fill',
      'off',
      'release',
      'test',
      'reading',
      'hold',
      'discard',
      'stop',
      'out',
    ];
    const entries = (told: number) =>
      kinds.map((kind, n) => noted(50, { kind: kind as 'note', text: '' }, { n: n + 1, station: 'a', told }));
    expect(fold(clock, entries(105), 100, 1440).facts).toHaveLength(12);
    const { facts, untrusted } = fold(clock, entries(106), 100, 1440);
    expect(facts.map(({ entry }) => entry.kind)).toEqual(kinds.slice(6));
    expect(untrusted).toHaveLength(12);
  });

  test('two days around the scenario belong to it', () => {
    const entries = [note(-2881, 1), note(-2880, 2), note(1440 + 2880, 3), note(1440 + 2881, 4)];
    const { facts, elsewhere } = fold(clock, entries, 9_000, 1440);
    expect([ids(facts), ids(elsewhere)]).toEqual([
      ['a/2', 'a/3'],
      ['a/1', 'a/4'],
    ]);
  });

  test('a set-up that began before now counts, though it ends later; other work does not', () => {
    const began = (kind: 'circuit' | 'bath' | 'fill', n: number) =>
      noted(110, { kind, machine: 'M1', bath: '2K', began: at(90) }, { n, station: 'a', told: 100 });
    const { facts, later } = fold(
      clock,
      [began('circuit', 1), began('bath', 2), began('fill', 3)],
      100,
      1440,
    );
    expect([ids(facts), ids(later)]).toEqual([['a/1', 'a/2'], ['a/3']]);
  });

  test('a void of itself takes nothing back; two voids of one entry are as good as one', () => {
    const hold = noted(10, { kind: 'hold', lot: 'P-1' }, { n: 1, station: 'a' });
    const own = noted(20, { kind: 'void', of: 'a/2' }, { n: 2, station: 'a' });
    const twice = [3, 4].map((n) => noted(20 + n, { kind: 'void', of: 'a/1' }, { n, station: 'a' }));
    expect(standing([hold, own]).map(({ id }) => id)).toEqual(['a/1', 'a/2']);
    expect(standing([hold, ...twice]).map(({ id }) => id)).toEqual(['a/3', 'a/4']);
    // One of the two was wrong: the other still takes it back.
    const back = noted(30, { kind: 'void', of: 'a/3' }, { n: 5, station: 'a' });
    expect(standing([hold, ...twice, back]).map(({ id }) => id)).toEqual(['a/4', 'a/5']);
  });

  test('of two voids of one entry either takes it back, whichever of them is void', () => {
    const hold = noted(10, { kind: 'hold', lot: 'P-1' }, { n: 1, station: 'a' });
    const twice = [3, 4].map((n) => noted(20 + n, { kind: 'void', of: 'a/1' }, { n, station: 'a' }));
    const back = noted(30, { kind: 'void', of: 'a/4' }, { n: 5, station: 'a' });
    expect(standing([hold, ...twice, back]).map(({ id }) => id)).toEqual(['a/3', 'a/5']);
  });
  test('a void counts as long as its station is five minutes ahead at most', () => {
    const hold = noted(10, { kind: 'hold', lot: 'P-1' }, { n: 1, station: 'a' });
    const taken = (told: number) => noted(20, { kind: 'void', of: 'a/1' }, { n: 2, station: 'a', told });
    expect(ids(fold(clock, [hold, taken(105)], 100, 1440).facts)).toEqual([]);
    expect(ids(fold(clock, [hold, taken(106)], 100, 1440).facts)).toEqual(['a/1']);
  });
  test('voids of each other: the same of them count in whatever order they are read', () => {
    const of = (n: number, other: number) =>
      noted(10 + n, { kind: 'void', of: `a/${other}` }, { n, station: 'a' });
    const two = [of(1, 2), of(2, 1)];
    expect(standing(two).map(({ id }) => id)).toEqual(['a/2']);
    expect(standing(two.toReversed()).map(({ id }) => id)).toEqual(['a/2']);
    // 1 takes back 2 and 4; 2 takes back 3; 3 takes back 1: as each is read first.
    const ring = [of(1, 2), of(2, 3), of(3, 1), of(4, 2)];
    const all = ring.map((_, first) => [...ring.slice(first), ...ring.slice(0, first)]);
    for (const order of [...all, ...all.map((one) => one.toReversed())])
      expect(
        standing(order)
          .map(({ id }) => id)
          .sort(),
      ).toEqual(
        standing(ring)
          .map(({ id }) => id)
          .sort(),
      );
  });
  test('ids of one number stand in the order of their letters', () => {
    const one = note(10, 1);
    const other = { ...one, entry: { ...one.entry, id: 'a/01' } } as Noted;
    for (const both of [
      [one, other],
      [other, one],
    ])
      expect(ids(fold(clock, both, 100, 1440).facts)).toEqual(['a/01', 'a/1']);
  });
  test('of two entries with one id the same one counts, whichever is read first', () => {
    const one = note(10, 1);
    const other = { ...one, entry: { ...one.entry, text: 'w' } } as Noted;
    for (const both of [
      [one, other],
      [other, one],
    ])
      expect(standing(both).map((entry) => 'text' in entry && entry.text)).toEqual(['w']);
  });
});

describe('names of lots', () => {
  // On 2031-11-02 clocks in Chicago go back at 02:00 (IANA time zone database, US rules since 2007).
  const chicago = makeClock('America/Chicago', '2031-11-02T00:00');
  test('machine and begin; the second of a repeated hour bears -2', () => {
    expect(lotName(chicago, 'M1', 60)).toBe('M1 2031-11-02 01:00');
    expect(lotName(chicago, 'M1', 90)).toBe('M1 2031-11-02 01:30');
    expect(lotName(chicago, 'M1', 150)).toBe('M1 2031-11-02 01:30-2');
    expect(lotName(chicago, 'M1', 180)).toBe('M1 2031-11-02 02:00');
  });
  test('a set-up that begins in the second of a repeated hour has not begun in the first', () => {
    const facts = (began: string, at: string, now: number, again?: boolean) => {
      const entry = autumnCircuit(began, at, again);
      return fold(chicago, [entry], now, 1440).facts.length;
    };
    expect([facts('01:20', '01:50', 139, true), facts('01:20', '01:50', 140, true)]).toEqual([0, 1]);
    expect([facts('01:20', '02:10', 79), facts('01:20', '02:10', 80)]).toEqual([0, 1]);
  });
  test('a repeated time is its first, unless the entry says again', () => {
    expect(minuteOf(chicago, '2031-11-02T01:30')).toBe(90);
    expect(minuteOf(chicago, '2031-11-02T01:30', true)).toBe(150);
    expect(minuteOf(chicago, '2031-11-02T03:30', true)).toBe(270);
    expect(minuteOf(chicago, '2031-11-02T01:30:00', true)).toBe(150);
  });
});
