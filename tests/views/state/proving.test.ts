import { describe, expect, test } from 'vitest';
import type { Proven } from '../../../src/planner/planner.ts';
import { makeProver, openLeast } from '../../../src/views/state/proving.ts';
import { invented } from '../../browser/scenario.ts';
import { asWorker, type FakeWorker, fakeWorker } from './fakeWorker.ts';

const score = { unmetLitres: 0, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes: 64, expiredBags: 0 };
const weak: Proven = { unmetLitres: 0, handsOnMinutes: 40, remarks: [] };
const strong: Proven = { ...weak, handsOnMinutes: 60 };
const never = new Promise<void>(() => {});

const fake = (prove: (onStep: (proven: Proven) => Promise<void>) => Promise<void>) =>
  fakeWorker({
    prove: (_: unknown, __: unknown, ___: unknown, onStep: (proven: Proven) => Promise<void>) =>
      prove(onStep),
  });

/** What a listener hears, in order, until the end. */
function heard() {
  const words: string[] = [];
  let end: () => void = () => {};
  const over = new Promise<string[]>((resolve) => {
    end = () => resolve(words);
  });
  const told = {
    step: (proven: Proven) => void words.push(`step ${proven.handsOnMinutes}`),
    done(proven: Proven) {
      words.push(`done ${proven.handsOnMinutes} ${proven.remarks.join()}`.trim());
      end();
    },
    failed(why: string) {
      words.push(`failed: ${why}`);
      end();
    },
  };
  return { told, over, words };
}

describe('the proof beside a plan', () => {
  test('tells each step, then that it is done, and keeps its thread for the next', async () => {
    const made: FakeWorker[] = [];
    const prover = makeProver(() => {
      made.push(
        fake(async (onStep) => {
          await onStep(weak);
          await onStep(strong);
        }),
      );
      return asWorker(made.at(-1)!);
    });
    for (let n = 0; n < 2; n++) {
      const { told, over } = heard();
      prover.start(invented(1, 1), score, told);
      expect(await over).toEqual(['step 40', 'step 60', 'done 60']);
    }
    expect(made).toHaveLength(1);
    expect(made[0]!.ended).toBe(false);
    made[0]!.terminate();
  });

  test('ends a solver that hangs, and says so', async () => {
    const hangs = fake(() => never);
    const { told, over } = heard();
    makeProver(() => asWorker(hangs), 0.2).start(invented(1, 1), score, told);
    expect(await over).toEqual(['failed: the solver was not done within 0.2 s']);
    expect(hangs.ended).toBe(true);
  });

  test('keeps what was proven before the solver hung', async () => {
    const hangs = fake(async (onStep) => {
      await onStep(weak);
      await never;
    });
    const { told, over } = heard();
    makeProver(() => asWorker(hangs), 0.4).start(invented(1, 1), score, told);
    expect(await over).toEqual([
      'step 40',
      'done 40 A better lower bound was not found: the solver was not done within 0.4 s.',
    ]);
  });

  test('says so when the solver crashes, in its answer or as a whole', async () => {
    const crashes = fake(() => Promise.reject(new Error('memory access out of bounds')));
    const first = heard();
    makeProver(() => asWorker(crashes)).start(invented(1, 1), score, first.told);
    expect(await first.over).toEqual(['failed: the solver failed (memory access out of bounds)']);
    const dies = fake(() => never);
    const second = heard();
    makeProver(() => asWorker(dies)).start(invented(1, 1), score, second.told);
    dies.onerror!({ message: 'no such file' });
    expect(await second.over).toEqual(['failed: the solver failed (no such file)']);
  });

  test('ends at once when another plan is to be proven; the one before hears nothing more', async () => {
    const threads = [fake(() => never), fake(async (onStep) => onStep(strong))];
    let next = 0;
    const prover = makeProver(() => asWorker(threads[next++]!));
    const first = heard();
    prover.start(invented(1, 1), score, first.told);
    const second = heard();
    prover.start(invented(2, 1), score, second.told);
    expect(threads[0]!.ended).toBe(true);
    expect(await second.over).toEqual(['step 60', 'done 60']);
    expect(first.words).toEqual([]);
    threads[1]!.terminate();
  });
});

describe('what no plan leaves less of, asked limit by limit', () => {
  const asked = (answer: (probe: number | null) => Promise<number>) => {
    const workers: FakeWorker[] = [];
    const opened = openLeast(
      invented(1, 1),
      () => {
        workers.push(fakeWorker({ least: (_: unknown, probe: number | null) => answer(probe) }));
        return asWorker(workers.at(-1)!);
      },
      0.2,
    );
    return { ...opened, workers };
  };

  test('is answered by one thread, which ends with the question', async () => {
    const { least, end, workers } = asked(async (probe) => (probe === null ? 26 : probe));
    expect([await least(null), await least(3)]).toEqual([26, 3]);
    expect(workers.map(({ ended }) => ended)).toEqual([false]);
    end();
    expect(workers.map(({ ended }) => ended)).toEqual([true]);
  });

  test.each([
    ['hangs', () => new Promise<number>(() => {})],
    ['fails', () => Promise.reject(new Error('no memory'))],
  ])('is nothing any more once the solver %s', async (_, answer) => {
    const { least, workers } = asked((probe) => (probe === null ? Promise.resolve(26) : answer()));
    expect([await least(null), await least(0), await least(null)]).toEqual([26, null, null]);
    expect(workers.map(({ ended }) => ended)).toEqual([true]);
  });
});
