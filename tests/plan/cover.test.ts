import fc from 'fast-check';
import loadHighs from 'highs';
import { describe, expect, it } from 'vitest';
import { type Demand, demandOf } from '../../src/demand/demand.ts';
import { cover, firstToExpire, lotsOfFills, scoreOf } from '../../src/plan/cover.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Lot, Problem, Round } from '../../src/scenario/problem/types.ts';
import { at, batch, circuit, duty, fill, test, tinyWorld } from '../world.ts';

const HORIZON = 1440;
const FOREVER = Number.POSITIVE_INFINITY;

/** Rounds at 0, 0, 360 and 1080, covering up to 60, 420, 1140 and the end; volumes in tenths of a litre. */
const ROUNDS: Round[] = [0, 0, 360, 1080].map((minute, index) => ({
  index,
  at: minute,
  from: [0, 60, 420, 1140][index]!,
  to: [60, 420, 1140, HORIZON][index]!,
}));
const lot = (change: Partial<Lot> = {}): Lot => ({
  id: 'L',
  origin: 'stock',
  bath: 0,
  bags: 10,
  bagParts: 65,
  ready: Number.NEGATIVE_INFINITY,
  expires: FOREVER,
  ...change,
});
const problemOf = (lots: readonly Lot[], reserve: readonly number[] = [0, 0]): Problem => ({
  ...compile(tinyWorld({ rules: { fillLitres: 6.5 } })),
  lots,
  rounds: ROUNDS,
  horizon: HORIZON,
  partsPerLitre: 10,
  bagParts: 65,
  reserve,
});
const demand = (...bags: number[][]): Demand => ({
  hangs: [],
  bags: [
    ...bags,
    ...[
      [0, 0, 0, 0],
      [0, 0, 0, 0],
    ].slice(bags.length),
  ],
});
/** Parts unmet of the first bath. */
const unmet = (lots: readonly Lot[], bags: number[]) => cover(problemOf(lots), demand(bags), []).unmet[0];

describe('a lot may serve a round', () => {
  it('when it is ready by the time the round leaves', () => {
    expect(unmet([lot({ ready: 360 })], [0, 0, 1, 0])).toEqual([0, 0, 0, 0]);
    expect(unmet([lot({ ready: 361 })], [0, 0, 1, 0])).toEqual([0, 0, 65, 0]);
  });
  it('when it expires no earlier than the end of what the round covers', () => {
    expect(unmet([lot({ expires: 1140 })], [0, 0, 1, 0])).toEqual([0, 0, 0, 0]);
    expect(unmet([lot({ expires: 1139 })], [0, 0, 1, 0])).toEqual([0, 0, 65, 0]);
  });
  it('the opening one too, when it is there at the start', () => {
    expect(unmet([lot()], [1, 0, 0, 0])).toEqual([0, 0, 0, 0]);
    expect(unmet([lot({ ready: 0 })], [1, 0, 0, 0])).toEqual([0, 0, 0, 0]);
    expect(unmet([lot({ ready: 1 })], [1, 0, 0, 0])).toEqual([65, 0, 0, 0]);
  });
  it('of its own bath only', () => {
    expect(unmet([lot({ bath: 1 })], [1, 0, 0, 0])).toEqual([65, 0, 0, 0]);
  });
});

describe('litres count', () => {
  it('a 5 L bag covers 5/6.5 of a bag', () => {
    expect(unmet([lot({ bags: 1, bagParts: 50 })], [1, 0, 0, 0])).toEqual([15, 0, 0, 0]);
    // 13 bags of 5 L are 10 of 6.5 L.
    expect(unmet([lot({ bags: 13, bagParts: 50 })], [10, 0, 0, 0])).toEqual([0, 0, 0, 0]);
  });
});

