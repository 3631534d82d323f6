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
import { noted } from './book.ts';

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
const bed = (fields: Partial<Patient> = {}): Patient => ({
  id: 'bed-1',
  weight: 80,
  // A 6.5 L bag each 2 h.
  dose: 40.625,
  bath: '2K',
  ...fields,
});
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
  test('a round that left before its time keeps it', () => {
    const early = left(340, 1, load('P-2', 3));
    const { stateAt } = next(ward, [...entries, early], 350);
    expect(stateAt(0)).toMatchObject({ dueNow: [0, 0], nextRound: 2 });
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
