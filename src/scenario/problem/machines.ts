import type { Clock } from '../../calendar/clock.ts';
import {
  add,
  ceil,
  decimal,
  divide,
  type Fraction,
  floor,
  multiply,
  subtract,
  whole,
} from '../../exact/fraction.ts';
import type { MachineRow } from '../schema.ts';
import type { Machine } from './types.ts';

const ONE = whole(1);

/**
 * The whole minutes that a fill may last (M13): at the slowest flow each bag holds what it must, at the quickest no more than
 * it may. Check (common practice, no source): 8 bags, 6.5 to 7.5 L, 800 mL/min: 65 to 75 min; a tolerance of 0.05: 69 to 71.
 * @param machine flow mL/min; flowTolerance share of the flow, 0 where absent
 * @param litres what a bag must and may hold, L
 */
export function fillWindow(
  { flow, positions, flowTolerance }: Pick<MachineRow, 'flow' | 'positions' | 'flowTolerance'>,
  { least, most }: { readonly least: number; readonly most: number },
): { readonly shortest: number; readonly longest: number } {
  const tolerance = decimal(flowTolerance ?? 0);
  const minutesFor = (litres: number, share: Fraction) =>
    divide(multiply(whole(1000 * positions), decimal(litres)), multiply(decimal(flow), share));
  return {
    shortest: ceil(minutesFor(least, subtract(ONE, tolerance))),
    longest: floor(minutesFor(most, add(ONE, tolerance))),
  };
}

/** What the rows of all machines are read against. */
export interface MachineGround {
  readonly clock: Clock;
  /** min */
  readonly horizon: number;
  readonly bathNumber: ReadonlyMap<string, number>;
  readonly waterNumber: ReadonlyMap<string, number>;
  /** What a bag must and may hold, L. */
  readonly litres: { readonly least: number; readonly most: number };
  readonly sampleBags: number;
}

export function machineOf(row: MachineRow, ground: MachineGround): Machine {
  const { clock, horizon, bathNumber, waterNumber, litres, sampleBags } = ground;
  const windows = row.available
    ? row.available.map(({ from, to }) => ({
        from: Math.max(0, clock.minuteOf(from)),
        to: Math.min(horizon, clock.minuteOf(to)),
      }))
    : [{ from: 0, to: horizon }];
  return {
    id: row.id,
    flow: row.flow,
    positions: row.positions,
    usable: row.positions - sampleBags,
    baths: row.baths ? row.baths.map((id) => bathNumber.get(id)!) : [...bathNumber.values()],
    water: waterNumber.get(row.water)!,
    windows: windows.filter(({ from, to }) => to > from).sort((a, b) => a.from - b.from),
    loaded: row.loaded
      ? { bath: bathNumber.get(row.loaded.bath)!, since: clock.minuteOf(row.loaded.circuitSince) }
      : null,
    ...fillWindow(row, litres),
  };
}
