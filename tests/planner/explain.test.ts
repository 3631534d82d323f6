import { describe, expect, it } from 'vitest';
import { auditPlan } from '../../src/audit/audit.ts';
import type { Plan } from '../../src/plan/plan.ts';
import { explainNeeds, type Shortage } from '../../src/planner/explain.ts';
import { asPlan, plan } from '../../src/planner/plan.ts';
import type { Planner } from '../../src/planner/planner.ts';
import { missingOf } from '../../src/planner/relief.ts';
import { earliestReady, gapsOf } from '../../src/planner/shortages.ts';
import { compile, type Problem } from '../../src/scenario/problem.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, circuit, tinyWorld } from '../world.ts';

/**
 * 82 kg x 25 mL/kg/h = 2.05 L/h: bags of 6.5 L hang at 0, 190, 380 (opening round), 570, 760, 951 (round at 6:00),
 * 1141, 1331 (round at 18:00). So each patient wants 3, 3 and 2 bags.
 */
const patients = (count: number) =>
  Array.from({ length: count }, (_, index) => ({ id: `bed-${index + 1}`, weight: 82, dose: 25, bath: '2K' }));
const opening = (count: number) => ({
  lot: 'S-1',
  bath: '2K',
  bags: 3 * count,
  litres: 6.5,
  expires: at(420),
});
const water = (changes: Partial<Scenario['water'][number]> = {}) => [
  { id: 'RO', capacity: 1600, testEvery: 1440, testMinutes: 10, lastTest: at(0), ...changes },
];
const staffed = (to: string) => [{ id: 'early', from: '00:00', to, technicians: 1 }];

/** Every plan made on the way is valid for the problem that it was made for. */
const checked: Planner = async (problem, options) => {
  const made = await plan(problem, options);
  expect(auditPlan(problem, made).violations).toEqual([]);
  return made;
};

async function explained(
  world: Scenario,
  replan: Planner = checked,
): Promise<{ problem: Problem; shortages: Shortage[] }> {
  const problem = compile(world);
  const made = await plan(problem, { tries: 300 });
  return { problem, shortages: await explainNeeds(problem, made, replan) };
}
const brief = ({ reliefs }: Shortage) =>
  reliefs.map(({ limit, quantity, after, effect }) => [limit, quantity, after, effect] as const);
const ofLimit = (shortage: Shortage | undefined, limit: string) =>
  shortage!.reliefs.filter((relief) => relief.limit === limit);

