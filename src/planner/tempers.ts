import type { Demand } from '../demand/demand.ts';
import type { Problem } from '../scenario/problem.ts';
import type { Temper } from './deciders.ts';

const EVER = Number.POSITIVE_INFINITY;
const PATIENCE = [120, 30, 240, 480, 900];
const RENEW = 840;
/** Machines are tried in steps that leave about so many numbers of them for one order. */
const STEPS = 5;

const range = (length: number) => Array.from({ length }, (_, n) => n);

/**
 * Orders in which machines are taken when not all are: by source one way or the other, since a source at rest needs no
 * tests; those that make most on a circuit first; those that make most between two swaps.
 */
function ordersOf({ machines, rules }: Problem): number[][] {
  const rate = machines.map(({ positions, shortest }) => positions / (shortest + rules.swapMinutes));
  const weights: ((m: number) => number)[] = [
    (m) => machines[m]!.water,
    (m) => -machines[m]!.water,
    (m) => -rate[m]!,
    (m) => -machines[m]!.positions - rate[m]!,
  ];
  return weights.map((weight) => range(machines.length).sort((a, b) => weight(a) - weight(b)));
}

/** Tempers to begin with: how soon to change baths, on all machines, or on about as many as the need keeps busy. */
export function firstTempers(problem: Problem, demand: Demand): Temper[] {
  const { machines, rules, horizon, bagParts } = problem;
  const all = machines.map(() => true);
  const patient = PATIENCE.map((patience): Temper => ({ patience, rest: EVER, early: 0, uses: all }));
  const early = [120, 480].map((patience): Temper => ({ patience, rest: EVER, early: RENEW, uses: all }));
  const parts = demand.bags.flat().reduce((sum, bags) => sum + bags * bagParts, 0);
  const fewer = ordersOf(problem).flatMap((order) => {
    let share = 0;
    const enough = order.flatMap((m, n) => {
      const { positions, shortest } = machines[m]!;
      share += (horizon * positions * bagParts) / (shortest + rules.swapMinutes) / parts;
      return n + 1 < machines.length && share >= 0.85 && share <= 1.6 ? [n + 1] : [];
    });
    const step = Math.max(1, Math.round(enough.length / STEPS));
    return enough
      .filter((_, k) => k % step === 0)
      .map((n): Temper => {
        const used = new Set(order.slice(0, n));
        return {
          patience: 240,
          rest: EVER,
          early: 0,
          uses: machines.map((_, m) => used.has(m)),
        };
      });
  });
  return [patient[0]!, ...early, ...fewer, ...patient.slice(1)];
}

/** The same temper on one or two machines more or less. */
export function machinesNear(problem: Problem, temper: Temper): Temper[] {
  return ordersOf(problem).flatMap((order) => {
    const out = order.filter((m) => !temper.uses[m]);
    const last = order.filter((m) => temper.uses[m]).reverse();
    return [out.slice(0, 1), out.slice(0, 2), last.slice(0, 1), last.slice(0, 2)]
      .filter((turned) => turned.length > 0 && turned.length < problem.machines.length)
      .map((turned) => ({
        ...temper,
        uses: temper.uses.map((used, m) => used !== turned.includes(m)),
      }));
  });
}

/** Other tempers on the same machines. */
export function tempersNear(temper: Temper): Temper[] {
  return [
    ...PATIENCE.map((patience) => ({ ...temper, patience })),
    { ...temper, early: RENEW },
    ...[2160, 1080, 480].map((rest) => ({ ...temper, rest })),
  ];
}
