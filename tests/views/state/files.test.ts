import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Bridge, Draft } from '../../../src/bridge.ts';
import { writeScenario } from '../../../src/scenario/read.ts';
import { tinyWorld } from '../../world.ts';

// The page's own timers, on a clock that the test turns.
beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('localStorage', { getItem: () => null, setItem() {} });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});
const week = tinyWorld({
  patients: [{ id: 'bed-01', weight: 80, dose: 25, bath: '2K' }],
});
const text = writeScenario(week);

test('what somebody else saves is seen within 10 s; an edit is kept within a second', async () => {
  const { keepDrafts, useStore, watchFile } = await import('../../../src/views/state/store.ts');
  const looked: string[] = [];
  const kept: (Draft | null)[] = [];
  const bridge = {
    look: async (_: string, digest: string) => {
      looked.push(digest);
      return null;
    },
    keepDraft: async (draft: Draft | null) => void kept.push(draft),
  } as unknown as Bridge;
  const stops = [watchFile(bridge), keepDrafts(bridge)];
  useStore.setState({
    scenario: week,
    file: { handle: 'h', name: 'week.json', digest: 'd' },
    unsaved: false,
  });
  await vi.advanceTimersByTimeAsync(10_000);
  expect(looked[0]).toBe('d');
  const edited = { ...week, patients: [{ ...week.patients[0]!, weight: 81 }] };
  useStore.setState({ scenario: edited, unsaved: true });
  await vi.advanceTimersByTimeAsync(1_000);
  expect(kept).toMatchObject([{ handle: 'h', base: 'd', name: 'week.json' }]);
  expect(JSON.parse(kept[0]!.text).patients[0].weight).toBe(81);
  expect(JSON.parse(text).patients[0].weight).toBe(80);
  // Saved: there is nothing left to keep.
  useStore.setState({ unsaved: false });
  await vi.advanceTimersByTimeAsync(1_000);
  expect(kept.at(-1)).toBeNull();
  for (const stop of stops) stop();
});

test('a file is saved with the ending that lists look for, whether it is typed or not', async () => {
  const { withEnding } = await import('../../../src/views/state/files.ts');
  expect(withEnding('mine', 'surge-week.json')).toBe('mine.json');
  expect(withEnding(' mine.JSON ', 'surge-week.json')).toBe('mine.JSON');
  expect(withEnding('week 2.5', 'surge-week.json')).toBe('week 2.5.json');
  expect(withEnding('', 'surge-week.json')).toBe('');
  expect(withEnding('beds', 'beds.csv')).toBe('beds.csv');
});
