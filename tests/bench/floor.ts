import { demandOf } from '../../src/demand/demand.ts';
import { chanceOf } from '../../src/planner/search/chance.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { fillWindow } from '../../src/scenario/problem/machines.ts';
import { DEFAULT_RULES } from '../../src/scenario/problem/rules.ts';
import type { DutyRow, Scenario } from '../../src/scenario/schema.ts';

type Chance = () => number;

/** Breaks of a day and a night, a daily disinfection of each machine, sampling of each source on one date. */
function dutiesOf({ machines, water, start, shifts }: Scenario, chance: Chance): DutyRow[] {
  const upTo = (n: number) => Math.floor(chance() * n);
  const two = (n: number) => String(n).padStart(2, '0');
  return [
    { id: 'midday break', times: ['12:00'], minutes: 30, slackMinutes: 90, technicians: 1 },
    // Where somebody works at night.
    ...(shifts.length > 1
      ? [{ id: 'night break', times: ['01:00'], minutes: 30, slackMinutes: 120, technicians: 1 }]
      : []),
    // One after the other, so that they need not all be done at once.
    ...machines.map(({ id }, index) => ({
      id: `disinfect ${id}`,
      place: id,
      times: [`${two(2 + (index % 4))}:${two(10 * upTo(6))}`],
      minutes: 30 + 15 * upTo(2),
      slackMinutes: 90,
      flow: upTo(2) * 300,
      endsCircuit: chance() < 0.3,
    })),
    ...water.map(({ id }) => ({
      id: `sample ${id}`,
      place: id,
      times: ['10:00'],
      dates: [start.slice(0, 10)],
      minutes: 10,
      slackMinutes: 240,
      technicians: 1,
      voidsTests: chance() < 0.3,
    })),
  ];
}

/** A tolerance under which a fill still has a whole minute to end in: a machine without one fills nothing. */
function toleranceFor(
  row: Scenario['machines'][number],
  rules: NonNullable<Scenario['rules']>,
  chance: Chance,
) {
  const litres = {
    least: rules.fillLitres ?? DEFAULT_RULES.fillLitres,
    most: rules.maxLitres ?? DEFAULT_RULES.maxLitres,
  };
  const wanted = [0.02, 0.03, 0.05][Math.floor(chance() * 3)]!;
  const fits = [wanted, 0.02, 0.01, 0].find((flowTolerance) => {
    const { shortest, longest } = fillWindow({ ...row, flowTolerance }, litres);
    return shortest <= longest;
  });
  return fits ?? 0;
}

/** The same invented scenario with the optional fields of the floor, drawn from the seed. */
export function withFloor(scenario: Scenario, seed: number): Scenario {
  const chance = chanceOf(seed + 7_000_000).unit;
  const rules = scenario.rules ?? {};
  const { bags } = demandOf(compile(scenario));
  const rounds = bags[0]!.length;
  const mean = (byRound: readonly number[]) => byRound.reduce((a, b) => a + b, 0) / rounds;
  return {
    ...scenario,
    title: `${scenario.title}, floor`,
    patients: scenario.patients.map((row, index) => {
      const ward = `ICU-${1 + (index % 3)}`;
      if (chance() >= 0.15) return { ...row, ward };
      const { hoursPerDay: _, changes, ...rest } = row;
      const session = { start: '08:00', hours: [8, 10, 12.5][Math.floor(chance() * 3)]! };
      return {
        ...rest,
        ward,
        session,
        ...(changes && { changes: changes.map(({ hoursPerDay: __, ...change }) => change) }),
      };
    }),
    machines: scenario.machines.map((row) => ({ ...row, flowTolerance: toleranceFor(row, rules, chance) })),
    water: scenario.water.map((row) => ({
      ...row,
      ...(chance() < 0.3 && {
        capacityChanges: [{ at: `${scenario.start.slice(0, 10)}T20:00`, capacity: row.capacity * 0.75 }],
      }),
    })),
    duties: dutiesOf(scenario, chance),
    rules: {
      ...rules,
      walkMinutes: 1 + Math.floor(chance() * 2),
      fillStartMinutes: Math.floor(chance() * 3),
      hands: { bath: chance() < 0.2 ? 2 : 1 },
      sampleBags: chance() < 0.3 ? 1 : 0,
      releaseAfterTest: chance() < 0.25,
      minStock: Object.fromEntries(scenario.baths.map(({ id }, b) => [id, Math.round(mean(bags[b]!) / 2)])),
    },
  };
}
