import { makeClock } from '../../calendar/clock.ts';
import { decimal, multiply, places, scaled, toNumber, whole } from '../../exact/fraction.ts';
import type { Scenario } from '../schema.ts';
import { knownCourse } from './course.ts';
import { dutyOf } from './duties.ts';
import { type MachineGround, machineOf } from './machines.ts';
import { roundsOf } from './rounds.ts';
import { DEFAULT_HANDS, DEFAULT_RULES, doseMeansOf } from './rules.ts';
import { shiftBands } from './shifts.ts';
import { slackOf } from './slack.ts';
import { supplyOf } from './supplies.ts';
import { MINUTES_A_DAY, type Problem } from './types.ts';
import { waterOf } from './water.ts';

const MINUTE = whole(60);
const minutes = (hours: number): number => toNumber(multiply(decimal(hours), MINUTE));

/**
 * A scenario without error faults (see `faults/`) as numbers that the demand, the planner and the audit share.
 * Cheap enough to run on every keystroke.
 */
export function compile(scenario: Scenario): Problem {
  const clock = makeClock(scenario.timeZone, scenario.start);
  const horizon = scenario.days * MINUTES_A_DAY;
  const given = scenario.rules ?? {};
  const rule = (name: Exclude<keyof typeof DEFAULT_RULES, 'rounds' | 'releaseBy' | 'doseMeans'>): number =>
    given[name] ?? DEFAULT_RULES[name];
  const baths = scenario.baths.map((bath) => bath.id);
  const bathNumber = new Map(baths.map((id, index) => [id, index]));
  const waterNumber = new Map(scenario.water.map((source, index) => [source.id, index]));
  const fillLitres = rule('fillLitres');
  const lotRows = [
    ...(scenario.stock ?? []).map((row) => ({ row, origin: 'stock' as const })),
    ...(scenario.deliveries ?? []).map((row) => ({ row, origin: 'delivery' as const })),
  ];
  const partsPerLitre = 10 ** Math.max(places(fillLitres), ...lotRows.map(({ row }) => places(row.litres)));

  const ground: MachineGround = {
    clock,
    horizon,
    bathNumber,
    waterNumber,
    litres: { least: fillLitres, most: rule('maxLitres') },
    sampleBags: rule('sampleBags'),
  };
  const machines = scenario.machines.map((row) => machineOf(row, ground));

  const doseMeans = doseMeansOf(scenario);
  const courseKey = JSON.stringify([scenario.timeZone, scenario.start, horizon, baths, doseMeans]);
  const shifts = shiftBands(scenario.shifts, clock, horizon);
  const staff = new Int16Array(horizon);
  for (const { from, to, technicians } of shifts)
    for (let t = Math.max(0, from); t < Math.min(horizon, to); t++) staff[t]! += technicians;

  return {
    title: scenario.title,
    clock,
    horizon,
    baths,
    patients: scenario.patients.map((row) =>
      knownCourse(row, courseKey, { clock, bathNumber, horizon, doseMeans }),
    ),
    machines,
    water: scenario.water.map((row) => waterOf(row, clock)),
    shifts,
    staff,
    lots: lotRows.map(({ row, origin }) => ({
      id: row.lot,
      origin,
      bath: bathNumber.get(row.bath)!,
      bags: row.bags,
      bagParts: scaled(row.litres, partsPerLitre),
      ready: row.ready ? clock.minuteOf(row.ready) : Number.NEGATIVE_INFINITY,
      expires: row.expires ? clock.minuteOf(row.expires) : Number.POSITIVE_INFINITY,
    })),
    supplies: (scenario.supplies ?? []).map((row) => supplyOf(row, machines, clock, bathNumber)),
    rounds: roundsOf(given.rounds ?? DEFAULT_RULES.rounds, rule('leadMinutes'), clock, horizon),
    rules: {
      bagMl: multiply(decimal(fillLitres), whole(1000)),
      fillLitres,
      maxLitres: rule('maxLitres'),
      circuitLife: minutes(rule('circuitHours')),
      shelf: minutes(rule('shelfHours')),
      bathMinutes: rule('stabiliseMinutes') + rule('sampleMinutes'),
      stabiliseMinutes: rule('stabiliseMinutes'),
      sampleMinutes: rule('sampleMinutes'),
      swapMinutes: rule('swapMinutes'),
      circuitMinutes: rule('circuitMinutes'),
      releaseMinutes: rule('releaseMinutes'),
      leadMinutes: rule('leadMinutes'),
      maxHang: multiply(decimal(rule('maxHangHours')), MINUTE),
      walkMinutes: rule('walkMinutes'),
      fillStartMinutes: rule('fillStartMinutes'),
      hands: {
        circuit: given.hands?.circuit ?? DEFAULT_HANDS.circuit,
        bath: given.hands?.bath ?? DEFAULT_HANDS.bath,
        swap: given.hands?.swap ?? DEFAULT_HANDS.swap,
        test: given.hands?.test ?? DEFAULT_HANDS.test,
      },
      sampleBags: rule('sampleBags'),
      releaseAfterTest: given.releaseAfterTest ?? false,
      doseMeans,
    },
    partsPerLitre,
    bagParts: scaled(fillLitres, partsPerLitre),
    reserve: baths.map((id) => given.reserve?.[id] ?? 0),
    minStock: baths.map((id) => given.minStock?.[id] ?? 0),
    duties: (scenario.duties ?? []).map((row) => dutyOf(row, scenario, clock, horizon)),
    now: 0,
    dueNow: null,
    lost: scenario.lost ?? [],
    slack: slackOf(scenario),
  };
}
