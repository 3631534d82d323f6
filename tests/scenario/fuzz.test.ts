import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { cover } from '../../src/plan/cover.ts';
import type { Fault } from '../../src/scenario/faults/faults.ts';
import { repairable } from '../../src/scenario/faults/repairable.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { faultLine, readScenario } from '../../src/scenario/read.ts';
import { judge } from '../../src/views/state/judge.ts';
import { paths, set, sound } from './sound.ts';

/** The value at a path, undefined when an earlier edit took it away. */
const valueAt = (root: unknown, path: string): unknown =>
  path.split('.').reduce((at, key) => (at as Record<string, unknown> | null | undefined)?.[key], root);

const ODD: readonly unknown[] = [
  ...[0, -0, 1, -1, 2, 0.5, 1 / 3, 0.1 + 0.2, 1e-9, 5e-324, 1e9, 1e15, 2 ** 53, 1e21, 1.7e308, -1e21],
  ...[
    '',
    ' ',
    'x',
    '2K',
    'bed-01',
    '06:00',
    '24:00',
    '2031-02-05T07:00',
    '2031-03-09T02:30',
    '0000-01-01T00:00',
  ],
  ...[
    '9999-12-31T23:59',
    '2031-02-30T07:00',
    'America/Chicago',
    'Australia/Lord_Howe',
    '__proto__',
    '\u0000',
  ],
  ...[null, true, [], {}, [null], [[]], { from: 1 }, ['06:00', '06:00']],
];

describe('a scenario with odd values anywhere', () => {
  it('is told its faults in lines, or compiles and counts, and never throws', () => {
    const all = paths(sound());
    const edit = fc.record({ path: fc.constantFrom(...all), alike: fc.boolean(), pick: fc.nat() });
    const edits = fc.array(edit, { minLength: 1, maxLength: 3 });
    let [refused, taken] = [0, 0];
    fc.assert(
      fc.property(edits, (chosen) => {
        const scenario = sound((s) => {
          for (const { path, alike, pick } of chosen) {
            const now = valueAt(s, path);
            const odd = alike ? ODD.filter((value) => typeof value === typeof now) : ODD;
            const group = path.split('.').slice(0, -1).join('.');
            if (odd.length > 0 && (group === '' || valueAt(s, group) instanceof Object))
              set(path, structuredClone(odd[pick % odd.length]))(s);
          }
        });
        const text = JSON.stringify(scenario);
        const read = readScenario(text);
        // On screen nothing may throw either, and the count of errors is the same.
        const errors = (faults: readonly Fault[]) => faults.filter(({ level }) => level === 'error').length;
        if (read.ok || repairable(text))
          expect(errors(judge(JSON.parse(text)).faults)).toBe(errors(read.ok ? read.warnings : read.faults));
        if (read.ok) {
          taken += 1;
          const problem = compile(read.scenario);
          const demand = demandOf(problem);
          expect(
            cover(problem, demand, [])
              .unmet.flat()
              .every((parts) => Number.isSafeInteger(parts) && parts >= 0),
          ).toBe(true);
          for (const supply of problem.supplies)
            for (const amount of [supply.onHand, supply.perCircuit, supply.perFill, ...supply.perMinute])
              expect(Number.isSafeInteger(amount) && amount >= 0).toBe(true);
        } else {
          refused += 1;
          expect(read.faults.some(({ level }) => level === 'error')).toBe(true);
        }
        for (const fault of read.ok ? read.warnings : read.faults) {
          const line = faultLine('file.json', fault);
          expect(line).not.toMatch(/[\n\r]|undefined|NaN/);
        }
      }),
      { numRuns: 1500, seed: 20310207 },
    );
    // Both ways are really tried.
    expect(Math.min(refused, taken)).toBeGreaterThan(80);
  });
});
