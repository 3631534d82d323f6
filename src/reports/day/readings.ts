import type { Quantity } from '../../record/judge/reading.ts';
import type { State } from '../../record/state.ts';

/** One value on a control chart, with the limits that held for it. */
interface ControlPoint {
  readonly entry: string;
  readonly at: number;
  readonly by: string;
  readonly bath: string | null;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly within: boolean;
}
/** Readings of one machine and quantity over time, in order. */
interface ControlChart {
  readonly machine: string;
  readonly quantity: Quantity;
  /** mS/cm, none for pH, mmol/L. */
  readonly unit: string;
  readonly points: readonly ControlPoint[];
}
const UNITS: Readonly<Record<Quantity, string>> = { conductivity: 'mS/cm', pH: '', potassium: 'mmol/L' };

/** A chart for each machine and quantity of which something was measured and judged. */
export const controlCharts = ({ machines, readings }: State): ControlChart[] =>
  machines.flatMap(({ id }) =>
    (Object.keys(UNITS) as Quantity[]).flatMap((quantity): ControlChart[] => {
      const points = readings
        .filter(({ machine }) => machine === id)
        .flatMap(({ entry, at, by, bath, judged }) =>
          judged
            .filter((one) => one.quantity === quantity)
            .map(({ value, low, high, within }) => ({ entry, at, by, bath, value, low, high, within })),
        )
        .sort((a, b) => a.at - b.at);
      return points.length > 0 ? [{ machine: id, quantity, unit: UNITS[quantity], points }] : [];
    }),
  );
