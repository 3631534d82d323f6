import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit, auditPlan } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { cover, lotsOfFills, needRows, scoreOf } from '../../src/plan/cover.ts';
import { type Activity, NOTHING_PROVEN } from '../../src/plan/plan.ts';
import { planByHand } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, circuit, duty, fill, test, tinyWorld } from '../world.ts';
import { scenarios, withFloor } from './arbitrary.ts';
import { mostLitres } from './maxFlow.ts';

const NO_BOUND = { bound: NOTHING_PROVEN, remarks: [], seconds: 0 };
/** 82 kg x 25 mL/kg/h = 2.05 L/h: a 6.5 L bag lasts 190.2 min, so bags hang at 0, 190, 380, 570, 760, 951, 1141, 1331. */
const patient = { id: 'bed-1', weight: 82, dose: 25, bath: '2K' };
const stock = (bags: number, more: Partial<NonNullable<Scenario['stock']>[number]> = {}) => ({
  lot: `S-${bags}`,
  bath: '2K',
  bags,
  litres: 6.5,
  ...more,
});
const judge = (world: Scenario, plan: readonly Activity[] = []) => audit(compile(world), plan);
const rows = (world: Scenario, plan: readonly Activity[] = []) =>
  judge(world, plan).needs.map(({ bath, round, at: minute, bags, unmetLitres }) => [
    bath,
    round,
    minute,
    bags,
    unmetLitres,
  ]);

