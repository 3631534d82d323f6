import { Session } from 'node:inspector/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { startFrom } from '../../src/record/from.ts';
import { idsTwice, readJournal } from '../../src/record/journal.ts';
import { stateOf } from '../../src/record/state.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { busyRecord } from './busy.ts';

/** Reads a record of so many entries and folds it to its last minute. @param leaves whether bag rounds are noted */
function opened(entries: number, leaves: boolean) {
  const { world, files } = busyRecord(entries, leaves);
  const scenario = { ...world, rules: { ...world.rules, releaseAfterTest: true } };
  return () => {
    const journals = files.map(({ name, text }) => readJournal(name, text));
    const noted = journals.flatMap((journal) => journal.noted);
    const problem = compile(scenario);
    const state = stateOf(scenario, problem, noted, problem.horizon - 1);
    startFrom(problem, state);
    return { noted, faults: [...journals.flatMap(({ faults }) => faults), ...idsTwice(noted)], state };
  };
}

const session = new Session();
beforeAll(async () => {
  session.connect();
  await session.post('Profiler.enable');
  // Before anything ran: what the engine has made quick is not counted.
  await session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
});
afterAll(() => session.disconnect());

/** How often any block of the record's own code runs: counted by the engine, whatever the clock says. */
async function blocksRun(work: () => unknown): Promise<number> {
  await session.post('Profiler.takePreciseCoverage');
  work();
  const { result } = await session.post('Profiler.takePreciseCoverage');
  return result
    .filter(({ url }) => url.includes('/src/record/'))
    .flatMap(({ functions }) => functions.flatMap(({ ranges }) => ranges.map(({ count }) => count)))
    .reduce((sum, count) => sum + count, 0);
}

// Without a clock: four times the entries on four times the days are four times the work, and the sort's little more.
test.each([
  ['noted', true],
  ['not noted', false],
] as const)('work grows with the entries alone, where bag rounds are %s', async (_, leaves) => {
  const [few, many] = [opened(10_000, leaves), opened(40_000, leaves)];
  const first = few();
  expect(first.faults).toEqual([]);
  expect(first.noted).toHaveLength(10_000);
  expect(first.state.lots.length).toBeGreaterThan(1500);
  const counted = await blocksRun(few);
  expect(counted).toBeGreaterThan(10_000);
  const ratio = (await blocksRun(many)) / counted;
  expect(ratio).toBeGreaterThan(3.5);
  expect(ratio).toBeLessThan(4.4);
});
