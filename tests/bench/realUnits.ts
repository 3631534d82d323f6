import { makeClock } from '../../src/calendar/clock.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { chanceOf } from '../../src/planner/search/chance.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { BATHS } from './generate.ts';

const START = '2031-02-03T07:00';
const ZONE = 'America/Chicago';
const MINUTES = 7 * 1440;
/** Seeds of those that are measured. */
export const REAL_UNITS = [5, 6, 7, 8];

/**
 * An invented unit as they are, drawn from a seed: 20 to 40 beds, four baths of which one or two are below a tenth of the
 * need, three machines, circuits of half a day, bags of 24 to 48 h; seven days.
 */
export function realUnit(seed: number): Scenario {
  const chance = chanceOf(seed).unit;
  const upTo = (n: number) => Math.floor(chance() * n);
  const oneOf = <T>(...list: readonly T[]): T => list[upTo(list.length)]!;
  const { localOf } = makeClock(ZONE, START);
  const shares = oneOf([0.61, 0.27, 0.06, 0.06], [0.46, 0.3, 0.18, 0.06], [0.5, 0.38, 0.07, 0.05]);
  const upToShare = shares.map((_, n) => shares.slice(0, n + 1).reduce((sum, share) => sum + share, 0));
  const bathOf = (drawn: number) =>
    BATHS[
      Math.max(
        0,
        upToShare.findIndex((sum) => sum > drawn),
      )
    ]!.id;
  const beds = 20 + upTo(21);
  const quarter = (minute: number) => localOf(Math.round(minute / 15) * 15);
  const patients: Scenario['patients'] = Array.from({ length: beds }, (_, i) => {
    const from = chance() < 0.25 ? upTo(MINUTES * 0.8) : null;
    const until = chance() < 0.2 ? (from ?? 0) + 1440 + upTo(MINUTES) : null;
    return {
      id: `bed-${String(i + 1).padStart(2, '0')}`,
      weight: 60 + upTo(50),
      dose: oneOf(20, 25, 25, 25, 30),
      fluidRemoval: oneOf(0, 50, 100, 100, 150),
      // Spread evenly over the shares, so that rare baths are there and stay rare.
      bath: bathOf((i + chance()) / beds),
      ...(from !== null && { from: quarter(from) }),
      ...(until !== null && until < MINUTES && { until: quarter(until) }),
      ...(chance() < 0.1 && {
        changes: [{ at: quarter(720 + upTo(MINUTES - 720)), bath: bathOf(chance()) }],
      }),
    };
  });
  const flow = oneOf(600, 700, 800);
  const scenario: Scenario = {
    format: 'bathtide-scenario',
    version: 1,
    title: `Invented unit of ${beds} beds, ${seed}`,
    timeZone: ZONE,
    start: START,
    days: 7,
    baths: BATHS,
    patients,
    machines: Array.from({ length: 3 }, (_, i) => ({
      id: `M${i + 1}`,
      flow,
      positions: i === 2 ? oneOf(8, 6, 4) : 8,
      water: 'RO',
    })),
    water: [{ id: 'RO', capacity: 3 * flow, testEvery: 240, testMinutes: 10, lastTest: null }],
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
    ],
    stock: [],
    deliveries: [],
    supplies: [],
    rules: { circuitHours: 12, shelfHours: oneOf(24, 36, 48) },
  };
  const problem = compile(scenario);
  const { bags } = demandOf(problem);
  // Bags for what hangs before the first fills can leave.
  const stock = BATHS.map(({ id }, b) => ({
    lot: `S-${b + 1}`,
    bath: id,
    bags: bags[b]![0]! + bags[b]![1]!,
    litres: 6.5,
    ready: null,
    expires: localOf(problem.rounds[2]!.to),
  }));
  return { ...scenario, stock: stock.filter((lot) => lot.bags > 0) };
}