describe('cover', () => {
  it('counts the needs of a day by hand: rounds at 6:00 and 18:00 with an hour of lead', () =>
    // Opening: hung before 7:00 = 420: 0, 190, 380. Round 1: before 19:00 = 1140: 570, 760, 951. Round 2: 1141, 1331.
    expect(rows(tinyWorld({ patients: [patient] }))).toEqual([
      ['2K', 0, 0, 3, 19.5],
      ['2K', 1, 360, 3, 19.5],
      ['2K', 2, 1080, 2, 13],
    ]));

  it('only stock that is ready at minute 0 serves the opening round', () => {
    const unmet = (ready: string | null) =>
      rows(tinyWorld({ patients: [patient], stock: [stock(3, { ready })] })).map((row) => row[4]);
    expect(unmet(null)).toEqual([0, 19.5, 13]);
    expect(unmet(at(0))).toEqual([0, 19.5, 13]);
    expect(unmet(at(1))).toEqual([19.5, 0, 13]);
    expect(unmet(at(360))).toEqual([19.5, 0, 13]);
    expect(unmet(at(361))).toEqual([19.5, 19.5, 0]);
  });

  it('a lot that expires a minute before the end of what the round covers serves none of it', () => {
    const unmet = (expires: string) =>
      rows(tinyWorld({ patients: [patient], stock: [stock(3, { expires })] })).map((row) => row[4]);
    expect(unmet(at(419))).toEqual([19.5, 19.5, 13]);
    expect(unmet(at(420))).toEqual([0, 19.5, 13]);
  });

  it('litres count: a 5 L bag covers 5/6.5 of a bag', () =>
    expect(rows(tinyWorld({ patients: [patient], stock: [stock(3, { litres: 5 })] }))[0]![4]).toBe(4.5));

  it('takes the lot that expires first', () => {
    const { score } = judge(
      tinyWorld({
        patients: [patient],
        stock: [stock(4, { expires: at(5000) }), stock(3, { expires: at(1200) })],
      }),
    );
    // The three that expire serve the opening round; four are left for the six bags after it.
    expect(score).toMatchObject({ unmetLitres: 6.5, expiredBags: 0 });
  });

  it("counts bags that expire unused in the lot's own bags, in (0, horizon]", () => {
    const expired = (...stocks: ReturnType<typeof stock>[]) =>
      judge(tinyWorld({ stock: stocks })).score.expiredBags;
    expect(expired(stock(7, { litres: 5, expires: at(1440) }))).toBe(7);
    expect(expired(stock(7, { expires: at(1441) }))).toBe(0);
    expect(expired(stock(7, { expires: at(1) }))).toBe(7);
    expect(expired(stock(7, { expires: at(0) }))).toBe(0);
    expect(expired(stock(7))).toBe(0);
  });

  it('counts fractions of bags that expire', () =>
    expect(
      judge(
        tinyWorld({
          patients: [{ ...patient, until: at(180) }],
          stock: [stock(2, { litres: 5, expires: at(420) })],
        }),
      ).score.expiredBags,
      // One bag of 6.5 L is hung; 10 - 6.5 = 3.5 L of 5 L bags are left.
    ).toBeCloseTo(0.7, 12));

  it('counts the reserve in bags of fillLitres, good for 24 h after the end', () => {
    const short = (...stocks: ReturnType<typeof stock>[]) =>
      judge(tinyWorld({ stock: stocks, rules: { reserve: { '2K': 16 } } })).score.reserveShort;
    expect(short()).toBe(16);
    expect(short(stock(16))).toBe(0);
    expect(short(stock(10, { expires: at(2880) }))).toBe(6);
    expect(short(stock(10, { expires: at(2879) }))).toBe(16);
    expect(short(stock(10, { ready: at(1440) }))).toBe(6);
    expect(short(stock(10, { ready: at(1441) }))).toBe(16);
    expect(short(stock(13, { litres: 5 }))).toBe(6);
  });

  it('bags of a fill are ready after swap and release, and expire after its end', () => {
    // Fill 30..95, swap 95..103, released at 118: in time for the round at 360.
    const plan = [circuit(0), ...batch(30)];
    const world = tinyWorld({ patients: [patient] });
    expect(rows(world, plan).map((row) => row[4])).toEqual([19.5, 0, 0]);
    expect(judge(world, plan).score).toEqual({
      unmetLitres: 19.5,
      // All in the opening round, 24 h before the end.
      unmetLitreHours: 19.5 * 24,
      reserveShort: 0,
      handsOnMinutes: 38,
      expiredBags: 0,
    });
    // Ready at 360 exactly: the fill ends at 337.
    expect(rows(world, [circuit(0), ...batch(272)]).map((row) => row[4])).toEqual([19.5, 0, 0]);
    expect(rows(world, [circuit(0), ...batch(273)]).map((row) => row[4])).toEqual([19.5, 19.5, 0]);
    // Shelf life to the end of what round 1 covers, 1140: from 95 on 1045 min.
    const shelf = (shelfHours: number) =>
      rows(tinyWorld({ patients: [patient], rules: { shelfHours } }), plan)[1]![4];
    expect(shelf(1045 / 60 + 0.001)).toBe(0);
    expect(shelf(17.4)).toBe(19.5);
  });

  it('of lots that expire together takes the one ready first, at the start the one listed first', () => {
    // One bag of 6.5 L for 06:00: of two lots of two bags the one that serves has one left, the 5 L one 0.7.
    const expired = (five: string | null, six: string | null) =>
      judge(
        tinyWorld({
          patients: [{ ...patient, from: at(430), until: at(500) }],
          stock: [
            stock(2, { lot: 'S-5', litres: 5, ready: five, expires: at(1200) }),
            stock(2, { lot: 'S-6', ready: six, expires: at(1200) }),
          ],
        }),
      ).score.expiredBags;
    expect(expired(at(20), at(10))).toBe(3);
    expect(expired(at(10), at(20))).toBeCloseTo(2.7, 12);
    expect(expired(at(20), null)).toBe(3);
    expect(expired(null, at(-5))).toBeCloseTo(2.7, 12);
    expect(expired(at(-5), null)).toBeCloseTo(2.7, 12);
  });

  it('counts what is wanted in stock after a round from lots that are ready as it leaves', () => {
    const short = (more: object) =>
      judge(tinyWorld({ stock: [stock(5, more)], rules: { minStock: { '2K': 5 } } })).score.reserveShort;
    // Rounds at 0, 360 and 1080; the last covers until 1440.
    expect(short({})).toBe(0);
    expect(short({ ready: at(360) })).toBe(5);
    expect(short({ ready: at(361) })).toBe(10);
  });

  it('a duty at the water is no test that releases bags; nor does a duty count as hands-on work', () => {
    const duties = [{ id: 'D', place: 'RO', times: ['02:00'], minutes: 30, technicians: 1 }];
    const world = tinyWorld({ patients: [patient], duties, rules: { releaseAfterTest: true } });
    const plan = [circuit(0), ...batch(30), duty('D', 120, { water: 'RO' })];
    expect(rows(world, plan).map((row) => row[4])).toEqual([19.5, 19.5, 13]);
    expect(rows(world, [...plan, test(200)]).map((row) => row[4])).toEqual([19.5, 0, 0]);
    expect(judge(world, plan).score.handsOnMinutes).toBe(38);
  });

  it('a fill on a machine that nobody has makes no bags', () =>
    expect(rows(tinyWorld({ patients: [patient] }), [fill(30, '2K', 'M9')])[1]![4]).toBe(19.5));

  it('counts hands-on minutes of all but fills', () =>
    expect(judge(tinyWorld(), [circuit(0), ...batch(30), test(103)]).score.handsOnMinutes).toBe(48));

  it('agrees with the fast count on random plans, and no lots could serve more', () => {
    let met = 0;
    let unmet = 0;
    fc.assert(
      fc.property(scenarios(), (scenario) => {
        const problem = compile(scenario);
        const plan = asPlan(problem, planByHand(problem), NO_BOUND);
        const { ok, violations, needs, score } = auditPlan(problem, plan);
        expect(violations).toEqual([]);
        expect(ok).toBe(true);
        expect(needs.every(({ unmetLitres, litres }) => unmetLitres >= 0 && unmetLitres <= litres)).toBe(
          true,
        );
        const litres = needs.reduce((sum, row) => sum + row.litres, 0);
        const served = mostLitres(scenario, problem, demandOf(problem), plan.activities);
        expect(litres - score.unmetLitres).toBeCloseTo(served, 6);
        met += served;
        unmet += score.unmetLitres;
      }),
      { numRuns: 150, seed: 42 },
    );
    expect(met).toBeGreaterThan(1000);
    expect(unmet).toBeGreaterThan(1000);
  });

  it('agrees with the fast count on drawn floors, also where rules are broken or a day is planned on', () => {
    const seen = { short: 0, late: 0, never: 0, sessions: 0, due: 0 };
    fc.assert(
      fc.property(scenarios().chain(withFloor), fc.boolean(), fc.nat(4), (scenario, planOn, due) => {
        const from = compile(scenario);
        // Fills as on the floor without its fields: they may break rules of those, and are counted all the same.
        const loose = { ...scenario, duties: [], rules: { ...scenario.rules, releaseAfterTest: false } };
        const activities = planByHand(compile(loose));
        const problem = planOn ? { ...from, dueNow: from.baths.map(() => due) } : from;
        const demand = demandOf(problem);
        const covered = cover(problem, demand, lotsOfFills(problem, activities));
        const { needs, score } = audit(problem, activities);
        expect(needs).toEqual(needRows(problem, demand, covered));
        const fast = scoreOf(problem, activities, covered);
        for (const key of Object.keys(fast) as (keyof typeof fast)[])
          expect(score[key], key).toBeCloseTo(fast[key], 6);
        if (covered.stockShort.flat().some((parts) => parts > 0)) seen.short += 1;
        if (score.unmetLitreHours > 0) seen.late += 1;
        if (covered.lots.some(({ ready }) => ready === Number.POSITIVE_INFINITY)) seen.never += 1;
        if (problem.patients.some(({ sessions }) => sessions)) seen.sessions += 1;
        if (planOn && due > 0) seen.due += 1;
      }),
      { numRuns: 200, seed: 43 },
    );
    for (const [what, count] of Object.entries(seen)) expect(count, what).toBeGreaterThan(20);
  });
});

