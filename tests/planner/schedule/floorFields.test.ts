import { describe, expect, it } from 'vitest';
import { demandOf } from '../../../src/demand/demand.ts';
import type { Activity } from '../../../src/plan/plan.ts';
import { plan, planByHand, replan } from '../../../src/planner/plan.ts';
import { Dispatcher } from '../../../src/planner/schedule/dispatch.ts';
import { Evaluator, LITRE } from '../../../src/planner/schedule/evaluate.ts';
import { activitiesOf } from '../../../src/planner/schedule/listing.ts';
import { worthOf } from '../../../src/planner/schedule/pieces.ts';
import { DutyFault } from '../../../src/planner/schedule/placeDuties.ts';
import { Playback } from '../../../src/planner/schedule/playback.ts';
import { Search } from '../../../src/planner/search/search.ts';
import { firstTempers } from '../../../src/planner/search/tempers.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { generate } from '../../bench/generate.ts';
import { brokenBy, floored } from '../floors.ts';
import { at, unit } from '../worlds.ts';

/** One machine, 8 bags of 6.5 L at 800 mL/min: 65 to 75 min; its circuit in place, water tested until 240; one technician. */
const world = (change: Partial<Scenario> = {}) =>
  compile(
    unit({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } },
      ],
      water: [{ id: 'W', capacity: 9000, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
      ...change,
    }),
  );

/** What comes of fills in a row on the one machine, as [kind, start, end]. */
function dispatched(problem: Problem, fills: number) {
  const dispatcher = new Dispatcher(problem);
  const playback = new Playback(1);
  playback.lines = [[{ bath: 0, fills, toEnd: false, fresh: false, notBefore: 0 }]];
  dispatcher.run(playback);
  const made = activitiesOf(dispatcher.floor.held);
  expect(brokenBy(problem, made)).toEqual([]);
  return made.sort((a, b) => a.start - b.start).map(({ kind, start, end }) => [kind, start, end]);
}

/** The rules of section 7, each worked out by hand. */
describe('the fields of the floor', () => {
  it('a fill begins with a technician for its first minutes, who has walked there', () => {
    // On shift from 60 on: walks 60-62, begins 62, full 127; walks 125-127, swap 127-135; the next fill needs no walk.
    const shifts = [{ id: 'day', from: '08:00', to: '20:00', technicians: 1 }];
    const rules = { walkMinutes: 2, fillStartMinutes: 2 };
    expect(dispatched(world({ shifts, rules }), 2)).toEqual([
      ['fill', 62, 127],
      ['swap', 127, 135],
      ['fill', 135, 200],
      ['swap', 200, 208],
    ]);
  });

  it('work that takes two waits for two', () => {
    const shifts = [
      { id: 'one', from: '07:00', to: '19:00', technicians: 1 },
      { id: 'two', from: '08:08', to: '19:00', technicians: 1 },
    ];
    // Full at 65, but the second technician comes at 68.
    expect(dispatched(world({ shifts, rules: { hands: { swap: 2 } } }), 1)).toEqual([
      ['fill', 0, 68],
      ['swap', 68, 76],
    ]);
  });

  it('a source that gives too little for a while feeds nobody then', () => {
    const water = [
      {
        id: 'W',
        capacity: 700,
        testEvery: 240,
        testMinutes: 10,
        lastTest: at(0),
        capacityChanges: [{ at: at(100), capacity: 800 }],
      },
    ];
    expect(dispatched(world({ water }), 1)).toEqual([
      ['fill', 100, 165],
      ['swap', 165, 173],
    ]);
  });

  it('a duty at the machine moves behind a fill within its slack, and ends the circuit', () => {
    const duty = { id: 'disinfect', place: 'M1', times: ['08:00'], minutes: 45, endsCircuit: true };
    // Due at 60; a fill and its swap end at 73, which its slack allows; then a new circuit.
    expect(dispatched(world({ duties: [{ ...duty, slackMinutes: 30 }] }), 2)).toEqual([
      ['fill', 0, 65],
      ['swap', 65, 73],
      ['duty', 73, 118],
      ['circuit', 118, 148],
      ['fill', 148, 213],
      ['swap', 213, 221],
    ]);
    // With 10 min less to spare it stays, and the fill waits.
    expect(dispatched(world({ duties: [{ ...duty, slackMinutes: 10 }] }), 1)[0]).toEqual(['duty', 60, 105]);
  });

  it('a machine goes on after a duty that ended its circuit, also where somebody is always on shift', () => {
    const duty = { id: 'disinfect', place: 'M1', times: ['10:20'], minutes: 45, endsCircuit: true };
    // Due at 200: from 146 on neither a third fill nor one on a new circuit ends before it.
    expect(dispatched(world({ duties: [duty] }), 3)).toEqual([
      ['fill', 0, 65],
      ['swap', 65, 73],
      ['fill', 73, 138],
      ['swap', 138, 146],
      ['duty', 200, 245],
      ['test', 235, 245],
      ['circuit', 245, 275],
      ['fill', 275, 340],
      ['swap', 340, 348],
    ]);
  });

  it('after a duty that voids tests nothing runs before a new one', () => {
    const duty = { id: 'loop', place: 'W', times: ['08:20'], minutes: 20, voidsTests: true };
    expect(dispatched(world({ duties: [duty] }), 2)).toEqual([
      ['fill', 0, 65],
      ['swap', 65, 73],
      ['duty', 80, 100],
      ['test', 100, 110],
      ['fill', 110, 175],
      ['swap', 175, 183],
    ]);
  });

  it('a break gives way to a swap within its slack', () => {
    const duty = { id: 'break', times: ['08:00'], minutes: 30, slackMinutes: 60, technicians: 1 };
    const made = dispatched(world({ duties: [duty] }), 1);
    expect(made).toContainEqual(['fill', 0, 65]);
    expect(made.find(([kind]) => kind === 'duty')![1]).toBeGreaterThanOrEqual(73);
  });

  it('bags wait for a test that starts once they are filled', () => {
    const problem = world({ rules: { releaseAfterTest: true, rounds: ['10:00'] } });
    // The round leaves at 180: the test for it ends then.
    expect(dispatched(problem, 1)).toEqual([
      ['fill', 0, 65],
      ['swap', 65, 73],
      ['test', 170, 180],
    ]);
  });

  it.each([
    ['too few technicians are free', { technicians: 5 }],
    ['another duty is at its machine', { technicians: 0 }],
  ])('a duty without a place names itself, its time and what is in the way: %s', async (obstacle, more) => {
    const duty = { place: 'M1', times: ['08:00'], minutes: 45, ...more };
    const problem = world({
      duties: [
        { ...duty, id: 'first' },
        { ...duty, id: 'second' },
      ],
    });
    const fault = await plan(problem, { tries: 60 }).catch((error: unknown) => error);
    expect(fault).toBeInstanceOf(DutyFault);
    expect(fault).toMatchObject({ at: at(60), obstacle });
    expect((fault as DutyFault).message).toMatch(
      /^Duty (first|second) on \d{4}-\d\d-\d\d at 08:00 has no valid place/,
    );
  });
});