describe('the first to expire is taken first', () => {
  it('so that what keeps is kept for later', () => {
    const long = lot({ bags: 1 });
    const short = lot({ bags: 1, expires: 420 });
    expect(unmet([long, short], [0, 1, 1, 0])).toEqual([0, 0, 0, 0]);
    const { servings } = cover(problemOf([long, short]), demand([0, 1, 1, 0]), []);
    expect(servings.map(({ lot: index, round, parts }) => [index, round, parts])).toEqual([
      [1, 1, 65],
      [0, 2, 65],
    ]);
  });
  it('of two that expire together the one ready first', () => {
    const lots = [lot({ ready: 100 }), lot({ ready: 50 })];
    expect(cover(problemOf(lots), demand([0, 0, 1, 0]), []).servings[0]!.lot).toBe(1);
  });
  it('of those ready at the start or before, together with one at minute 0, the one listed first', () => {
    const lots = [lot({ ready: 0 }), lot({ ready: -60 }), lot()];
    expect(cover(problemOf(lots), demand([0, 0, 1, 0]), []).servings[0]!.lot).toBe(0);
  });
  it('of those alike stock and deliveries before fills, fills by their begin, then as machines are listed', () => {
    const fill = (begun: number, machine: number) => lot({ origin: 'fill', ready: 0, begun, machine });
    const fills = [fill(30, 1), fill(30, 0), fill(20, 2)];
    const taken = (lots: Lot[]) => cover(problemOf(lots), demand([0, 0, 1, 0]), fills).servings[0]!.lot;
    expect(taken([lot()])).toBe(0);
    expect(taken([])).toBe(2);
    const order = [...fills].sort(firstToExpire).map(({ begun, machine }) => [begun, machine]);
    expect(order).toEqual([
      [20, 2],
      [30, 0],
      [30, 1],
    ]);
  });
  it('whichever of two is named first', () => {
    const made = (begun: number, machine = 0) => lot({ begun, machine });
    const pairs: [Lot, Lot][] = [
      [lot({ expires: 400 }), lot({ expires: 500 })],
      [lot({ ready: 50 }), lot({ ready: 100 })],
      [lot(), made(0)],
      [made(20), made(30)],
      [made(30, 0), made(30, 1)],
    ];
    for (const [first, second] of pairs) {
      expect(firstToExpire(first, second)).toBeLessThan(0);
      expect(firstToExpire(second, first)).toBeGreaterThan(0);
    }
    expect(firstToExpire(lot(), lot())).toBe(0);
  });
  it('and none is said to serve once it is empty', () => {
    const { servings, stockShort } = cover(
      problemOf([lot({ bags: 1 }), lot({ bags: 1 })]),
      demand([0, 1, 1, 0]),
      [],
    );
    expect(servings.map(({ lot: index, round, parts }) => [index, round, parts])).toEqual([
      [0, 1, 65],
      [1, 2, 65],
    ]);
    // Where no stock is asked for, none is short: of each bath, after each round.
    expect(stockShort).toEqual([
      [0, 0, 0, 0],
      [0, 0, 0, 0],
    ]);
  });
});

describe('the reserve', () => {
  const short = (lots: Lot[], bags = [0, 0, 0, 0]) =>
    cover(problemOf(lots, [8, 0]), demand(bags), []).reserveShort[0]! / 65;
  it('counts what is left over, ready by the end and good for 24 h more', () => {
    expect(short([lot({ bags: 8, ready: HORIZON, expires: HORIZON + 1440 })])).toBe(0);
    expect(short([lot({ bags: 8, ready: HORIZON + 1 })])).toBe(8);
    expect(short([lot({ bags: 8, expires: HORIZON + 1439 })])).toBe(8);
    expect(short([lot({ bags: 8 })], [3, 0, 0, 0])).toBe(3);
  });
  it('counts parts of a bag', () => {
    expect(short([lot({ bags: 10, bagParts: 50 })])).toBeCloseTo(8 - 50 / 6.5, 12);
  });
});

// Expected values counted by hand from the rules of cover; no outside source.
describe('stock wanted after every round', () => {
  /** Bags short of 7 after each round. Each round's own cover ends at 60, 420, 1140, 1440. */
  const short = (lots: Lot[], bags = [0, 0, 0, 0]) => {
    const problem = { ...problemOf(lots), minStock: [7, 0] };
    const covered = cover(problem, demand(bags), []);
    return {
      rounds: covered.stockShort[0]!.map((parts) => parts / 65),
      score: scoreOf(problem, [], covered),
    };
  };
  it('is what is left once the round is served', () => {
    expect(short([lot({ bags: 10 })], [0, 3, 0, 0]).rounds).toEqual([0, 0, 0, 0]);
    expect(short([lot({ bags: 10 })], [0, 4, 0, 0]).rounds).toEqual([0, 1, 1, 1]);
  });
  it('has to be good until the end of what the next round covers, the last until the horizon', () => {
    expect(short([lot({ expires: HORIZON })]).rounds).toEqual([0, 0, 0, 0]);
    expect(short([lot({ expires: HORIZON - 1 })]).rounds).toEqual([0, 0, 7, 7]);
    expect(short([lot({ expires: 420 })]).rounds).toEqual([0, 7, 7, 7]);
    expect(short([lot({ expires: 419 })]).rounds).toEqual([7, 7, 7, 7]);
  });
  it('has to be ready by the round', () => {
    expect(short([lot({ ready: 360 })]).rounds).toEqual([7, 7, 0, 0]);
    expect(short([lot({ ready: 361 })]).rounds).toEqual([7, 7, 7, 0]);
  });
  it('counts litres and parts of a bag', () => {
    expect(short([lot({ bagParts: 50, bags: 9 })]).rounds[0]).toBeCloseTo(7 - 45 / 6.5, 12);
  });
  it('is never held back from a round, and all rounds add to the reserve in the score', () => {
    const { rounds, score } = short([lot({ bags: 9 })], [2, 0, 5, 4]);
    expect(rounds).toEqual([0, 0, 5, 7]);
    expect(score.reserveShort).toBe(12);
    // 2 of the last 4 bags are unmet, 360 min before the end.
    expect(score.unmetLitres).toBe(13);
    expect(score.unmetLitreHours).toBe(13 * 6);
  });
});

