import { compile } from '../scenario/problem/compile.ts';
import type { Scenario } from '../scenario/schema.ts';
import type { Draft } from './entries.ts';

/**
 * What is noted when somebody says afterwards whether a bag round was carried whose loads nobody noted: the opening one,
 * which left before anything was noted. It stands at the round's own time.
 * @param round its number, 0 for the opening one
 * @throws RangeError for a number that no round has
 */
export function roundDeclared(
  scenario: Scenario,
  round: number,
  declared: 'carried' | 'not carried',
  by: string,
): Draft {
  const { rounds, clock } = compile(scenario);
  const found = rounds[round];
  if (!found) throw new RangeError(`no bag round ${round}`);
  return { kind: 'leave', at: clock.localOf(found.at), by, round, loads: [], declared };
}
