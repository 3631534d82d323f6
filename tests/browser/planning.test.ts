import * as Comlink from 'comlink';
import { describe, expect, test } from 'vitest';
import type { Plan } from '../../src/plan/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import { makeRunner } from '../../src/views/planning.ts';
import type { PlanRequest } from '../../src/views/worker/plan.worker.ts';
import { invented } from './scenario.ts';

const score = (handsOnMinutes: number) => ({
  unmetLitres: 0,
  reserveShort: 0,
  handsOnMinutes,
  expiredBags: 0,
});
const bound = { unmetLitres: 0, handsOnMinutes: 0 };
const made = (minutes: number): Plan => ({
  activities: [],
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

/** A worker's end of a channel in this thread that answers as its search does. */
function fake(search: Search) {
  const { port1, port2 } = new MessageChannel();
  const byHand = () => ({ activities: [], score: score(999) });
  Comlink.expose({ plan: search, byHand }, port2 as unknown as Comlink.Endpoint);
  const worker = Object.assign(port1, {
    ended: false,
    onerror: null as ((event: { message: string }) => void) | null,
    terminate() {
      worker.ended = true;
      port1.close();
    },
  });
  return worker;
}

/** Runs one request with these searches, the first worker's first; what the listener hears, in order. */
async function run(request: Partial<PlanRequest>, ...searches: Search[]) {
  const workers: ReturnType<typeof fake>[] = [];
  const runner = makeRunner(() => {
    workers.push(fake(searches[workers.length]!));
    return workers.at(-1) as unknown as Worker;
  });
  const words: string[] = [];
  await new Promise<void>((resolve) => {
    runner.start(
      { scenario: invented(1, 1), ...request },
      {
        progress: ({ done, score: so }) => void words.push(`${done}: ${so.handsOnMinutes}`),
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
  for (const worker of workers) worker.terminate();
  return { words, workers };
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
        return made(70);
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
    expect(words).toEqual(['0: 80', '0.4: 80', '0.5: 66', 'done 60']);
    expect(new Set(seeds).size).toBe(2);
  });

  test('leave the first plan when the second fails, and say so', async () => {
    const { words } = await run(
      { anew: true, previous: [] },
      async () => made(70),
      async () => {
        throw new Error('out of memory');
      },
    );
    expect(words).toEqual(['done 70 The second search counts for nothing: out of memory.']);
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