const drawn = Array.from({ length: 24 }, (_, seed) => {
  const size = { seed, kind: 'tiny' as const, variety: seed % 3 === 0 ? 0.6 : 0.2, machines: 2 + (seed % 2) };
  return [seed, floored(generate(size), seed)] as const;
});

describe.each(drawn)('drawn floor %i', (_, scenario) => {
  const problem = compile(scenario);
  const usable = problem.machines.every(({ shortest, longest }) => shortest <= longest);
  const orFault = async (made: () => readonly Activity[] | Promise<{ activities: readonly Activity[] }>) => {
    try {
      const plan = await made();
      return 'activities' in plan ? plan.activities : plan;
    } catch (error) {
      expect(error).toBeInstanceOf(DutyFault);
      return null;
    }
  };

  it.runIf(usable)('by hand, searched and planned again it breaks no rule', async () => {
    const byHand = await orFault(() => planByHand(problem));
    if (!byHand) return;
    expect(brokenBy(problem, byHand)).toEqual([]);
    const { activities } = await plan(problem, { tries: 120 });
    expect(brokenBy(problem, activities)).toEqual([]);
    const patients = scenario.patients.map((one, n) => (n % 2 ? { ...one, weight: one.weight + 15 } : one));
    const edited = compile({ ...scenario, patients });
    const again = await replan(edited, { tries: 60, previous: activities });
    expect(brokenBy(edited, again.activities)).toEqual([]);
  });

  it.runIf(usable)('the judgement within the search is the score', async () => {
    const demand = demandOf(problem);
    const search = (await orFault(() => [])) && new Search(problem, demand);
    const evaluator = new Evaluator(problem, demand);
    for (const temper of firstTempers(problem, demand).slice(0, 4)) {
      search!.construct(temper);
      const { held } = search!.dispatcher.floor;
      evaluator.begin(null);
      evaluator.judge(held);
      const score = worthOf(problem, demand, activitiesOf(held, evaluator.useless));
      expect(evaluator.unmetParts / problem.partsPerLitre).toBeCloseTo(score.unmetLitres, 9);
      expect(evaluator.unmetPartMinutes / problem.partsPerLitre / 60).toBeCloseTo(score.unmetLitreHours, 6);
      expect(evaluator.reserveShortParts / problem.bagParts).toBeCloseTo(score.reserveShort, 9);
      // What the rounds miss is part of the price, so that a try may be given up for it.
      expect(evaluator.missed * LITRE).toBeLessThanOrEqual(evaluator.price(evaluator, LITRE) + 1e-6);
    }
  });

  it.runIf(usable)(
    'a start that is given up costs more than its limit; one that is not costs what it does without',
    () => {
      const demand = demandOf(problem);
      const [first, ...others] = firstTempers(problem, demand).slice(0, 6);
      const [free, limited] = [new Search(problem, demand), new Search(problem, demand)];
      const limit = free.construct(first!);
      limited.construct(first!);
      for (const temper of others) {
        const price = free.construct(temper);
        const told = limited.construct(temper, limit);
        if (told < Number.POSITIVE_INFINITY) expect(told).toBe(price);
        else expect(price).toBeGreaterThan(limit);
        expect(limited.best).toEqual(free.best);
      }
    },
  );
});