describe('unmet litre hours', () => {
  it('are 624 where 26 L are unmet in a round 24 h before the end', () => {
    const problem = problemOf([]);
    expect(scoreOf(problem, [], cover(problem, demand([0, 4, 0, 0]), []))).toMatchObject({
      unmetLitres: 26,
      unmetLitreHours: 624,
    });
  });
});

describe('bags that expire unused', () => {
  const expired = (change: Partial<Lot>, bags = [0, 0, 0, 0]) => {
    const problem = problemOf([lot({ bags: 4, ...change })]);
    return scoreOf(problem, [], cover(problem, demand(bags), [])).expiredBags;
  };
  it('count when they expire after the start and by the end', () => {
    expect(expired({ expires: 0 })).toBe(0);
    expect(expired({ expires: 1 })).toBe(4);
    expect(expired({ expires: HORIZON })).toBe(4);
    expect(expired({ expires: HORIZON + 1 })).toBe(0);
    expect(expired({ expires: FOREVER })).toBe(0);
    expect(expired({ expires: 1, bagParts: 0 })).toBe(0);
  });
  it('are the own bags of the lot, fractions kept', () => {
    // One need of 6.5 L leaves 13.5 of 20 L, 2.7 bags of 5 L.
    expect(expired({ bagParts: 50, expires: 420 }, [1, 0, 0, 0])).toBeCloseTo(2.7, 12);
  });
});

describe('lots of fills', () => {
  it('are ready after swap and release, and expire shelfHours after the end of the fill', () => {
    const problem = compile(tinyWorld({ rules: { shelfHours: 48, releaseMinutes: 15, swapMinutes: 8 } }));
    const [made] = lotsOfFills(problem, [circuit(0), ...batch(30)]);
    expect(made).toMatchObject({
      bath: 0,
      bags: 8,
      bagParts: problem.bagParts,
      ready: 95 + 8 + 15,
      expires: 95 + 48 * 60,
    });
    // The lot bears the begin of its fill, as the record names it.
    expect(made!.id).toBe(`M1 ${at(30).replace('T', ' ')}`);
  });
});

it('lots of fills bear the number of their machine; of a machine or bath that nobody knows they hold nothing', () => {
  const two = compile(
    tinyWorld({ machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })) }),
  );
  const made = lotsOfFills(two, [fill(30, '4K', 'M2'), fill(30, '2K', 'M9'), fill(30, '9K', 'M1')]);
  expect(made.map(({ bath, machine, bags }) => [bath, machine, bags])).toEqual([
    [1, 1, 8],
    [0, -1, 0],
    [-1, 0, 8],
  ]);
});

