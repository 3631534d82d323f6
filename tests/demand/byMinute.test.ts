import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bagAt, demandOf } from '../../src/demand/demand.ts';
import { toNumber } from '../../src/exact/fraction.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Patient } from '../../src/scenario/schema.ts';
import { hangsByMinute, openByMinute } from './byMinute.ts';
import { at, scenarioOf } from './patient.ts';

const HORIZON = 2 * 1440;
const minuteOf = (local: string) => (Date.parse(`${local}Z`) - Date.parse(`${at(0)}Z`)) / 60_000;

// Coarse times meet each other and the bags' ends; fine ones fall between.
const time = fc.oneof(
  fc.integer({ min: -10, max: 54 }).map((hour) => at(hour * 60)),
  fc.integer({ min: -600, max: HORIZON + 600 }).map(at),
);
const dose = fc.oneof(
  fc.constantFrom(0, 5, 10, 20, 25),
  fc.integer({ min: 0, max: 600 }).map((n) => n / 10),
);
const weight = fc.oneof(
  fc.constantFrom(65, 100),
  fc.integer({ min: 300, max: 1500 }).map((n) => n / 10),
);
const replacement = fc.constantFrom(0, 0, 500, 0.25);
const hoursPerDay = fc.constantFrom(24, 24, 12, 22, 16.1, 0);
const fluidRemoval = fc.constantFrom(0, 100, 350.5, 1300);
const bath = fc.constantFrom('2K', '4K');
const maybe = { requiredKeys: [] as never[] };

const patient: fc.Arbitrary<Patient> = fc
  .record({
    weight,
    dose,
    bath,
    fluidRemoval,
    hoursPerDay,
    replacement,
    from: fc.option(time),
    until: fc.option(time),
    changes: fc.array(
      fc
        .tuple(time, fc.record({ bath, dose, weight, fluidRemoval, replacement, hoursPerDay }, maybe))
        .map(([when, change]) => ({ at: when, ...change })),
      { maxLength: 5 },
    ),
  })
  .map((row) => ({ id: 'bed-01', ...row }));
const rules = fc.record({
  fillLitres: fc.constantFrom(6.5, 6.5, 5, 0.5, 6.25),
  maxHangHours: fc.constantFrom(24, 12, 6.5, 2, 0.25, 7.125),
});

describe('demand', () => {
  it('hangs the same bags in the same minutes as a count minute by minute', () => {
    fc.assert(
      fc.property(patient, rules, (row, given) => {
        const problem = compile(scenarioOf(row, { rules: given }));
        const ours = demandOf(problem).hangs[0]!.map((hang) => `${problem.baths[hang.bath]} ${hang.minute}`);
        expect(ours).toEqual(hangsByMinute(row, { horizon: HORIZON, minuteOf, ...given }));
      }),
      { numRuns: 150, seed: 20310203 },
    );
  });

  it('knows the bag that hangs at a minute as the count minute by minute does', () => {
    const seen = { none: 0, some: 0 };
    const moments = fc.oneof(
      fc.integer({ min: 0, max: 48 }).map((hour) => hour * 60),
      fc.integer({ min: 0, max: HORIZON - 1 }),
    );
    fc.assert(
      fc.property(patient, rules, moments, (row, given, minute) => {
        const problem = compile(scenarioOf(row, { rules: given }));
        const { bagMl, maxHang } = problem.rules;
        const bag = bagAt(problem.patients[0]!, bagMl, maxHang, minute);
        // A bag that runs dry in this minute does not go on.
        const ours = bag && bag.left.n > 0n ? bag : null;
        const other = openByMinute(row, { horizon: HORIZON, minuteOf, ...given }, minute);
        seen[other ? 'some' : 'none'] += 1;
        expect(ours !== null).toBe(other !== null);
        if (!ours || !other) return;
        expect(toNumber(ours.hungAt)).toBeCloseTo(other.hungAt, 6);
        expect(toNumber(ours.left)).toBeCloseTo(other.left, 6);
      }),
      { numRuns: 300, seed: 20310207 },
    );
    expect(Math.min(seen.none, seen.some)).toBeGreaterThan(30);
  });

  it('puts each bag into the one round whose cover holds its minute', () => {
    const times = fc.array(fc.constantFrom('06:00', '18:00', '07:00', '12:30', '23:59', '00:00'), {
      maxLength: 4,
    });
    fc.assert(
      fc.property(patient, times, fc.constantFrom(0, 1, 60, 600), (row, rounds, leadMinutes) => {
        const problem = compile(scenarioOf(row, { rules: { rounds, leadMinutes } }));
        const { bags } = demandOf(problem);
        const all = hangsByMinute(row, { horizon: HORIZON, minuteOf, fillLitres: 6.5, maxHangHours: 24 });
        // Told again from M10: round minutes in order, each once, those whose lead ends within the horizon.
        const leave = [...new Set(rounds)]
          .flatMap((text) => [0, 1, 2].map((day) => minuteOf(`${at(day * 1440).slice(0, 10)}T${text}`)))
          .filter((minute) => minute >= 0 && minute + leadMinutes < HORIZON)
          .sort((a, b) => a - b);
        const expected = problem.baths.map((id) =>
          [0, ...leave].map((_, index) => {
            const from = index === 0 ? 0 : leave[index - 1]! + leadMinutes;
            const to = index === leave.length ? HORIZON : leave[index]! + leadMinutes;
            return all.filter((hang) => {
              const [name, minute] = hang.split(' ');
              return name === id && Number(minute) >= from && Number(minute) < to;
            }).length;
          }),
        );
        expect(bags).toEqual(expected);
      }),
      { numRuns: 60, seed: 20310204 },
    );
  });

  it('does not depend on the order of patients, and never falls when one is added', () => {
    fc.assert(
      fc.property(fc.array(patient, { minLength: 2, maxLength: 5 }), (rows) => {
        const named = rows.map((row, index) => ({ ...row, id: `bed-${index}` }));
        const count = (patients: Patient[]) => demandOf(compile({ ...scenarioOf(), patients })).bags;
        const all = count(named);
        expect(count([...named].reverse())).toEqual(all);
        count(named.slice(1)).forEach((byRound, b) => {
          byRound.forEach((bags, r) => {
            expect(bags).toBeLessThanOrEqual(all[b]![r]!);
          });
        });
      }),
      { numRuns: 30, seed: 20310205 },
    );
  });
});
