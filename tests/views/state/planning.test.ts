import { describe, expect, test } from 'vitest';
import { NOTHING_PROVEN, type Plan } from '../../../src/plan/plan.ts';
import type { Progress } from '../../../src/planner/planner.ts';
import { makeRunner } from '../../../src/views/state/planning.ts';
import type { PlanRequest } from '../../../src/views/worker/plan.worker.ts';
import { invented } from '../../browser/scenario.ts';
import { asWorker, type FakeWorker, fakeWorker } from './fakeWorker.ts';

const score = (handsOnMinutes: number) => ({
  unmetLitres: 0,
  unmetLitreHours: 0,
  reserveShort: 0,
  handsOnMinutes,
  expiredBags: 0,
});
const bound = NOTHING_PROVEN;
const made = (minutes: number, fills = 0): Plan => ({
  activities: Array.from({ length: fills }, () => ({
    kind: 'fill',
    machine: 'M1',
    bath: '2K',
    start: 0,
    end: 65,
  })),
  needs: [],
  score: score(minutes),
  bound,
  remarks: [],
  seconds: 1,
});
const far = (done: number, minutes: number): Progress => ({
  done,
  score: score(minutes),
  bound: null,
  activities: [],
});
type Search = (request: PlanRequest, onProgress: (progress: Progress) => Promise<void>) => Promise<Plan>;

const fake = (plan: Search) => fakeWorker({ plan, byHand: () => ({ activities: [], score: score(999) }) });

/** Runs one request with these searches, the first worker's first; what the listener hears, in order. */
async function run(request: Partial<PlanRequest>, ...searches: Search[]) {
  const workers: FakeWorker[] = [];
  const runner = makeRunner(() => {
    workers.push(fake(searches[workers.length]!));
    return asWorker(workers.at(-1)!);
  });
  const words: string[] = [];
  await new Promise<void>((resolve) => {
    runner.start(
      { scenario: invented(1, 1), ...request },
      {
        progress: ({ done, score: so, settled }) =>
          void words.push(`${done.toFixed(1)}${settled ? '' : ' at first'}: ${so.handsOnMinutes}`),
        done: ({ score: so, remarks }) =>
          void words.push(`done ${so.handsOnMinutes} ${remarks.join()}`.trim()),
        byHand: () => resolve(),
        failed(why) {
          words.push(`failed: ${why}`);
          resolve();
        },
      },
    );
  });
  const ended = workers.map((worker) => worker.ended);
  for (const worker of workers) worker.terminate();
  return { words, workers, ended };
}

describe('two searches of the app', () => {
  test('give the better plan, and their progress as one: the best of both, as far as the slower', async () => {
    const seeds: (number | undefined)[] = [];
    let firstTold: () => void = () => {};
    const told = new Promise<void>((resolve) => {
      firstTold = resolve;
    });
    const { words } = await run(
      {},
      async ({ seed }, onProgress) => {
        seeds.push(seed);
        await onProgress(far(0.5, 80));
        firstTold();
        return made(70, 601);
      },
      async ({ seed, cool }, onProgress) => {
        await told;
        seeds.push(seed);
        expect(cool).toBe(true);
        await onProgress(far(0.4, 90));
        await onProgress(far(0.6, 66));
        return made(60);
      },
    );
    expect(words).toEqual(['0.0 at first: 80', '0.4: 80', '0.5: 66', 'done 60']);
    expect(new Set(seeds).size).toBe(2);
  });

  test('go on in the same threads: three pairs anew, then from the best, as long as that finds better plans', async () => {
    const asked: string[] = [];
    const search =
      (...minutes: number[]): Search =>
      async ({ seed, from }, onProgress) => {
        asked.push(`${seed} ${from ? 'from the best' : 'anew'}`);
        await onProgress(far(1, minutes[0]!));
        return made(minutes.shift()!);
      };
    const { words, workers } = await run(
      {},
      search(400, 500, 300, 300, 300),
      search(300, 290, 280, 290, 290),
    );
    expect(words.at(-1)).toBe('done 280');
    const shares = words.slice(0, -1).map(Number.parseFloat);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(workers).toHaveLength(2);
    expect(asked).toHaveLength(10);
    expect(new Set(asked).size).toBe(10);
    expect(asked.map((word) => word.split(' ')[1])).toEqual(asked.map((_, n) => (n < 6 ? 'anew' : 'from')));
  });

  test('leave the first plan when the second fails, and say so', async () => {
    const { words, ended } = await run(
      { anew: true, previous: [] },
      async () => made(70),
      async () => {
        throw new Error('out of memory');
      },
    );
    expect(words).toEqual(['done 70 The second search counts for nothing: out of memory.']);
    expect(ended).toEqual([false, true]);
  });

  test('are one after an edit, where the search is short', async () => {
    const { words, workers } = await run({ previous: [] }, async () => made(70));
    expect(words).toEqual(['done 70']);
    expect(workers).toHaveLength(1);
  });

  test('fail when the first one does', async () => {
    const { words } = await run(
      {},
      async () => {
        throw new Error('no memory');
      },
      async () => made(60),
    );
    expect(words).toEqual(['failed: no memory']);
  });
});
