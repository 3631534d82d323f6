import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Bridge } from '../../../src/bridge.ts';
import { type Means, makeEffectRunner } from '../../../src/views/state/effectRunner.ts';
import type { Event } from '../../../src/views/state/events.ts';
import { invented } from '../../browser/scenario.ts';

const scenario = invented(1, 1);
const request = { scenario, now: 0 };

function world(part: Partial<Means> = {}) {
  const heard: Event[] = [];
  const done: string[] = [];
  const means: Means = {
    planner: {
      start: (asked) => void done.push(`plan ${asked.scenario.title}`),
      stop: () => void done.push('stop planning'),
      endSoon: () => void done.push('end soon'),
    },
    prover: {
      start: () => void done.push('prove'),
      stop: () => void done.push('stop proving'),
    },
    why: () => () => void done.push('stop explaining'),
    clinical: () => () => void done.push('stop clinical'),
    confirm: () => true,
    ...part,
  };
  const runner = makeEffectRunner((event) => void heard.push(event), means);
  return { heard, done, runner };
}

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('planning waits for further keystrokes, and one that is stopped meanwhile never begins', () => {
  const { done, runner } = world();
  runner.run({ do: 'plan', run: 1, wait: 300, request });
  vi.advanceTimersByTime(299);
  expect(done).toEqual([]);
  runner.run({ do: 'stopPlanning' });
  runner.run({ do: 'plan', run: 2, wait: 300, request });
  vi.advanceTimersByTime(300);
  expect(done).toEqual(['stop planning', `plan ${scenario.title}`]);
});

test('a search for a plan that cannot be better is told to end soon', () => {
  const { done, runner } = world();
  runner.run({ do: 'endSearch' });
  expect(done).toEqual(['end soon']);
});

test('what a run says bears its number', () => {
  const { heard, runner } = world({
    planner: { start: (_, told) => told.failed('no memory'), stop() {}, endSoon() {} },
  });
  runner.run({ do: 'plan', run: 7, wait: 0, request });
  vi.advanceTimersByTime(0);
  expect(heard).toEqual([{ is: 'planFailed', run: 7, why: 'no memory' }]);
});

test('open editors are closed before a file is written', async () => {
  const { heard, done, runner } = world();
  const stop = runner.onSettle(() => void done.push('editor closed'));
  runner.run({ do: 'settle', next: { is: 'landed' } });
  expect(heard).toEqual([]);
  await vi.runAllTimersAsync();
  expect(done).toEqual(['editor closed']);
  expect(heard).toEqual([{ is: 'landed' }]);
  stop();
  await Promise.all([runner.settled(), vi.runAllTimersAsync()]);
  expect(done).toEqual(['editor closed']);
});

test('a question that is answered with no ends there', () => {
  const { heard, runner } = world({ confirm: () => false });
  runner.run({ do: 'ask', text: 'Leave?', next: { is: 'landed' } });
  expect(heard).toEqual([]);
});

test('files: what was written is told, and what failed says why', async () => {
  const { heard, runner } = world();
  const file = { handle: 'h', name: 'week.json' };
  runner.attach({
    save: () => Promise.reject(new Error('the disk is full')),
    saveAs: () => Promise.resolve(file),
  } as unknown as Bridge);
  runner.run({ do: 'save', file, text: '{}', of: scenario });
  runner.run({ do: 'saveAs', name: 'week.json', text: '{}', of: scenario });
  await vi.runAllTimersAsync();
  expect(heard).toEqual([
    { is: 'fileFailed', why: 'the disk is full' },
    { is: 'fileWritten', file, of: scenario },
  ]);
});
