import { describe, expect, it } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../../src/plan/cover.ts';
import { outOfReach, plan } from '../../../src/planner/plan.ts';
import { Search } from '../../../src/planner/search/search.ts';
import { firstTempers } from '../../../src/planner/search/tempers.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import { generate } from '../../bench/generate.ts';
import { at, unit } from '../worlds.ts';

/** 65 kg x 25 mL/kg/h = 1.625 L/h: a bag of 6.5 L every 4 h, so 6 a day, 3 of them before 19:00. */
const bed = { id: 'bed-1', weight: 65, dose: 25, bath: 'A' };
const lostOf = (problem: Problem, now?: number) => outOfReach(problem, demandOf(problem), now);

describe('what no fill can serve, by hand', () => {
  it('is the opening round, less what stock gives', () => {
    const bare = compile(unit({ patients: [bed] }));
    expect([...lostOf(bare).rounds]).toEqual([1, 0]);
    expect(lostOf(bare).unmetParts).toBe(3 * bare.bagParts);
    const stock = [{ lot: 'S', bath: 'A', bags: 2, litres: 6.5 }];
    expect(lostOf(compile(unit({ patients: [bed], stock }))).unmetParts).toBe(bare.bagParts);
  });

  it('is what would have to be taken off while nobody is on shift', () => {
    // Bags of a day for 07:00 to 19:00 must be made after 19:00 the evening before.
    const day = { shifts: [{ id: 'day', from: '07:00', to: '19:00', technicians: 1 }], days: 2 };
    const rules = { shelfHours: 24 };
    expect([...lostOf(compile(unit({ patients: [bed], ...day, rules }))).rounds]).toEqual([1, 0, 1, 0]);
    expect([...lostOf(compile(unit({ patients: [bed], ...day }))).rounds]).toEqual([1, 0, 0, 0]);
  });

  it('is a reserve that is to be good for as long as a bag lasts, but for lots', () => {
    const reserve = { A: 4 };
    const stock = [{ lot: 'S', bath: 'A', bags: 1, litres: 6.5 }];
    const wanting = (rules: object, lots = {}) => {
      const problem = compile(unit({ rules: { reserve, ...rules }, ...lots }));
      return lostOf(problem).reserveParts / problem.bagParts;
    };
    expect(wanting({ shelfHours: 24 })).toBe(4);
    expect(wanting({ shelfHours: 24 }, { stock })).toBe(3);
    expect(wanting({ shelfHours: 25 })).toBe(0);
    // Lots of another bath, or not good for 24 h then, are none.
    const others = [
      { ...stock[0]!, bath: 'B' },
      { ...stock[0]!, lot: 'S-2', expires: at(2879) },
    ];
    const baths = [{ id: 'A' }, { id: 'B' }];
    expect(wanting({ shelfHours: 24 }, { stock: others, baths })).toBe(4);
  });

  it('grows as time passes', () => {
    // The bags of 18:00 must be full by 17:37 (swap 8 min, release 15): a fill of 65 min begins by 16:32, minute 572.
    const problem = compile(unit({ patients: [bed], rules: { rounds: ['18:00'] } }));
    expect([...lostOf(problem, 572).rounds]).toEqual([1, 0]);
    expect([...lostOf(problem, 573).rounds]).toEqual([1, 1]);
  });
});

it('nothing that a plan makes serves what no fill can serve', async () => {
  let marked = 0;
  for (let seed = 1; seed <= 12; seed++) {
    const problem = compile(
      generate({ kind: 'week', seed, load: 0.8, variety: 0.6, nightTechnicians: seed % 2, days: 3 }),
    );
    const demand = demandOf(problem);
    const { rounds } = outOfReach(problem, demand);
    marked += rounds.reduce((sum, one) => sum + one, 0);
    const { activities } = await plan(problem, { tries: 60 });
    const served = cover(problem, demand, lotsOfFills(problem, activities)).servings.filter(
      ({ lot, bath, round }) =>
        lot >= problem.lots.length && rounds[bath * problem.rounds.length + round] === 1,
    );
    expect(served).toEqual([]);
  }
  expect(marked).toBeGreaterThan(12);
});

it('a search that lacks nothing else is not short', () => {
  const needs = { patients: [bed], days: 2 };
  const searched = (change: object) => {
    const problem = compile(unit({ ...needs, ...change }));
    const search = new Search(problem, demandOf(problem));
    for (const temper of firstTempers(problem, demandOf(problem))) search.construct(temper);
    return { unmet: search.best!.unmetParts / problem.bagParts, short: search.short };
  };
  expect(searched({})).toEqual({ unmet: 3, short: false });
  const closed = {
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', available: [{ from: at(0), to: at(90) }] }],
  };
  expect(searched(closed).short).toBe(true);
});
