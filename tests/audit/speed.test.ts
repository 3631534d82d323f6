import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, batch, circuit, test, tinyWorld } from '../world.ts';

const NAMES = Array.from({ length: 16 }, (_, index) => `M${index + 1}`);
const world = tinyWorld({
  days: 14,
  patients: Array.from({ length: 200 }, (_, index) => ({
    id: `bed-${index}`,
    weight: 60 + (index % 50),
    dose: 25,
    bath: '2K',
  })),
  machines: NAMES.map((id, index) => ({ id, flow: 800, positions: 8, water: `RO-${index % 3}` })),
  water: [0, 1, 2].map((n) => ({
    id: `RO-${n}`,
    capacity: 4800,
    testEvery: 240,
    testMinutes: 10,
    lastTest: at(0),
  })),
  shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 19 }],
  supplies: [
    { item: 'circuit', onHand: 300, perCircuit: 1 },
    { item: 'bag set', onHand: 9000, perFill: 2 },
    { item: 'acid (L)', onHand: 9000, perLitre: 0.02222 },
  ],
});
/** Every machine fills all day, a circuit at each midnight, a test every four hours: about 7,000 activities. */
const plan: Activity[] = Array.from({ length: 14 }, (_, day) => day * 1440).flatMap((midnight) => [
  ...NAMES.flatMap((machine) => [
    circuit(midnight, '2K', machine),
    ...Array.from({ length: 18 }, (_, n) => batch(midnight + 30 + n * 75, '2K', machine)).flat(),
  ]),
  ...[0, 1, 2].flatMap((n) => [...Array(7).keys()].map((k) => test(midnight + 60 + k * 200, `RO-${n}`))),
]);

describe('16 machines for 14 days', () => {
  it('is judged while a person waits for a cell to change', () => {
    const problem = compile(world);
    const verdict = audit(problem, plan);
    expect(verdict.violations.slice(0, 3)).toEqual([]);
    expect(plan.length).toBeGreaterThan(5000);
    const times = Array.from({ length: 12 }, () => {
      const before = process.cpuUsage().user;
      audit(problem, plan);
      return (process.cpuUsage().user - before) / 1000;
    });
    // The aim is 100 ms; the limit leaves room for a slow machine that does other work besides.
    expect(Math.min(...times)).toBeLessThan(300);
  });

  it('is judged in seconds where everything is wrong', () => {
    const problem = compile(world);
    const wrong = plan.map(
      (a, index): Activity => ({ ...a, start: a.start + (index % 37), end: a.end + (index % 41) }),
    );
    const before = process.cpuUsage().user;
    expect(audit(problem, wrong).violations.length).toBeGreaterThan(5000);
    expect((process.cpuUsage().user - before) / 1e6).toBeLessThan(5);
  });
});