describe('an opening round without stock', () => {
  it('is proven to want stock, without a search', async () => {
    const never: Planner = () => Promise.reject(new Error('no search is needed'));
    const problem = compile(tinyWorld({ patients: patients(1), water: water() }));
    const made = asPlan(problem, [circuit(0), ...batch(30)], {
      bound: { unmetLitres: 0, handsOnMinutes: 0 },
      remarks: [],
      seconds: 0,
    });
    const [shortage, ...others] = await explainNeeds(problem, made, never);
    expect(others).toEqual([]);
    expect(shortage).toMatchObject({
      bath: '2K',
      firstRound: 0,
      lastRound: 0,
      at: 0,
      to: 420,
      litres: 19.5,
      bags: 3,
      stockOnly: true,
    });
    expect(brief(shortage!)).toEqual([['stock', 3, 0, 'clears']]);
    expect(shortage!.sentence).toBe(
      '3 bags of 2K (19.5 L) are missing in the round at 2031-02-03 00:00. Nothing made in house can be ready by then: only stock or a delivery could have covered it.',
    );
  });

  it('and so is a later round that the first fill cannot reach', () => {
    const ready = (changes: Partial<Scenario>) =>
      earliestReady(compile(tinyWorld({ water: water(), ...changes })), 0);
    const machine = { id: 'M1', flow: 800, positions: 8, water: 'RO' };
    // Circuit 30, fill 65, swap 8, release 15.
    expect(ready({})).toBe(118);
    expect(ready({ machines: [{ ...machine, loaded: { bath: '2K', circuitSince: at(-60) } }] })).toBe(88);
    // Another bath is loaded: a bath change of 10 min will do.
    expect(ready({ machines: [{ ...machine, loaded: { bath: '4K', circuitSince: at(-60) } }] })).toBe(98);
    expect(ready({ machines: [{ ...machine, baths: ['4K'] }] })).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('what would have covered a need', () => {
  it('bag sets: one more', async () => {
    // 15 bags are wanted after the opening round, one set fills 8.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water(),
        supplies: [
          { item: 'bag set', onHand: 1, perFill: 1 },
          { item: 'circuit', onHand: 9, perCircuit: 1 },
        ],
      }),
    );
    expect(shortages.map(({ litres, bags }) => [litres, bags])).toEqual([[45.5, 7]]);
    const [shortage] = shortages;
    expect(
      ofLimit(shortage, 'supplies').map(({ place, quantity, effect }) => [place, quantity, effect]),
    ).toEqual([
      ['bag set', 1, 'clears'],
      ['circuit', 0, 'does not help'],
    ]);
    expect(ofLimit(shortage, 'supplies')[0]!.sentence).toMatch(
      /^Bag set: 1 more by 2031-02-03 \d\d:\d\d: clears the 45.5 L\.$/,
    );
    expect(ofLimit(shortage, 'machines')[0]!.effect).toBe('does not help');
    expect(ofLimit(shortage, 'technicians')[0]!.effect).toBe('does not help');
  });

  it('a concentrate: litres, whole ones', async () => {
    // Circuit change 30 min and two fills of 65 min at 0.8 L/min: 128 L; 100 L are there.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water(),
        supplies: [{ item: 'acid 2K (L)', onHand: 10, perLitre: 0.1, bath: '2K' }],
      }),
    );
    const [relief] = ofLimit(shortages[0], 'supplies');
    expect([relief!.quantity, relief!.effect]).toEqual([3, 'clears']);
  });

  it('a machine: one more like the one there is', async () => {
    // 36 bags by 6:00: circuit 30, then fills of 73 with their swaps; four end by 345, five do not.
    const { shortages } = await explained(
      tinyWorld({ patients: patients(12), stock: [opening(12)], water: water() }),
    );
    expect(shortages.map(({ firstRound, lastRound, litres }) => [firstRound, lastRound, litres])).toEqual([
      [1, 1, 26],
    ]);
    expect(ofLimit(shortages[0], 'machines')[0]).toMatchObject({
      quantity: 1,
      after: 0,
      effect: 'clears',
      place: 'M1',
    });
    for (const limit of ['technicians', 'tests', 'shelf life'])
      for (const relief of ofLimit(shortages[0], limit)) expect(relief.effect).toBe('does not help');
  });

  it('water: what two machines draw together', async () => {
    // With 800 mL/min one of two machines runs at a time: two circuits and five fills take 60 + 5 x 65 > 345 - 8.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(12),
        stock: [opening(12)],
        machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
        water: water({ capacity: 800 }),
      }),
    );
    expect(ofLimit(shortages[0], 'water')).toMatchObject([
      { quantity: 800, unit: 'mL/min', after: 0, effect: 'clears' },
    ]);
    expect(ofLimit(shortages[0], 'machines').every(({ effect }) => effect === 'does not help')).toBe(true);
  });

  it('a technician: from when to when', async () => {
    // The shift ends at 2:00, so only one fill is swapped. A second one must be swapped by 345 to be ready at 6:00:
    // its fill may start by 119 and be swapped by 194, or start by 272 with somebody there for 65 + 8 min.
    const { shortages } = await explained(
      tinyWorld({ patients: patients(3), stock: [opening(3)], water: water(), shifts: staffed('02:00') }),
    );
    const relief = ofLimit(shortages[0], 'technicians').find(({ place }) => place === '');
    expect(relief).toMatchObject({ quantity: 1, after: 0, effect: 'clears', from: 270, to: 360 });
    expect(relief!.sentence).toBe(
      '1 more technician from 2031-02-03 04:30 to 2031-02-03 06:00: clears the 45.5 L.',
    );
  });

  it('a technician: on which shift', async () => {
    // As above: more hands before 2:00 do not help, a first one after it does.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water({ testEvery: 2880 }),
        shifts: [...staffed('02:00'), { id: 'late', from: '02:00', to: '06:00', technicians: 0 }],
      }),
    );
    const found = ofLimit(shortages[0], 'technicians').map(({ place, quantity, effect }) => [
      place,
      quantity,
      effect,
    ]);
    expect(found).toContainEqual(['late', 1, 'clears']);
    expect(found).toContainEqual(['early', 4, 'does not help']);
  });

  it('shelf life: named as a cause, not as something to relax', async () => {
    // Staff to 3:00 only: the last fill ends by 172 and would have to be good until 1440.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(2),
        stock: [opening(2)],
        water: water(),
        shifts: staffed('03:00'),
        rules: { shelfHours: 20 },
      }),
    );
    expect(shortages.map(({ firstRound, lastRound, bags }) => [firstRound, lastRound, bags])).toEqual([
      [2, 2, 4],
    ]);
    const [relief] = ofLimit(shortages[0], 'shelf life');
    expect(relief).toMatchObject({ quantity: 2, unit: 'h', effect: 'clears', safety: true });
    expect(relief!.sentence).toContain('nothing to relax');
  });

  it('a water test that takes the time', async () => {
    // Test 10, circuit 30, fill 65 and swap 8 end at 113; staff leave at 1:50.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(1),
        stock: [opening(1)],
        water: water({ lastTest: null }),
        shifts: [{ id: 'short', from: '00:00', to: '01:50', technicians: 1 }],
      }),
    );
    expect(ofLimit(shortages[0], 'tests')).toMatchObject([
      {
        effect: 'clears',
        safety: false,
        place: 'RO',
        change: 'a water test of RO that has ended by 2031-02-03 00:00',
      },
      { effect: 'clears', safety: true },
    ]);
  });
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
      bound: { unmetLitres: 0, handsOnMinutes: 0 },
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

  it('stops when told, and plans again no more often than allowed', async () => {
    const problem = compile(world);
    const made = await plan(problem, { tries: 300 });
    let calls = 0;
    const counting: Planner = async (...given) => {
      calls += 1;
      return plan(...given);
    };
    const [few] = await explainNeeds(problem, made, counting, { replans: 3 });
    expect(calls).toBe(3);
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
