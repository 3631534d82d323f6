import type { Entry } from '../../src/record/entries.ts';
import type { Noted } from '../../src/record/journal.ts';
import { stateOf } from '../../src/record/state.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
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

/** The state at a minute of a world in UTC. */
export const stateAt = (scenario: Scenario, entries: readonly Noted[], now: number) =>
  stateOf(scenario, compile(scenario), entries, now);
