import { expect, test } from 'vitest';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';
import { browsersTogether, editedForLong } from './browsers.ts';
import { drawnPlans, killedSaves, spoiltFiles, together } from './parts.ts';

// A short one of what `npm run soak` does at length.
test('spoilt files of every kind are read or refused in words', async () => {
  const { figures, faults } = await spoiltFiles(2_000, 1);
  expect(faults).toEqual([]);
  expect(figures.files).toBe(2_000);
});
test('drawn scenarios are planned, and every plan passes its check', async () => {
  expect((await drawnPlans(40, 1)).faults).toEqual([]);
});
test('a host that is killed while it saves leaves a whole file', async () => {
  const { figures, faults } = await killedSaves(4, 1);
  expect(faults).toEqual([]);
  expect(figures.saves).toBeGreaterThan(0);
});
test('two hosts with two pages each on one file lose no edit', async () => {
  const { figures, faults } = await together(2, 6);
  expect(faults).toEqual([]);
  expect(figures.merged).toBeGreaterThan(0);
  expect(figures.beds).toBeGreaterThan(3);
});
test('two browsers at two hosts on one folder lose no edit', { timeout: 400_000 }, async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const { figures, faults } = await browsersTogether(8, 1);
  expect(faults).toEqual([]);
  expect(figures.edits).toBeGreaterThan(1);
});
test('a page holds no more threads and listeners with each edit', { timeout: 400_000 }, async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  const { figures, faults } = await editedForLong(15, 1);
  expect(faults).toEqual([]);
  expect(figures.edits).toBeGreaterThan(2);
});
