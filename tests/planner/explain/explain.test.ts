import { describe, expect, it } from 'vitest';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { earliestReady } from '../../../src/planner/explain/shortages.ts';
import { explainNeeds, plan, type Shortage } from '../../../src/planner/plan.ts';
import type { Planner } from '../../../src/planner/planner.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { at, batch, circuit, tinyWorld } from '../../world.ts';
import { brief, explained, ofLimit, opening, patients, staffed, water } from '../shortWorlds.ts';

describe('an opening round without stock', () => {
  it('is proven to want stock, without a search', async () => {
    const never: Planner = () => Promise.reject(new Error('no search is needed'));
    const problem = compile(tinyWorld({ patients: patients(1), water: water() }));
    const made = asPlan(problem, [circuit(0), ...batch(30)], {
      bound: NOTHING_PROVEN,
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
    // Two fills of 65 min at 0.8 L/min take 10.4 L, a circuit set up for 2K 2.4 L more; set up for 4K and changed to 2K in
    // 10 min it takes 0.8 L: 11.2 L, and 10 L are there.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water(),
        supplies: [{ item: 'acid 2K (L)', onHand: 10, perLitre: 0.1, bath: '2K' }],
      }),
    );
    const [relief] = ofLimit(shortages[0], 'supplies');
    expect([relief!.quantity, relief!.effect]).toEqual([2, 'clears']);
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

  it.each([
    ['whole', [800, 800], 800],
    // 800.1 + 800.2 = 1600.3000000000002 in binary.
    ['with decimals', [800.1, 800.2], 800.3],
  ])('water: what two machines draw together, %s', async (_, flows, capacity) => {
    // One of two machines runs at a time: two circuits and five fills take 60 + 5 x 65 > 345 - 8.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(12),
        stock: [opening(12)],
        machines: flows.map((flow, n) => ({ id: `M${n + 1}`, flow, positions: 8, water: 'RO' })),
        water: water({ capacity }),
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

  // One technician until 2:00: circuit 0 to 30, fill to 95, swap to 103. One set is enough for 3 + 2 bags of one patient.
  const tight = { patients: patients(1), stock: [opening(1)], water: water() };

  it.each([
    // 30 min at 1:30 are in the way of the swap; at 1:00 they are not.
    ['a break', { id: 'break', times: ['01:30'], minutes: 30, technicians: 1 }, 30],
    // 60 min at 1:00 are in the way of the fill; from 1:43 on they are not, which steps of half an hour reach with 60.
    ['a disinfection', { id: 'disinfect', place: 'M1', times: ['01:00'], minutes: 60 }, 60],
  ])('%s at another hour', async (_, duty, quantity) => {
    const { shortages } = await explained(tinyWorld({ ...tight, shifts: staffed('02:00'), duties: [duty] }));
    const [relief] = ofLimit(shortages[0], 'duties');
    expect(relief).toMatchObject({ place: duty.id, quantity, unit: 'min', effect: 'clears', safety: false });
    expect(relief!.sentence).toMatch(
      new RegExp(`^${duty.id} up to ${quantity} min sooner or later: clears`, 'i'),
    );
  });

  it('bags that wait for a test: named as the cause, and nothing to relax', async () => {
    // The technician leaves at 1:50: there is no time for a test of 10 min after the swap.
    const rules = { releaseAfterTest: true };
    const { shortages } = await explained(tinyWorld({ ...tight, shifts: staffed('01:50'), rules }));
    const relief = ofLimit(shortages[0], 'tests').find(({ change }) => change.includes('after their fill'));
    expect(relief).toMatchObject({ effect: 'clears', safety: true });
    expect(relief!.sentence).toMatch(/it is nothing to relax/);
    // A second technician tests while the first one swaps.
    expect(ofLimit(shortages[0], 'technicians')[0]).toMatchObject({
      place: 'early',
      quantity: 1,
      effect: 'clears',
    });
  });

  it('is told at once as stock, then as quick answers, best first, then in full', async () => {
    const duties = [{ id: 'break', times: ['01:30'], minutes: 30, technicians: 1 }];
    const problem = compile(tinyWorld({ ...tight, shifts: staffed('02:00'), duties }));
    const made = await plan(problem, { tries: 300 });
    const told: Shortage[] = [];
    await explainNeeds(problem, made, plan, { onShortage: (one) => told.push(one) });
    const mine = told.filter(({ firstRound }) => firstRound === told[0]!.firstRound);
    const [atOnce, quick, full] = [mine[0], mine.at(-2), mine.at(-1)];
    expect(brief(atOnce!).map(([limit]) => limit)).toEqual(['stock']);
    expect(ofLimit(quick, 'duties')).toMatchObject([{ quantity: 240, effect: 'clears' }]);
    expect(ofLimit(quick, 'duties')[0]!.sentence).toMatch(/perhaps less would do/);
    expect(ofLimit(full, 'duties')).toMatchObject([{ quantity: 30, effect: 'clears' }]);
    for (const { reliefs } of [quick!, full!]) {
      const ranks = reliefs.map(({ effect }) => ['clears', 'reduces', 'does not help'].indexOf(effect));
      expect(ranks).toEqual([...ranks].sort());
    }
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
      { effect: 'clears', safety: true, change: 'water that needs no test in this time' },
      { effect: 'does not help', safety: true, change: 'each water test up to 240 min later' },
    ]);
  });

  it('a water test: how much later', async () => {
    // Circuit 0 to 30, fill to 95, swap to 103, a second fill to 168 and its swap: somebody is there for that, but has
    // no 10 min for a test. That of minute 0 serves 100 min, and would have to serve minute 167.
    const { shortages } = await explained(
      tinyWorld({
        patients: patients(3),
        stock: [opening(3)],
        water: water({ testEvery: 100 }),
        shifts: [
          { id: 'circuit', from: '00:00', to: '00:31', technicians: 1 },
          { id: 'swap', from: '01:35', to: '01:44', technicians: 1 },
          { id: 'another', from: '02:48', to: '02:56', technicians: 1 },
        ],
      }),
    );
    expect(shortages.map(({ litres }) => litres)).toEqual([45.5]);
    expect(ofLimit(shortages[0], 'tests')).toMatchObject([
      { effect: 'clears', safety: true, change: 'water that needs no test in this time' },
      { effect: 'clears', safety: true, quantity: 70, unit: 'min' },
    ]);
    expect(ofLimit(shortages[0], 'tests')[1]!.sentence).toBe(
      'Each water test up to 70 min later: clears the 45.5 L (a limit of safety: this names the cause, it is nothing to relax).',
    );
  });
});
