import { describe, expect, it } from 'vitest';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { suggestionsFor } from '../../src/scenario/suggestions.ts';
import { generate } from '../bench/generate.ts';
import { tinyWorld } from '../world.ts';

const world = (changes: Partial<Scenario> = {}) =>
  tinyWorld({
    // 82 kg x 25 mL/kg/h - 100 mL/h = 1.95 L/h: 46.8 L a day, 7.2 bags of 6.5 L. Counted by hand.
    patients: [{ id: 'bed-04', weight: 82, dose: 25, fluidRemoval: 100, bath: '2K' }],
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
    ],
    ...changes,
  });
const ids = (scenario: Scenario) => suggestionsFor(scenario).map(({ id }) => id);
const taken = (scenario: Scenario) =>
  suggestionsFor(scenario).reduce((now, { apply }) => apply(now), scenario);

describe('what a scenario may want', () => {
  it('is stock, tolerance, breaks and disinfection; nothing once it is there', () => {
    expect(ids(world())).toEqual(['minimum stock', 'flow tolerance', 'breaks', 'disinfection']);
    expect(ids(taken(world()))).toEqual([]);
    expect(ids(tinyWorld({ machines: [], shifts: [] }))).toEqual([]);
  });
  it('leaves the scenario as it is until it is taken', () => {
    const before = world();
    const copy = structuredClone(before);
    suggestionsFor(before)[0]!.apply(before);
    expect(before).toEqual(copy);
  });
  it('keeps one patient-day of each bath that is prescribed', () => {
    expect(taken(world()).rules!.minStock).toEqual({ '2K': 8 });
  });
  it('leaves each fill a window: 69 to 71 min for 8 bags at 800 mL/min', () => {
    expect(compile(taken(world())).machines[0]).toMatchObject({ shortest: 69, longest: 71 });
  });
  it('gives each technician a break in the middle of the shift, past midnight too', () => {
    const breaks = taken(world()).duties!.filter(({ place }) => place == null);
    expect(breaks.map(({ id, times }) => `${id} ${times[0]}`)).toEqual([
      'Break day 1 12:00',
      'Break day 2 12:30',
      'Break night 00:00',
    ]);
    const dated = world({
      shifts: [{ id: 'n', from: '19:00', to: '07:00', technicians: 1, dates: ['2031-02-03'] }],
    });
    expect(taken(dated).duties![0]!.dates).toEqual(['2031-02-04']);
  });
  it('says what and why in a sentence each, without a fault once taken', () => {
    for (const scenario of [world(), ...[1, 2, 3].map((seed) => generate({ seed, kind: 'week' }))]) {
      for (const { what, why } of suggestionsFor(scenario)) {
        expect(`${what} ${why}`).toMatch(/^[A-Z][^.]*(\d\.\d[^.]*)*\. [A-Z][^.]*\.$/);
        expect(why.split(' ').length).toBeLessThanOrEqual(20);
      }
      expect(faultsOf(taken(scenario)).filter(({ level }) => level === 'error')).toEqual([]);
    }
  });
});
