import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../src/plan/cover.ts';
import type { Plan } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import { supplySeries } from '../../src/reports/supplySeries.ts';
import { whoGoesShort } from '../../src/reports/whoGoesShort.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { batch, circuit, tinyWorld } from '../world.ts';

/** A calm week that fills about 45 times, with empty bags for 22 fills. */
const calm: Scenario = JSON.parse(readFileSync(new URL('../frozen/calm-week.json', import.meta.url), 'utf8'));
const FILLS = 22;
const problem = compile({
  ...calm,
  supplies: calm.supplies!.map((row) => (row.perFill ? { ...row, onHand: FILLS } : row)),
});
const demand = demandOf(problem);

describe('a week with half the empty bags', () => {
  let made: Plan;
  beforeAll(async () => {
    made = await plan(problem, { tries: 1500 });
  });

  test('serves the nearest bag rounds first, as a count by hand does', () => {
    // All of the stock (22 + 33 bags) and 22 fills of the larger machine (8 bags): 231 of the 414 bags of the week.
    let bags = 22 + 33 + FILLS * 8;
    const unmet = problem.rounds.map(({ index }) => {
      const need = problem.baths.reduce((sum, _, bath) => sum + demand.bags[bath]![index]!, 0);
      const served = Math.min(need, bags);
      bags -= served;
      return need - served;
    });
    expect(unmet.reduce((a, b) => a + b)).toBe(183);
    const planned = problem.rounds.map(({ index }) =>
      made.needs.filter(({ round }) => round === index).reduce((sum, row) => sum + row.unmetLitres / 6.5, 0),
    );
    expect(planned.map((count) => Math.round(count * 1e6) / 1e6)).toEqual(unmet);
  });

  test('names the beds of every missing bag under each of four ways of sharing', () => {
    const covered = cover(problem, demand, lotsOfFills(problem, made.activities));
    const { ways, rows, unnamed } = whoGoesShort({ problem, demand, covered });
    expect(ways.map(({ name, bags }) => [name, bags])).toEqual([
      ['As the need falls', 183],
      ['Equal share for all', 183],
      ['By priority class', 183],
      ['In rotation', 183],
    ]);
    expect(unnamed).toBe(0);
    const beds = new Set(calm.patients.map(({ id }) => id));
    for (const { bed } of rows) expect(beds).toContain(bed);
    // Whole rounds are missing at the end of the week: nobody is spared.
    expect(rows).toHaveLength(calm.patients.length);
  });

  test('says that the empty bags run out', () => {
    const sets = supplySeries(problem, made.activities).find(({ item }) => item === 'bag set')!;
    expect([sets.used, sets.atEnd]).toEqual([FILLS, 0]);
    expect(sets.runsOut).toBe(made.activities.filter(({ kind }) => kind === 'fill').at(-1)!.start);
  });
});

test('a supply never passes for enough while less is left than a fill takes', () => {
  const amount = fc.integer({ min: 0, max: 4000 }).map((n) => n / 1000);
  fc.assert(
    fc.property(
      amount,
      fc.constantFrom(0, 0.5, 1),
      fc.constantFrom(0, 0.01, 0.02222),
      fc.boolean(),
      (onHand, perFill, perLitre, delivered) => {
        fc.pre(perFill > 0 || perLitre > 0);
        const deliveries = delivered ? [{ at: '2031-02-03T10:00', quantity: 2 }] : [];
        const world = compile(
          tinyWorld({ supplies: [{ item: 'x', onHand, perFill, perLitre, bath: '2K', deliveries }] }),
        );
        const [series] = supplySeries(world, [circuit(0), ...batch(30), ...batch(700)]);
        // A second count: a fill of 65 min at 800 mL/min runs 52 L; what is left after each step, in the item's unit.
        const takes = perFill + 52 * perLitre;
        expect(series!.leastToStart).toBeCloseTo(takes, 9);
        const isShort = series!.left.some(({ value }) => value < takes - 1e-9);
        expect(series!.firstShort !== null).toBe(isShort);
        if (series!.atEnd < takes - 1e-9) expect(series!.runsOut).not.toBeNull();
      },
    ),
  );
});
