import type { Entry } from '../../src/record/entries.ts';
import type { Noted } from '../../src/record/journal.ts';
import { stateOf } from '../../src/record/state.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';
import { at } from '../world.ts';

/** An entry of a test: `at` in minutes of the tiny world's first day; noted in the same minute unless told otherwise. */
export const noted = (
  minute: number,
  fields: { kind: Entry['kind'] } & Record<string, unknown>,
  { n, station = 'icu', told = minute }: { n?: number; station?: string; told?: number } = {},
): Noted => {
  count += 1;
  const id = n ?? count;
  return {
    entry: {
      n: id,
      id: `${station}/${id}`,
      noted: `${at(told)}:00Z`,
      by: 'AB',
      at: at(minute),
      before: '0'.repeat(64),
      ...fields,
    } as unknown as Entry,
    file: `${station}.jsonl`,
    line: id,
  };
};
let count = 0;

/** A bed of 80 kg x 40.625 mL/kg/h = 3.25 L/h: a 6.5 L bag each 2 h. */
export const bed = (fields: Partial<Patient> = {}): Patient => ({
  id: 'bed-1',
  weight: 80,
  dose: 40.625,
  bath: '2K',
  ...fields,
});

/** A new circuit of the night in which clocks go back in Chicago, 2031-11-02 at 02:00 (IANA time zone database, US rules since 2007). */
export const autumnCircuit = (began: string, inPlace: string, again = false): Noted => {
  const local = { began: `2031-11-02T${began}`, at: `2031-11-02T${inPlace}`, noted: '2031-11-02T05:00:00Z' };
  return noted(0, { kind: 'circuit', machine: 'M1', bath: '2K', ...local, ...(again && { again }) });
};

/** The state at a minute of a world in UTC. */
export const stateAt = (scenario: Scenario, entries: readonly Noted[], now: number) =>
  stateOf(scenario, compile(scenario), entries, now);
