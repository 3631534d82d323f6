import type { Problem } from '../../scenario/problem/types.ts';

/** How the rule of thumb weighs a change of bath, a new circuit and a rest. */
export interface Temper {
  /** Another bath is taken when it can wait no longer than this, min ... */
  readonly patience: number;
  /** ... and, before the circuit ends, only when it can wait for so much less than the one that runs, min. By machine. */
  readonly loyal: readonly number[];
  /** No new circuit as long as every bath can wait for this, min. By machine. */
  readonly rest: readonly number[];
  /** A circuit with less life left than this, min, is replaced while more staff is on than when it would end. By machine. */
  readonly early: readonly number[];
  /** Added to how long a bath can wait, min. By bath. */
  readonly bias: readonly number[];
  /** New circuits are taken no faster than the supply lasts to the end, but for so many at first. */
  readonly pace: number;
  /** Whether each machine is used at all. */
  readonly uses: readonly boolean[];
}

/** New circuits that the supplies last for, all deliveries included; infinity where no supply of them is told. */
export function circuitsThere({ supplies }: Problem): number {
  const counts = supplies
    .filter(({ perCircuit }) => perCircuit > 0)
    .map(({ onHand, deliveries, perCircuit }) =>
      Math.floor(deliveries.reduce((sum, { quantity }) => sum + quantity, onHand) / perCircuit),
    );
  return Math.min(Number.POSITIVE_INFINITY, ...counts);
}

/** Changes baths when one can wait no longer than `patience`, on all machines, without rests. */
export function plainTemper({ machines, baths }: Problem, patience: number): Temper {
  return {
    patience,
    loyal: machines.map(() => 0),
    rest: machines.map(() => Number.POSITIVE_INFINITY),
    early: machines.map(() => 0),
    bias: baths.map(() => 0),
    pace: Number.POSITIVE_INFINITY,
    uses: machines.map(() => true),
  };
}
