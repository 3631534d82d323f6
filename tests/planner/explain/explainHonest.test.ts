import { describe, expect, it } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN, type Plan } from '../../../src/plan/plan.ts';
import { missingOf } from '../../../src/planner/explain/relief.ts';
import { gapsOf } from '../../../src/planner/explain/shortages.ts';
import { atMost, explainNeeds, plan, type Shortage } from '../../../src/planner/plan.ts';
import { leastUnmet, type Planner } from '../../../src/planner/planner.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { at, batch, circuit, tinyWorld } from '../../world.ts';
import { brief, ofLimit, opening, patients, water } from '../shortWorlds.ts';

/** The same plan, were nothing unmet in it. */
const clearedOf = (made: Plan): Plan => ({
  ...made,
  needs: made.needs.map((row) => ({ ...row, unmetLitres: 0 })),
  score: { ...made.score, unmetLitres: 0 },
});

describe('an explanation is honest', () => {
  const world = tinyWorld({ patients: patients(12), stock: [opening(12)], water: water() });

  it('claims nothing for what does not change the plan', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const [shortage] = await explainNeeds(problem, made, async () => made);
    expect(brief(shortage!)[0]).toEqual(['stock', 4, 0, 'clears']);
    for (const { limit, effect, after, before } of shortage!.reliefs.filter(
      ({ limit }) => limit !== 'stock',
    )) {
      expect([limit, effect]).toEqual([limit, 'does not help']);
      expect(after).toBe(before);
    }
  });

  it('gives a relief no credit for what planning longer alone would do', async () => {
    const problem = compile(world);
    const none = asPlan(problem, [], {
      bound: NOTHING_PROVEN,
      remarks: [],
      seconds: 0,
    });
    const good = await plan(problem, { tries: 300 });
    const [shortage] = await explainNeeds(problem, none, async () => good);
    expect(shortage!.sentence).toContain('Planning again, without any change, leaves 26 L of them.');
    expect(
      brief(shortage!).filter(([limit, , , effect]) => limit !== 'stock' && effect !== 'does not help'),
    ).toEqual([]);
  });

  it('gives a relief no credit for a shortage that it only moves', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const moved: Plan = {
      ...made,
      needs: made.needs.map((row) => ({ ...row, unmetLitres: row.round === 2 ? 26 : 0 })),
    };
    const [shortage] = await explainNeeds(problem, made, async (relaxed) =>
      relaxed === problem ? made : moved,
    );
    expect(
      brief(shortage!).filter(([limit, , , effect]) => limit !== 'stock' && effect !== 'does not help'),
    ).toEqual([]);
  });

  it('looks closer at what a quick plan makes nothing of, at less of it too', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const cleared = clearedOf(made);
    // Only a search that goes on from a plan finds what two more technicians are good for.
    const [shortage] = await explainNeeds(problem, made, async ({ staff }, { from } = {}) =>
      from && staff[0]! >= problem.staff[0]! + 2 ? cleared : made,
    );
    expect(ofLimit(shortage, 'technicians')[0]).toMatchObject({ quantity: 2, after: 0, effect: 'clears' });
    expect(ofLimit(shortage, 'machines').map(({ effect }) => effect)).toEqual(['does not help']);
  });

  it('looks closer at whether less would do than a quick plan needs', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const cleared = clearedOf(made);
    // A quick plan clears it with four technicians more, a search that goes on from a plan with two.
    const [shortage] = await explainNeeds(problem, made, async ({ staff }, { from } = {}) =>
      staff[0]! >= problem.staff[0]! + (from ? 2 : 4) ? cleared : made,
    );
    expect(ofLimit(shortage, 'technicians')[0]).toMatchObject({ quantity: 2, after: 0, effect: 'clears' });
  });

  it('says what is proven not to help, and asks for no proof where the plan is not proven best', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    const asked: (number | null)[] = [];
    const ask = (...least: number[]) =>
      explainNeeds(problem, made, async () => made, {
        prove: async (probe) => {
          asked.push(probe);
          return least[asked.length - 1] ?? 0;
        },
      });
    // 26 L are unmet: with the most of the second limit no plan leaves less, of the first that is not proven.
    const [shortage] = await ask(26, 13, 26);
    expect(asked.slice(0, 3)).toEqual([null, 0, 1]);
    const told = shortage!.reliefs.filter(({ proven, limit }) => proven && limit !== 'stock');
    expect(told.map(({ effect, sentence }) => [effect, sentence])).toEqual([
      ['does not help', 'Up to 4 more technicians on every shift "all day": proven not to help.'],
    ]);
    asked.length = 0;
    const [unproven] = await ask(25);
    expect(asked).toEqual([null]);
    expect(unproven!.reliefs.every(({ proven, limit }) => !proven || limit === 'stock')).toBe(true);
  });

  it('is proven by the relaxation where a supply is what is short', async () => {
    // One set of bags is there, two are wanted: neither a machine nor a technician more makes another.
    const problem = compile(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water(),
        supplies: [{ item: 'bag set', onHand: 1, perFill: 1 }],
      }),
    );
    const made = await plan(problem, { tries: 300 });
    const [shortage] = await explainNeeds(problem, made, plan, {
      prove: (probe) => {
        const relaxed = probe === null ? problem : atMost(problem, probe);
        return leastUnmet(relaxed, demandOf(problem), 20);
      },
    });
    const told = (limit: string) => ofLimit(shortage, limit).map(({ effect, proven }) => [effect, proven]);
    expect(told('supplies')).toEqual([['clears', false]]);
    expect(told('machines')).toEqual([['does not help', true]]);
    expect(new Set(told('technicians').map(String))).toEqual(new Set(['does not help,true']));
  });

  it('stops when told, and plans again no more often than allowed', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    let calls = 0;
    const counting: Planner = async (...given) => {
      calls += 1;
      return plan(...given);
    };
    const told: Shortage[] = [];
    const onShortage = (shortage: Shortage) => told.push(shortage);
    const [few] = await explainNeeds(problem, made, counting, { replans: 3, onShortage });
    expect(calls).toBe(3);
    // At once what needs no search, then the quick answers, and again at the end.
    expect(few!.sentence).toMatch(/Time ended before \d+ other limits could be tried\.$/);
    expect(told[0]!.reliefs.map(({ limit }) => limit)).toEqual(['stock']);
    expect(told.at(-1)).toEqual(few);
    expect(few!.reliefs.some(({ proven, effect }) => proven && effect === 'clears')).toBe(true);
    await explainNeeds(problem, made, counting, { stop: () => true });
    expect(calls).toBe(3);
  });

  it('tells nothing where nothing is missing', async () => {
    const problem = compile(tinyWorld());
    const made = await plan(problem, { tries: 10 });
    expect(await explainNeeds(problem, made, plan)).toEqual([]);
  });
});

