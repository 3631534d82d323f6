import { describe, expect, test } from 'vitest';
import { planFile, planText } from '../../../electron/command/planText.ts';
import { stateTables } from '../../../electron/command/stateTables.ts';
import { auditPlan } from '../../../src/audit/audit.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { startAt } from '../../../src/record/from.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { CAUTION } from '../../../src/words/cautions.ts';
import { DO_NOT_USE } from '../../../src/words/verdict.ts';
import { noted } from '../../record/book.ts';
import { batch, circuit, fill, tinyWorld, test as waterTest } from '../../world.ts';

const plain = (_: unknown, text: string) => text;

describe('a plan that breaks a rule', () => {
  const problem = compile(tinyWorld());
  // A fill on no circuit, without a swap, on water that nobody tested.
  const plan = asPlan(problem, [fill(40)], { bound: NOTHING_PROVEN, remarks: ['Stopped.'], seconds: 0 });
  const verdict = auditPlan(problem, plan);

  test('is headed so in text, with each broken rule', () => {
    const lines = planText(problem, plan, verdict, plain).split('\n');
    expect(lines[0]).toMatch(new RegExp(`^${DO_NOT_USE}: the plan check found \\d+ broken rules$`));
    expect(verdict.violations.length).toBeGreaterThan(1);
    for (const { message } of verdict.violations)
      expect(lines.some((line) => line.includes(message))).toBe(true);
    expect(lines.join('\n')).not.toMatch(/check passed/);
  });

  test('says so in its JSON, which bears remarks and the caution too', () => {
    const file = planFile(problem, plan, verdict);
    expect(file.verdict).toMatchObject({ ok: false, rulesChecked: verdict.checked.length });
    expect(file.verdict.says.startsWith(DO_NOT_USE)).toBe(true);
    expect(file.verdict.violations).toEqual(verdict.violations);
    expect(file.remarks).toEqual(['Stopped.']);
    expect(file.caution).toBe(CAUTION.long);
  });
});

test('nothing unmet needs no proof, a window of one minute is that minute, and no column is empty', () => {
  // Full from 01:45 to 01:55; the machine is there until 01:53, so the swap of 8 min begins at 01:45 or not at all.
  const available = [{ from: '2031-02-03T00:00', to: '2031-02-03T01:53' }];
  const problem = compile(
    tinyWorld({ machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO', available }] }),
  );
  const plan = asPlan(problem, [circuit(0), ...batch(40)], {
    bound: NOTHING_PROVEN,
    remarks: [],
    seconds: 0,
  });
  const text = planText(problem, plan, auditPlan(problem, plan), plain);
  expect(text).toMatch(/00:40 - 01:45 .* 2K .* at 01:45 /);
  expect(text).not.toContain('01:45 - 01:45');
  expect(text).toMatch(/Unmet need, L +│ +0 │ +0 │ +none/);
  expect(text).toMatch(/Hands-on work, min +│ +\d+ │ +not proven yet │ +-/);
  for (const row of text.split('\n').filter((line) => line.startsWith('│')))
    expect(row, row).not.toMatch(/│ +│/);
  // A test alone has neither bath nor window nor bags.
  const tests = asPlan(problem, [waterTest(60)], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  expect(planText(problem, tests, auditPlan(problem, tests), plain)).not.toContain('Swap window');
});

test('a plan without a task is headed by its title, and passes', () => {
  const problem = compile(tinyWorld({ patients: [] }));
  const plan = asPlan(problem, [], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  const verdict = auditPlan(problem, plan);
  const text = planText(problem, plan, verdict, plain);
  expect(text.startsWith(problem.title)).toBe(true);
  expect(text).toMatch(/^Plan check passed: \d+ rules$/m);
  expect(text).toContain(CAUTION.long);
  expect(planFile(problem, plan, verdict).verdict.ok).toBe(true);
});

test('a fill in doubt or overfull comes off now: no other end is told beside that', () => {
  const began = [
    noted(40, { kind: 'circuit', machine: 'M1', bath: '2K' }),
    noted(60, { kind: 'fill', machine: 'M1' }),
  ];
  const told = (entries: Parameters<typeof startAt>[1], now: number) => {
    const { problem, state } = startAt(tinyWorld(), entries, now);
    return stateTables(problem, state, plain).join('\n');
  };
  expect(told(began, 90)).toMatch(/M1: .*since 01:00, to end 02:05 to 02:15$/m);
  const failed = told([...began, noted(80, { kind: 'test', water: 'RO', result: 'fail' })], 90);
  expect(failed).toMatch(/M1: .*since 01:00; IN DOUBT: take the bags off now and put them on hold$/m);
  expect(failed).toMatch(/FAILED at .*01:20\. Start nothing before a new one passes$/m);
  expect(told(began, 140)).toMatch(/since 01:00; OVERFULL: take the bags off now and put them on hold$/m);
  // A set-up has no bags.
  const setUp = noted(
    100,
    { kind: 'circuit', machine: 'M1', bath: '2K', began: '2031-02-03T01:20' },
    { told: 80 },
  );
  const stopped = told([setUp, noted(85, { kind: 'test', water: 'RO', result: 'fail' })], 90);
  expect(stopped).toMatch(/M1: .*IN DOUBT: stop it, its water failed$/m);
});
