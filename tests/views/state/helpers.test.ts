import { expect, test } from 'vitest';
import { openHelpers } from '../../../src/views/state/helpers.ts';
import { invented } from '../../browser/scenario.ts';
import { asWorker, type FakeWorker, fakeWorker } from './fakeWorker.ts';

const how = { tries: 60, seed: 1, seconds: 1 };

/** Helpers on so many cores; each thread plans when it is told to go on. */
function open(cores: number, begin: () => void = () => undefined) {
  const workers: FakeWorker[] = [];
  const failures: string[] = [];
  const going: ((unmet: number) => void)[] = [];
  const make = () => {
    const changed = () => new Promise((resolve) => going.push((unmet) => resolve({ unmet })));
    workers.push(fakeWorker({ begin, changed }));
    return asWorker(workers.at(-1)!);
  };
  const helpers = openHelpers(invented(1, 1), (why) => failures.push(why), make, cores);
  return { helpers, workers, failures, going };
}
const soon = () => new Promise((done) => setTimeout(done, 20));

test('there is a thread for each core, up to four, and one where nobody knows', () => {
  for (const [cores, threads] of [
    [1, 1],
    [2, 2],
    [4, 4],
    [32, 4],
    [0, 1],
  ] as const) {
    const { helpers, workers } = open(cores);
    expect([helpers.threads, workers.length]).toEqual([threads, threads]);
    helpers.end();
    expect(workers.every(({ ended }) => ended)).toBe(true);
  }
});

test('who asks waits for a free thread, and each is answered', async () => {
  const { helpers, going } = open(2);
  const answers: unknown[] = [];
  for (let n = 0; n < 3; n++)
    void helpers.ask((service) => service.changed(invented(1, 1), how)).then((one) => answers.push(one));
  await expect.poll(() => going.length).toBe(2);
  // The third waits, however long.
  await soon();
  expect(going).toHaveLength(2);
  going[0]!(10);
  await expect.poll(() => going.length).toBe(3);
  going[1]!(11);
  going[2]!(12);
  await expect.poll(() => answers.length).toBe(3);
  // Two threads answer at a time: either may be heard first.
  expect(new Set(answers)).toEqual(new Set([{ unmet: 10 }, { unmet: 11 }, { unmet: 12 }]));
  helpers.end();
});

test('a thread that cannot start is told of', async () => {
  const { helpers, workers, failures } = open(2, () => {
    throw new Error('no scenario');
  });
  await expect.poll(() => failures).toEqual(['no scenario', 'no scenario']);
  workers[1]!.onerror!({ message: 'no such file' });
  expect(failures).toEqual(['no scenario', 'no scenario', 'no such file']);
  helpers.end();
});
