import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { openBounds } from '../../../electron/threads/boundsInThread.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { answering } from '../command/answering.ts';

const scenario: Scenario = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../frozen/first-look.json'), 'utf8'),
);
/** What the plan of the first look reaches; see plan.test.ts. */
const score = { unmetLitres: 0, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes: 64, expiredBags: 0 };
const STEP = `parentPort.postMessage({ unmetLitres: 0, handsOnMinutes: 40, remarks: [] });`;
const HANG = 'for (;;) {}';
/** A WebAssembly module whose start function is (loop (br 0)): what a solver that turns in a circle looks like. */
const HANG_IN_WASM = `new WebAssembly.Instance(new WebAssembly.Module(new Uint8Array([
  0, 97, 115, 109, 1, 0, 0, 0, 1, 4, 1, 96, 0, 0, 3, 2, 1, 0, 8, 1, 0, 10, 9, 1, 7, 0, 3, 64, 12, 0, 11, 11])));`;

describe('bounds on a thread', () => {
  it('are proven', async () => {
    // Three swaps of 8 min, a circuit of 30 and a test of 10 are what the plan takes; the least may be less.
    const proven = await openBounds().prove(scenario, score, 60);
    expect(proven.remarks).toEqual([]);
    expect(proven.unmetLitres).toBe(0);
    expect(proven.handsOnMinutes).toBeGreaterThan(40);
    expect(proven.handsOnMinutes).toBeLessThanOrEqual(64);
  });

  it.each([HANG, HANG_IN_WASM])(
    'are given up when the solver hangs: it is ended, and the reader is told',
    async (hang) => {
      const proven = await openBounds(answering(hang)).prove(scenario, score, 0.5);
      expect(proven).toEqual({
        unmetLitres: null,
        handsOnMinutes: null,
        remarks: [
          'No lower bound is proven: the solver was not done within 0.5 s. The plan itself is complete and does not depend on it.',
        ],
      });
    },
  );

  it('keep what was proven before the solver hung', async () => {
    const proven = await openBounds(answering(STEP + HANG)).prove(scenario, score, 1.5);
    expect(proven).toEqual({
      unmetLitres: 0,
      handsOnMinutes: 40,
      remarks: ['A better lower bound was not found: the solver was not done within 1.5 s.'],
    });
  });

  it.each([
    ['throws', `throw new Error('out of memory');`, /the solver failed \(out of memory\)/],
    ['ends its thread', 'process.exit(3);', /thread ended with status 3/],
    ['ends without an answer', 'parentPort.postMessage(null);', /the solver gave no answer/],
  ])('say so when the solver %s', async (_, answer, words) => {
    const { remarks, ...bound } = await openBounds(answering(answer)).prove(scenario, score, 30);
    expect(bound).toEqual({ unmetLitres: null, handsOnMinutes: null });
    expect(remarks).toEqual([expect.stringMatching(words)]);
  });

  it('say so when the thread cannot even start', async () => {
    const { remarks } = await openBounds(new URL('./nowhere.mjs', import.meta.url)).prove(
      scenario,
      score,
      30,
    );
    expect(remarks[0]).toMatch(/^No lower bound is proven: the solver failed/);
  });
});
