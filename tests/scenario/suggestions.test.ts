import { describe, expect, it } from 'vitest';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { readScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { declining, suggestionsFor } from '../../src/scenario/suggestions.ts';
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
  it('is shelf life, stock, tolerance, breaks and disinfection; nothing once it is there', () => {
    expect(ids(world())).toEqual([
      'shelf life',
      'minimum stock',
      'flow tolerance',
      'breaks',
      'machine disinfection',
      'water disinfection',
    ]);
    expect(ids(taken(world()))).toEqual([]);
    expect(ids(tinyWorld({ machines: [], shifts: [], water: [] }))).toEqual(['shelf life']);
  });
  it('is not suggested again once it is declined; the rest is', () => {
    const declined = declining(declining(world(), 'breaks'), 'shelf life');
    expect(ids(declined)).toEqual([
      'minimum stock',
      'flow tolerance',
      'machine disinfection',
      'water disinfection',
    ]);
    // Declined stays declined in the file.
    const again = readScenario(JSON.stringify(declined));
    expect(again.ok && ids(again.scenario)).toEqual(ids(declined));
  });
  it('asks for the shelf life and names where published tests end', () => {
    const [asked] = suggestionsFor(world());
    expect(asked!.why).toContain('end at 48 h');
    // BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1: sampled at about 24 and 48 h.
    expect(asked!.preview.join()).toContain('10.1186/s12882-023-03260-9');
    expect(taken(world()).rules!.shelfHours).toBe(48);
    expect(ids(world({ rules: { shelfHours: 120 } }))).not.toContain('shelf life');
  });
  it('shows before it is added what would stand in the sheets', () => {
    const shown = new Map(suggestionsFor(world()).map(({ id, preview }) => [id, preview]));
    expect(shown.get('minimum stock')).toEqual(['Minimum stock of 2K: 8 bags.']);
    // 8 bags of 6.5 to 7.5 L at 800 mL/min: 65 to 75 min, with 0.05 69 to 71 min.
    expect(shown.get('flow tolerance')).toEqual([
      'M1: flow tolerance 0.05; a fill takes 69 to 71 min instead of 65 to 75 min.',
    ]);
    expect(shown.get('breaks')![0]).toBe(
      'Break day 1: every day, due at 12:00, takes 30 min, may begin up to 90 min later, 1 technician.',
    );
    for (const one of suggestionsFor(world())) {
      const rows = one.apply(world()).duties ?? [];
      if (rows.length > 0) expect(one.preview).toHaveLength(rows.length);
    }
  });
  it('gives a duty a name that no other one has', () => {
    const both = world({
      water: [{ ...world().water[0]!, id: 'M1' }],
      machines: [{ ...world().machines[0]!, water: 'M1' }],
    });
    const names = taken(both).duties!.map(({ id }) => id);
    expect(new Set(names).size).toBe(names.length);
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
