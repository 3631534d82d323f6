import { describe, expect, it } from 'vitest';
import type { Activity } from '../../../src/plan/plan.ts';
import { explainActivity } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, test, tinyWorld } from '../../world.ts';

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
      'It starts on the total chlorine test that ended at 2031-02-03 00:00.',
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
      'Meanwhile technicians are also at: total chlorine test of RO. 1 on shift as it starts.',
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

describe('what else keeps an activity from being later', () => {
  // A circuit in place from minute 0 on, for 300 min; one fill at 73 min with its swap after another.
  const short = (changes: Partial<Scenario> = {}) =>
    tinyWorld({
      patients: [patient],
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '4K', circuitSince: at(0) } },
      ],
      rules: { circuitHours: 5 },
      ...changes,
    });
  const plan = [bathChange(20, '2K'), ...batch(30), ...batch(110), ...batch(183, '2K')];

  it('the end of its circuit, for what follows on it, less idle minutes', () => {
    const scenario = short();
    // The last swap ends at 256, 44 min before 300; 7 min are idle from 103 to 110. The first fill ends at 95, and is
    // released at 118: 242 min before its round at 360.
    expect(reason(plan, 0, scenario)).toMatchObject({ slack: 51, slackBy: { by: 'circuit', at: 300 } });
    expect(reason(plan, 1, scenario)).toMatchObject({ slack: 51, slackBy: { by: 'circuit', at: 300 } });
    expect(reason(plan, 0, scenario).sentences).toContain(
      'It could be 51 min later, up to the end of the circuit at 2031-02-03 05:00, with what follows on it, other things on the machine permitting.',
    );
  });

  it('not of a circuit that comes later, nor of its own: that moves with it', () => {
    const renewed = [bathChange(20, '2K'), ...batch(30), circuit(110), ...batch(183)];
    // The swap ends at 103: 197 min before 300, less than the 242 to the round.
    expect(reason(renewed, 0, short())).toMatchObject({ slack: 197, slackBy: { by: 'circuit', at: 300 } });
    const first = [circuit(0), ...batch(30), ...batch(103)];
    expect(reason(first, 0, short())).toMatchObject({ slack: 242, slackBy: { by: 'round', at: 360 } });
  });

  it('the end of the machine’s available time', () => {
    const [machine] = short().machines;
    const away = short({
      machines: [{ ...machine!, available: [{ from: at(0), to: at(270) }] }],
      rules: { circuitHours: 24 },
    });
    // 256 to 270, and the 7 idle minutes.
    expect(reason(plan, 0, away)).toMatchObject({ slack: 21, slackBy: { by: 'window', at: 270 } });
    expect(reason(plan, 0, away).sentences).toContain(
      "It could be 21 min later, up to the end of the machine's available time at 2031-02-03 04:30, with what follows, other things on the machine permitting.",
    );
  });

  it('a test: the ends in the way of what waits for it', () => {
    const untested = short({
      water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null }],
    });
    // The bath change starts 5 min after the test.
    const tested = [test(5), ...plan];
    expect(reason(tested, 0, untested)).toMatchObject({ slack: 56, slackBy: { by: 'circuit', at: 300 } });
  });
});

it('what another machine does with another source and bath changes nothing but who is at work meanwhile', () => {
  const machine = { flow: 800, positions: 8, water: 'RO', loaded: { bath: '4K', circuitSince: at(0) } };
  const source = { id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null };
  const apart = tinyWorld({
    patients: [patient],
    machines: [
      { ...machine, id: 'M2', water: 'W2', available: [{ from: at(5), to: at(1400) }] },
      { ...machine, id: 'M1' },
    ],
    water: [{ ...source, id: 'W2' }, source],
    rules: { circuitHours: 5 },
  });
  const mine = [
    test(5),
    bathChange(20, '2K'),
    ...batch(30),
    ...batch(110),
    ...batch(183, '2K'),
    circuit(400),
  ];
  const others = [
    test(0, 'W2'),
    test(24, 'W2'),
    circuit(25, '4K', 'M2'),
    ...batch(60, '4K', 'M2'),
    bathChange(140, '4K', 'M2'),
    ...batch(183, '4K', 'M2'),
    circuit(270, '4K', 'M2'),
  ];
  const all = [...others, ...mine].sort((a, b) => a.start - b.start);
  for (const [index, one] of mine.entries()) {
    const { sentences: _, alongside, ...alone } = reason(mine, index, apart);
    const { sentences: __, alongside: meanwhile, ...among } = reason(all, all.indexOf(one), apart);
    expect(among).toEqual(alone);
    const busy = all.filter(
      (other) => other !== one && other.kind !== 'fill' && other.start < one.end && other.end > one.start,
    );
    expect(alongside).toEqual([]);
    expect(new Set(meanwhile)).toEqual(new Set(busy));
  }
});

it('tells minutes as asked', () => {
  const plan = [circuit(0), ...batch(40)];
  const told = explainActivity(compile(world), plan, plan[1]!, (minute) => `minute ${minute}`);
  expect(told.sentences[0]).toBe('Its bags serve: 3 of 2K at minute 360; 2 of 2K at minute 1080.');
  expect(at(360)).toBe('2031-02-03T06:00');
});