describe('what a plan claims', () => {
  const world = tinyWorld({ patients: [patient] });
  const problem = compile(world);
  const plan = asPlan(problem, [circuit(0), ...batch(30)], NO_BOUND);
  const rules = (changed: Partial<typeof plan>) => {
    const { violations, ok } = auditPlan(problem, { ...plan, ...changed });
    expect(ok).toBe(violations.length === 0);
    return violations.map(({ rule, amount, unit }) => [rule, Number(amount.toPrecision(9)), unit]);
  };

  it('is true', () => expect(rules({})).toEqual([]));

  it('needs-claimed: bags, litres, unmet litres, a row too few, a row too many, a row twice', () => {
    const [first, ...others] = plan.needs;
    expect(rules({ needs: [{ ...first!, bags: 2 }, ...others] })).toEqual([['needs-claimed', 1, 'bags']]);
    expect(rules({ needs: [{ ...first!, litres: 20 }, ...others] })).toEqual([['needs-claimed', 0.5, 'L']]);
    expect(rules({ needs: [{ ...first!, unmetLitres: 0 }, ...others] })).toEqual([
      ['needs-claimed', 19.5, 'L'],
    ]);
    expect(rules({ needs: [{ ...first!, unmetLitres: 10 }, ...others] })).toEqual([
      ['needs-claimed', 9.5, 'L'],
    ]);
    expect(rules({ needs: [{ ...first!, at: 5 }, ...others] })).toEqual([['needs-claimed', 5, 'min']]);
    expect(rules({ needs: [first!, { ...others[0]!, at: 365 }, ...others.slice(1)] })).toEqual([
      ['needs-claimed', 5, 'min'],
    ]);
    expect(rules({ needs: others })).toEqual([['needs-claimed', 3, 'bags']]);
    expect(rules({ needs: [...plan.needs, { ...first!, bath: '4K', bags: 7 }] })).toEqual([
      ['needs-claimed', 7, 'bags'],
    ]);
    expect(rules({ needs: [...plan.needs, first!] })).toEqual([['needs-claimed', 1, 'rows']]);
  });

  it('score-claimed: each number', () => {
    const score = { ...plan.score };
    expect(rules({ score: { ...score, unmetLitres: 0 } })).toEqual([['score-claimed', 19.5, 'L']]);
    expect(rules({ score: { ...score, unmetLitreHours: 467 } })).toEqual([['score-claimed', 1, 'L h']]);
    expect(rules({ score: { ...score, reserveShort: 1 } })).toEqual([['score-claimed', 1, 'bags']]);
    expect(rules({ score: { ...score, handsOnMinutes: 37 } })).toEqual([['score-claimed', 1, 'min']]);
    expect(rules({ score: { ...score, expiredBags: 0.25 } })).toEqual([['score-claimed', 0.25, 'bags']]);
    expect(rules({ score: { ...score, unmetLitres: Number.NaN } }).map(([rule]) => rule)).toEqual([
      'score-claimed',
    ]);
  });

  it('a millionth is no difference, more is', () => {
    const { expiredBags, handsOnMinutes } = plan.score;
    expect([expiredBags, handsOnMinutes]).toEqual([0, 38]);
    expect(rules({ score: { ...plan.score, expiredBags: 1e-6 } })).toEqual([]);
    expect(rules({ score: { ...plan.score, expiredBags: 1.1e-6 } })).toHaveLength(1);
    expect(rules({ score: { ...plan.score, handsOnMinutes: 38 + 37e-6 } })).toEqual([]);
    expect(rules({ score: { ...plan.score, handsOnMinutes: 38 + 39e-6 } })).toHaveLength(1);
  });

  it('bound-holds: no plan is better than its bound', () => {
    expect(rules({ bound: { unmetLitres: 19.5, handsOnMinutes: 38 } })).toEqual([]);
    expect(rules({ bound: { unmetLitres: 20, handsOnMinutes: 38 } })).toEqual([['bound-holds', 0.5, 'L']]);
    expect(rules({ bound: { unmetLitres: 0, handsOnMinutes: 39 } })).toEqual([['bound-holds', 1, 'min']]);
  });
});
