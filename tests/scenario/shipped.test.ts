import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { readScenario } from '../../src/scenario/read.ts';
import { loadOf } from '../bench/generate.ts';

function scenarioOf(name: string) {
  const read = readScenario(readFileSync(new URL(`../../scenarios/${name}.json`, import.meta.url), 'utf8'));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  return read.scenario;
}
const problemOf = (name: string) => compile(scenarioOf(name));

describe('the scenarios of this project', () => {
  it('first-look needs 31 bags, counted by hand', () => {
    // 104 kg x 25 mL/kg/h = 2.6 L/h, a bag each 150 min for 48 h: 20. 80 x 25 - 50 = 1.95 L/h, each 200 min for 36 h: 11.
    const { hangs, bags } = demandOf(problemOf('first-look'));
    expect(hangs.map((list) => list.length)).toEqual([20, 11]);
    expect(bags).toEqual([[9, 9, 8, 5]]);
  });

  it.each(['calm-week', 'surge-week', 'shortage-week', 'crisis'])(
    '%s is a floor as it is, and invented',
    (name) => {
      const { title, baths, rules, machines, shifts, ...lists } = scenarioOf(name);
      const [duties, supplies] = [lists.duties ?? [], lists.supplies ?? []];
      expect(title).toContain('(invented)');
      // Published tests of stored fluid end at 48 h: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1.
      expect(rules?.shelfHours).toBe(48);
      // A patient of 82 kg at 25 mL/kg/h, 100 mL/h of them removed, uses 7.2 bags of 6.5 L a day.
      expect(rules?.minStock).toEqual(Object.fromEntries(baths.map(({ id }) => [id, 8])));
      expect(rules).toMatchObject({ walkMinutes: 2, fillStartMinutes: 2 });
      expect(machines.filter(({ flowTolerance }) => !flowTolerance)).toEqual([]);
      const technicians = shifts.reduce((sum, shift) => sum + shift.technicians, 0);
      expect(duties.filter(({ place }) => place === undefined)).toHaveLength(technicians);
      expect(duties.some(({ voidsTests }) => voidsTests)).toBe(true);
      // Of 45 parts 1 is acid and 1.72 bicarbonate: ANSI/AAMI/ISO 13958, annex on concentrate types (from memory).
      expect(supplies.find(({ item }) => item === 'bicarbonate (L)')?.perLitre).toBeCloseTo(1.72 / 45, 5);
      for (const { item, perLitre } of supplies)
        if (item.startsWith('acid')) expect(perLitre).toBeCloseTo(1 / 45, 5);
    },
  );

  it('surge-week and crisis load the machines heavily, but not beyond what they can make', () => {
    for (const name of ['surge-week', 'crisis']) {
      const load = loadOf(problemOf(name));
      expect(load, name).toBeGreaterThan(0.72);
      expect(load, name).toBeLessThan(0.9);
    }
    expect(loadOf(problemOf('calm-week'))).toBeLessThan(0.7);
  });

  it('shortage-week cannot be covered: the circuits on hand make too few bags until more are delivered', () => {
    const problem = problemOf('shortage-week');
    const circuits = problem.supplies.find(({ item }) => item === 'circuit')!;
    const { at: more } = circuits.deliveries[0]!;
    const { swapMinutes, circuitMinutes, circuitLife } = problem.rules;
    // At best each circuit runs its whole life on the fastest machine, and so does what is left of those in place.
    const most = (life: number) =>
      Math.max(...problem.machines.map((m) => Math.floor(life / (m.shortest + swapMinutes)) * m.positions));
    const inPlace = problem.machines.reduce(
      (sum, { loaded }) => sum + (loaded ? most(circuitLife + loaded.since) : 0),
      0,
    );
    const made = (circuits.onHand / circuits.scale) * most(circuitLife - circuitMinutes) + inPlace;
    const there = problem.lots
      .filter(({ ready }) => ready < more)
      .reduce((sum, { bags, bagParts }) => sum + (bags * bagParts) / problem.bagParts, 0);
    const { bags } = demandOf(problem);
    const before = problem.rounds.filter((round) => round.at < more);
    const needed = bags.reduce(
      (sum, byRound) => sum + before.reduce((all, { index }) => all + byRound[index]!, 0),
      0,
    );
    expect(needed - made - there).toBeGreaterThan(100);
  });
});
