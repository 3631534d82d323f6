import { describe, expect, it } from 'vitest';
import { planInUse, withPlanInUse } from '../../src/scenario/inUse.ts';
import { readScenario, writeScenario } from '../../src/scenario/read.ts';
import { batch, circuit, tinyWorld, test as waterTest } from '../world.ts';

const activities = [waterTest(0), circuit(10), ...batch(40)];
const START = tinyWorld().start;
const kept = withPlanInUse(tinyWorld(), { start: START, now: '2031-02-03T02:00', activities });

describe('the plan in use that a file keeps', () => {
  it('comes back from the file as it was, and goes without a trace', () => {
    const read = readScenario(writeScenario(kept));
    if (!read.ok) throw new Error(read.faults[0]!.message);
    expect(planInUse(read.scenario)).toEqual({ start: START, now: '2031-02-03T02:00', activities });
    expect(withPlanInUse(read.scenario, null)).toEqual(tinyWorld());
    expect(planInUse(tinyWorld())).toBeNull();
  });

  it.each([
    ['a time that is none', { start: START, now: '2031-02-30T02:00', activities }],
    [
      'an activity of another kind',
      { start: START, now: '2031-02-03T02:00', activities: [{ ...circuit(0), kind: 'rinse' }] },
    ],
    [
      'a fill without a bath',
      { start: START, now: '2031-02-03T02:00', activities: [{ ...circuit(0), bath: undefined }] },
    ],
    [
      'a test without a source',
      { start: START, now: '2031-02-03T02:00', activities: [{ ...waterTest(0), water: '' }] },
    ],
    [
      'a start that is not the scenario’s',
      { start: '2031-02-03T01:00', now: '2031-02-03T02:00', activities },
    ],
    [
      'half a minute',
      { start: START, now: '2031-02-03T02:00', activities: [{ ...waterTest(0), start: 0.5 }] },
    ],
    [
      'an end before the start',
      { start: START, now: '2031-02-03T02:00', activities: [{ ...waterTest(9), end: 9 }] },
    ],
  ])('is not trusted with %s: a warning, and a new plan', (_, inUse) => {
    const scenario = { ...tinyWorld(), inUse };
    expect(planInUse(scenario)).toBe('broken');
    const read = readScenario(writeScenario(scenario));
    const told = read.ok ? read.warnings.filter(({ path }) => path[0] === 'inUse') : [];
    expect(told.map(({ path, message }) => `${path}: ${message}`)).toEqual([
      'inUse: the plan in use cannot be read; a new plan is made, and what was done is not known',
    ]);
  });
});
