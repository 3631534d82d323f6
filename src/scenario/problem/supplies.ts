import type { Clock } from '../../calendar/clock.ts';
import { decimal, divide, floor, multiply, places, scaled, whole } from '../../exact/fraction.ts';
import type { Scenario } from '../schema.ts';
import type { Machine, Supply } from './types.ts';

export function supplyOf(
  row: NonNullable<Scenario['supplies']>[number],
  machines: readonly Machine[],
  clock: Clock,
  bathNumber: ReadonlyMap<string, number>,
): Supply {
  const flowPlaces = Math.max(0, ...machines.map((machine) => places(machine.flow)));
  const used = [row.onHand, row.perCircuit ?? 0, row.perFill ?? 0];
  const delivered = row.deliveries ?? [];
  const exponent = Math.max(
    ...used.map(places),
    ...delivered.map((d) => places(d.quantity)),
    row.perLitre ? places(row.perLitre) + flowPlaces + 3 : 0,
  );
  const scale = 10 ** exponent;
  return {
    item: row.item,
    scale,
    onHand: scaled(row.onHand, scale),
    perCircuit: scaled(row.perCircuit ?? 0, scale),
    perFill: scaled(row.perFill ?? 0, scale),
    perMinute: machines.map(({ flow }) => {
      const litres = divide(decimal(flow), whole(1000));
      return floor(multiply(multiply(decimal(row.perLitre ?? 0), litres), whole(scale)));
    }),
    bath: row.bath == null ? null : bathNumber.get(row.bath)!,
    deliveries: delivered
      .map((d) => ({ at: clock.minuteOf(d.at), quantity: scaled(d.quantity, scale) }))
      .sort((a, b) => a.at - b.at),
  };
}