describe('gaps', () => {
  const problem = compile(
    tinyWorld({ patients: patients(1), rules: { rounds: ['06:00', '12:00', '18:00'] } }),
  );
  const row = (round: number, unmetLitres: number, bath = '2K') => ({
    bath,
    round,
    at: problem.rounds[round]!.at,
    bags: 2,
    litres: 13,
    unmetLitres,
  });

  it('join rounds that follow each other, by bath, apart from those that only stock can cover', () => {
    const needs = [row(0, 13), row(1, 6.5), row(1, 2, '4K'), row(2, 0), row(3, 13), row(3, 1, '4K')];
    expect(
      gapsOf(problem, { needs }).map(({ bath, first, last, litres, stockOnly }) => [
        bath,
        first,
        last,
        litres,
        stockOnly,
      ]),
    ).toEqual([
      [0, 0, 0, 13, true],
      [0, 1, 1, 6.5, false],
      [0, 3, 3, 13, false],
      [1, 1, 3, 3, false],
    ]);
  });
});

describe('supplies that a plan takes beyond what there is', () => {
  it('tells how many and by when', () => {
    const problem = compile(
      tinyWorld({
        supplies: [{ item: 'bag set', onHand: 1, perFill: 2, deliveries: [{ at: at(103), quantity: 1 }] }],
      }),
    );
    const found = missingOf(problem, problem.supplies[0]!, [circuit(0), ...batch(30), ...batch(103)]);
    // At 30 one of two is there; at 103 another came: two of four.
    expect(found).toEqual({ units: 2, by: 30 });
  });
});
