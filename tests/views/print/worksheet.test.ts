import { expect, test } from 'vitest';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { loadedText } from '../../../src/views/print/worksheet.tsx';
import { tinyWorld } from '../../world.ts';

test('a worksheet says what a machine begins with; a circuit past its end never as one that runs', () => {
  const problem = compile(tinyWorld({ rules: { circuitHours: 24 } }));
  const { circuitLife } = problem.rules;
  const at = (now: number, since: number | null) =>
    loadedText({ ...problem, now }, { loaded: since === null ? null : { bath: '2K', circuitSince: since } });
  expect(at(0, null)).toBe('At the start: no filling circuit in place.');
  expect(at(90, 60)).toMatch(/^At 01:30: 2K runs. Filling circuit since .*01:00, ends .*01:00.$/);
  expect(at(circuitLife - 1, 0)).toMatch(/2K runs/);
  expect(at(circuitLife, 0)).toMatch(/: the circuit of 2K ENDED .*\. Fill nothing on it\.$/);
});
