import { demandOf } from '../../src/demand/demand.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { generate } from '../bench/generate.ts';

/** An invented site and the number of machines it has. */
interface Site {
  readonly scenario: Scenario;
  readonly own: number;
}

/** Water that feeds about so much of all machines at once, the thirstiest at least. */
const WATER_SHARES = [0.4, 0.5, 0.6, 0.75];

/** Stock for what hangs before the first fills can leave: what is short then needs no model. */
function stockedFor(scenario: Scenario): Scenario {
  const { bags } = demandOf(compile(scenario));
  return {
    ...scenario,
    stock: (scenario.stock ?? []).map((lot, bath) => ({
      ...lot,
      bags: Math.max(lot.bags, Math.ceil(1.3 * (bags[bath]![0]! + bags[bath]![1]!))),
    })),
  };
}

/** A site of three days whose one water source cannot feed all its machines at once. */
export function scarceSite(seed: number): Site {
  const own = 3 + (seed % 3);
  const share = WATER_SHARES[seed % WATER_SHARES.length]!;
  const scenario = stockedFor(
    generate({
      seed,
      kind: 'week',
      days: 3,
      machines: own,
      dayTechnicians: 2 + (seed % 2),
      nightTechnicians: 1 + (seed % 2),
      load: share * (0.5 + (seed % 5) * 0.12),
      variety: 0.25,
      water: 1,
    }),
  );
  const flows = scenario.machines.map(({ flow }) => flow);
  const all = flows.reduce((sum, flow) => sum + flow, 0);
  return {
    own,
    scenario: {
      ...scenario,
      water: scenario.water.map((source) => ({
        ...source,
        capacity: Math.max(...flows, 50 * Math.round((share * all) / 50)),
      })),
      supplies: seed % 2 ? [] : (scenario.supplies ?? []),
      forecast: { listed: 'by stay', days: scenario.days, absence: 0.05 },
    },
  };
}

/** A small site over thirty days. */
export function monthSite(seed: number): Site {
  const own = 2 + (seed % 2);
  const scenario = stockedFor(
    generate({
      seed,
      kind: 'week',
      days: 30,
      machines: own,
      dayTechnicians: 2,
      nightTechnicians: 1 + (seed % 2),
      load: 0.3 + (seed % 6) * 0.08,
      variety: 0.25,
      water: 1,
    }),
  );
  return {
    own,
    scenario: {
      ...scenario,
      supplies: seed % 2 ? [] : (scenario.supplies ?? []),
      forecast: {
        listed: 'by stay',
        days: scenario.days,
        absence: 0.05,
        breakdowns: { daysBetween: 30, hoursToRepair: 12 },
      },
    },
  };
}