describe('lots that wait for a test', () => {
  const world = tinyWorld({ rules: { releaseAfterTest: true } });
  const readyWith = (...tests: number[]) =>
    lotsOfFills(compile(world), [...batch(30), ...tests.map((start) => test(start))])[0]!.ready;
  const bySwap = 95 + 8 + 15;

  it('are ready at the later of swap with release and the end of the first test from the end of the fill on', () => {
    expect(readyWith(95)).toBe(bySwap);
    expect(readyWith(108)).toBe(bySwap);
    expect(readyWith(109)).toBe(bySwap + 1);
    expect(readyWith(300, 200)).toBe(210);
  });
  it('do not count a test that starts a minute before the fill ends', () => {
    expect(readyWith(94)).toBe(Number.POSITIVE_INFINITY);
    expect(readyWith(94, 400)).toBe(410);
  });
  it('are never ready without one, and expire all the same', () => {
    const problem = compile({ ...world, rules: { releaseAfterTest: true, shelfHours: 4 } });
    const [made] = lotsOfFills(problem, batch(30));
    expect(made).toMatchObject({ ready: Number.POSITIVE_INFINITY, expires: 95 + 240 });
    const covered = cover(problem, demandOf(problem), [made!]);
    expect(scoreOf(problem, batch(30), covered).expiredBags).toBe(8);
  });
  it('take the first test to begin, of two that begin together the one that ends first', () => {
    const ready = (...tests: ReturnType<typeof test>[]) =>
      lotsOfFills(compile(world), [...batch(30), ...tests])[0]!.ready;
    expect(ready(test(210, 'RO', 10), test(200, 'RO', 60))).toBe(260);
    expect(ready(test(200, 'RO', 20), test(200, 'RO', 15))).toBe(215);
  });
  it('are released by no duty at the source and by no test of another; on no known machine never', () => {
    const problem = compile(world);
    const ready = (...plan: ReturnType<typeof test>[]) => lotsOfFills(problem, plan)[0]!.ready;
    expect(ready(fill(30), duty('D', 200, { water: 'RO' }))).toBe(Number.POSITIVE_INFINITY);
    expect(ready(fill(30), test(200, 'RO-9'))).toBe(Number.POSITIVE_INFINITY);
    expect(ready(fill(30, '2K', 'M9'), test(200))).toBe(Number.POSITIVE_INFINITY);
  });
  it('wait for their own source', () => {
    const two = tinyWorld({
      rules: { releaseAfterTest: true },
      water: ['RO', 'RO-2'].map((id) => ({ id, capacity: 1600, testEvery: 240, testMinutes: 10 })),
    });
    expect(lotsOfFills(compile(two), [...batch(30), test(200, 'RO-2')])[0]!.ready).toBe(
      Number.POSITIVE_INFINITY,
    );
  });
});

it('bags that go to tests are not in the lot', () => {
  expect(lotsOfFills(compile(tinyWorld({ rules: { sampleBags: 1 } })), batch(30))[0]!.bags).toBe(7);
});

describe('taking the first to expire', () => {
  it('covers as much as any way of serving could, by a linear program', async () => {
    const highs = await loadHighs();
    const minutes = fc.constantFrom(Number.NEGATIVE_INFINITY, 0, 1, 200, 360, 361, 1080, 1081, 1440);
    const lots = fc.array(
      fc
        .record({
          bags: fc.integer({ min: 0, max: 12 }),
          bagParts: fc.constantFrom(65, 50, 30),
          ready: minutes,
          expires: fc.constantFrom(30, 60, 419, 420, 1140, 1200, 1440, FOREVER),
        })
        .map(lot),
      { minLength: 1, maxLength: 7 },
    );
    const bags = fc.array(fc.integer({ min: 0, max: 15 }), { minLength: 4, maxLength: 4 });
    fc.assert(
      fc.property(lots, bags, (given, wanted) => {
        const ways = given.flatMap(({ ready, expires }, l) =>
          ROUNDS.filter((round) => ready <= round.at && expires >= round.to).map(({ index }) => ({
            l,
            r: index,
            name: `x${l}y${index}`,
          })),
        );
        const sum = (names: string[]) => names.join(' + ');
        const rows = [
          ...given.map(({ bags: count, bagParts }, l) => ({
            mine: ways.filter((way) => way.l === l),
            most: count * bagParts,
          })),
          ...ROUNDS.map(({ index }) => ({
            mine: ways.filter((way) => way.r === index),
            most: wanted[index]! * 65,
          })),
        ].filter(({ mine }) => mine.length > 0);
        const program = [
          'Maximize',
          ` obj: ${sum(ways.map(({ name }) => name))}`,
          'Subject To',
          ...rows.map(({ mine, most }, i) => ` c${i}: ${sum(mine.map(({ name }) => name))} <= ${most}`),
          'End',
        ].join('\n');
        const most = ways.length === 0 ? 0 : highs.solve(program).ObjectiveValue;
        const covered = cover(problemOf(given), demand(wanted), []);
        expect(covered.servings.reduce((all, { parts }) => all + parts, 0)).toBeCloseTo(most, 6);
        // What is served comes out of lots and needs, part for part.
        given.forEach((one, l) => {
          const taken = covered.servings
            .filter(({ lot: index }) => index === l)
            .reduce((all, { parts }) => all + parts, 0);
          expect(taken + covered.left[l]!).toBe(one.bags * one.bagParts);
        });
        ROUNDS.forEach(({ index }) => {
          const served = covered.servings
            .filter(({ round }) => round === index)
            .reduce((all, { parts }) => all + parts, 0);
          expect(served + covered.unmet[0]![index]!).toBe(wanted[index]! * 65);
        });
        for (const { lot: index, round } of covered.servings)
          expect(ways.some(({ l, r }) => l === index && r === round)).toBe(true);
      }),
      { numRuns: 300, seed: 20310206 },
    );
  });
});
