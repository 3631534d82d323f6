import { describe, expect, it } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { generate, loadOf } from './generate.ts';
import { REAL_UNITS, realUnit } from './realUnits.ts';

describe('real units', () => {
  it.each(REAL_UNITS)(
    '%i has no error fault, bags that last short, and one or two rare baths of four',
    (seed) => {
      const scenario = realUnit(seed);
      expect(realUnit(seed)).toEqual(scenario);
      expect(faultsOf(scenario).filter(({ level }) => level === 'error')).toEqual([]);
      const problem = compile(scenario);
      expect(scenario.patients.length).toBeGreaterThanOrEqual(20);
      expect(scenario.patients.length).toBeLessThanOrEqual(40);
      expect([24, 36, 48]).toContain(problem.rules.shelf / 60);
      expect([problem.machines.length, problem.horizon, problem.rules.circuitLife]).toEqual([3, 10080, 720]);
      const bags = demandOf(problem).bags.map((byRound) => byRound.reduce((sum, n) => sum + n, 0));
      const all = bags.reduce((sum, n) => sum + n, 0);
      const rare = bags.filter((n) => n < 0.1 * all).length;
      expect(bags).toHaveLength(4);
      expect([1, 2]).toContain(rare);
    },
  );
});

describe('generated scenarios', () => {
  it('are the same for the same options', () => {
    expect(generate({ seed: 4, kind: 'week', variety: 0.5 })).toEqual(
      generate({ seed: 4, kind: 'week', variety: 0.5 }),
    );
    expect(generate({ seed: 4 })).not.toEqual(generate({ seed: 5 }));
  });

  it('have no error fault, whatever the options', () => {
    for (let seed = 1; seed <= 24; seed++) {
      const timeZone = (['UTC', 'America/Chicago', 'Europe/Berlin', 'Australia/Lord_Howe'] as const)[
        seed % 4
      ]!;
      const kind = seed % 3 === 0 ? 'week' : 'tiny';
      const scenario = generate({
        seed,
        kind,
        timeZone,
        variety: (seed % 5) / 4,
        nightTechnicians: seed % 2,
      });
      expect(
        faultsOf(scenario).filter(({ level }) => level === 'error'),
        `seed ${seed}`,
      ).toEqual([]);
    }
  });

  it('have no error fault with the floor either, and use each of its fields', () => {
    const used = new Set<string>();
    for (let seed = 1; seed <= 24; seed++) {
      const timeZone = seed % 2 === 0 ? 'Europe/Berlin' : 'UTC';
      const kind = seed % 3 === 0 ? 'week' : 'tiny';
      const options = { seed, kind, timeZone, variety: 0.5, nightTechnicians: seed % 2 } as const;
      const scenario = generate({ ...options, floor: true });
      expect(faultsOf(scenario).filter(({ level }) => level === 'error')).toEqual([]);
      expect(generate({ ...options, floor: true })).toEqual(scenario);
      const { rules, machines, water, patients, duties } = compile(scenario);
      expect(duties.every(({ at }) => at.length > 0)).toBe(true);
      for (const [name, value] of Object.entries({ ...rules, ...rules.hands }))
        if (value) used.add(`${name} ${value}`);
      if (machines.some((one, m) => one.shortest > compile(generate(options)).machines[m]!.shortest))
        used.add('tolerance');
      if (water.some(({ capacities }) => capacities.length > 1)) used.add('capacities');
      if (patients.some(({ sessions }) => sessions)) used.add('sessions');
      if (duties.some(({ endsCircuit }) => endsCircuit)) used.add('endsCircuit');
      if (duties.some(({ voidsTests }) => voidsTests)) used.add('voidsTests');
    }
    expect([...used]).toEqual(
      expect.arrayContaining([
        'walkMinutes 2',
        'fillStartMinutes 2',
        'bath 2',
        'sampleBags 1',
        'releaseAfterTest true',
        ...['tolerance', 'capacities', 'sessions', 'endsCircuit', 'voidsTests'],
      ]),
    );
  });

  it('ask of the machines about the load that was asked for', () => {
    for (const load of [0.6, 0.8, 1, 1.2])
      for (const seed of [1, 2, 3])
        expect(loadOf(compile(generate({ seed, kind: 'week', load, variety: 0 })))).toBeCloseTo(load, 1);
  });

  it('take numbers of patients and machines as given', () => {
    const scenario = generate({ seed: 1, patients: 7, machines: 3, baths: 2, water: 2, days: 2 });
    expect([
      scenario.patients.length,
      scenario.machines.length,
      scenario.baths.length,
      scenario.water.length,
    ]).toEqual([7, 3, 2, 2]);
  });
});
