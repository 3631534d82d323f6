import { describe, expect, it } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { explainActivity } from '../../src/planner/explainActivity.ts';
import { compile } from '../../src/scenario/problem.ts';
import { at, batch, bathChange, circuit, test, tinyWorld } from '../world.ts';

/** One patient wants 3 bags in the opening round, 3 at 6:00 (360) and 2 at 18:00 (1080): see explain.test.ts. */
const patient = { id: 'bed-1', weight: 82, dose: 25, bath: '2K' };
const world = tinyWorld({ patients: [patient] });
const reason = (plan: readonly Activity[], index: number, scenario = world) =>
  explainActivity(compile(scenario), plan, plan[index]!);
const serves = (plan: readonly Activity[], index: number, scenario = world) =>
  reason(plan, index, scenario).serves.map(({ bath, at: minute, bags, litres }) => [
    bath,
    minute,
    bags,
    litres,
  ]);

describe('why a fill is here', () => {
  const plan = [circuit(0), ...batch(40)];

  it('its bags, its fill window, its time, its slack, its test', () => {
    expect(serves(plan, 1)).toEqual([
      ['2K', 360, 3, 19.5],
      ['2K', 1080, 2, 13],
    ]);
    expect(reason(plan, 1)).toMatchObject({
      // Ends at 105, swap to 113, released at 128: 232 min before 360.
      slack: 232,
      spareLitres: 19.5,
      fillWindow: { shortest: 65, longest: 75 },
      window: { from: 0, to: 1440 },
      testEnded: 0,
      onShift: 1,
    });
  });

  it('in sentences', () =>
    expect(reason(plan, 1).sentences).toEqual([
      'Its bags serve: 3 of 2K at 2031-02-03 06:00; 2 of 2K at 2031-02-03 18:00.',
      '19.5 L are left over, for the reserve or to expire.',
      'It could be 3 h 52 min later before a round that it serves would miss bags, other things on the machine permitting.',
      'It may last 65 to 75 min, so its swap may start from 2031-02-03 01:45 to 2031-02-03 01:55.',
      'It starts on the water test that ended at 2031-02-03 00:00.',
    ]));

  it('that nobody needs', () => {
    const idle = tinyWorld();
    expect(reason(plan, 1, idle)).toMatchObject({ serves: [], slack: null, spareLitres: 52 });
    expect(reason(plan, 1, idle).sentences[0]).toBe('Its bags serve no round of this plan.');
  });

  it('whose first round has no time to spare', () =>
    // Fill 272..337, swap to 345, released at 360.
    expect(reason([circuit(0), ...batch(272)], 1).slack).toBe(0));
});

describe('why hands are wanted', () => {
  it('a swap: for its fill', () => {
    const plan = [circuit(0), ...batch(40), test(110)];
    expect(serves(plan, 2)).toEqual(serves(plan, 1));
    expect(reason(plan, 2)).toMatchObject({ slack: 232, testEnded: null, alongside: [plan[3]] });
    expect(reason(plan, 2).sentences.at(-1)).toBe(
      'Meanwhile technicians are also at: water test on RO. 1 on shift as it starts.',
    );
  });

  it('a circuit: for the fills on it, idle minutes count as slack', () => {
    const plan = [circuit(0), ...batch(40), ...batch(113), circuit(200), ...batch(230)];
    const found = reason(plan, 0);
    expect(found.fills).toEqual([plan[1], plan[3]]);
    // 10 idle minutes and 232; the bags of the second fill serve nothing.
    expect(found.slack).toBe(242);
  });

  it('a bath change: for the fills up to the next one', () => {
    const plan = [
      circuit(0, '4K'),
      bathChange(30, '2K'),
      ...batch(40),
      bathChange(113, '4K'),
      ...batch(123, '4K'),
    ];
    expect(reason(plan, 1).fills).toEqual([plan[2]]);
    expect(reason(plan, 1).slack).toBe(232);
    expect(reason(plan, 0).fills).toEqual([plan[2], plan[5]]);
  });

  it('a test: for what would run on untested water without it', () => {
    const untested = tinyWorld({
      patients: [patient],
      water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null }],
    });
    const plan = [test(0), circuit(10), ...batch(40), test(120)];
    expect(reason(plan, 0, untested).fills).toEqual([plan[2]]);
    // The circuit starts as the test ends; nothing is idle.
    expect(reason(plan, 0, untested).slack).toBe(232);
    expect(reason(plan, 2, untested).testEnded).toBe(10);
    expect(reason(plan, 4, untested)).toMatchObject({ fills: [], slack: null });
    expect(reason(plan, 4, untested).sentences[0]).toBe('No fill depends on it.');
    // With a test before the start that serves to 240, the first one is not needed either.
    expect(reason(plan, 0).fills).toEqual([]);
  });
});

it('tells minutes as asked', () => {
  const plan = [circuit(0), ...batch(40)];
  const told = explainActivity(compile(world), plan, plan[1]!, (minute) => `minute ${minute}`);
  expect(told.sentences[0]).toBe('Its bags serve: 3 of 2K at minute 360; 2 of 2K at minute 1080.');
  expect(at(360)).toBe('2031-02-03T06:00');
});
