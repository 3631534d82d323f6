import { expectedConductivity, indistinguishable } from '../../chemistry/conductivity.ts';
import type { Quantity } from '../../record/judge/reading.ts';
import type { Limits } from '../../record/limits.ts';
import type { State } from '../../record/state.ts';
import type { Bath } from '../../scenario/schema.ts';
import { listText, numberText } from '../../words/numbers.ts';

/** One value on a control chart, with the limits that held for it. */
export interface ControlPoint {
  readonly entry: string;
  readonly at: number;
  readonly by: string;
  readonly bath: string | null;
  readonly value: number;
  /** What the composition or the prescription leads to expect; null: nothing is expected of it. */
  readonly expected: number | null;
  /** Both inclusive; null: it is not judged. */
  readonly low: number | null;
  readonly high: number | null;
  readonly within: boolean | null;
}
type Charted = Quantity | 'temperature';
/** Readings of one machine and quantity over time, in order. */
export interface ControlChart {
  readonly machine: string;
  readonly quantity: Charted;
  /** mS/cm, none for pH, mmol/L, °C. */
  readonly unit: string;
  readonly points: readonly ControlPoint[];
}
const UNITS: Readonly<Record<Charted, string>> = {
  conductivity: 'mS/cm',
  temperature: '°C',
  pH: '',
  potassium: 'mmol/L',
};

type Reading = State['readings'][number];

function pointOf(reading: Reading, quantity: Charted): ControlPoint[] {
  const { entry, at, by, bath, judged, measured } = reading;
  const value = measured[quantity];
  if (value === null) return [];
  const limits = judged.find((one) => one.quantity === quantity);
  const { low = null, high = null, within = null } = limits ?? {};
  // Of pH a range is set, nothing in its middle is aimed at.
  const aimed = quantity === 'conductivity' || quantity === 'potassium';
  const expected = aimed && low !== null && high !== null ? (low + high) / 2 : null;
  return [{ entry, at, by, bath, value, expected, low, high, within }];
}

/** A chart for each machine and quantity of which something was measured; what cannot be judged is drawn without limits. */
export const controlCharts = ({ machines, readings }: State): ControlChart[] =>
  machines.flatMap(({ id }) =>
    (Object.keys(UNITS) as Charted[]).flatMap((quantity): ControlChart[] => {
      const points = readings
        .filter(({ machine }) => machine === id)
        .flatMap((reading) => pointOf(reading, quantity))
        .sort((a, b) => a.at - b.at);
      return points.length > 0 ? [{ machine: id, quantity, unit: UNITS[quantity], points }] : [];
    }),
  );

/**
 * What a reading of conductivity within limits does not show, a sentence each: which baths it cannot tell apart, and of
 * which baths nothing can be expected.
 * @param temperature C, of the meter
 */
export function notShown(baths: readonly Bath[], limits: Limits, temperature = 25): string[] {
  const pairs = indistinguishable(baths, temperature, limits.conductivity);
  const unknown = baths.filter((bath) => expectedConductivity(bath, temperature) === null);
  const value = (id: string) => expectedConductivity(baths.find((bath) => bath.id === id)!, temperature)!;
  return [
    'Conductivity is the sum of all ions. It does not show potassium, calcium or magnesium, and no glucose.',
    ...pairs.map(([one, other]) => {
      const [low, high] = [value(one), value(other)].sort((a, b) => a - b) as [number, number];
      return `It cannot tell ${one} from ${other}: ${numberText(value(one), 2)} and ${numberText(value(other), 2)} mS/cm expected, ${numberText((100 * (high - low)) / high)} % apart. The limits are ${numberText(100 * limits.conductivity)} % either way.`;
    }),
    ...(unknown.length > 0
      ? [
          `Of ${listText(unknown.map(({ id }) => id))} no conductivity can be expected: sodium, chloride or bicarbonate is not typed.`,
        ]
      : []),
  ];
}
