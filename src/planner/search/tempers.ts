import type { Demand } from '../../demand/demand.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { circuitsThere, plainTemper, type Temper } from '../schedule/temper.ts';
import type { Chance } from './chance.ts';

const EVER = Number.POSITIVE_INFINITY;
/** What is tried first, and what near a temper; all in minutes. */
const PATIENCE = [120, 30, 240, 480, 900];
const LOYAL = [120, 360, 720, 1440];
const LOYAL_NEAR = [0, 60, 120, 180, 240, 360, 480, 600, 720, 960, 1440];
const EARLY = 840;
const EARLY_NEAR = [0, 360, 600, EARLY, 1080];
const REST_NEAR = [2160, 1080, 480];
const REST_OF_ONE = [EVER, EVER, 2160, 1080, 480, 240, 120, 60];
const MOST_PACES = 6;
const LOYAL_PACED = [0, 720];
/** Machines are tried in steps that leave about so many numbers of them for one order. */
const STEPS = 5;

const range = (length: number) => Array.from({ length }, (_, n) => n);

/**
 * Orders in which machines are taken when not all are: by source one way or the other, since a source at rest needs no
 * tests; those that make most on a circuit first; those that make most between two swaps.
 */
function ordersOf({ machines, rules }: Problem): number[][] {
  const rate = machines.map(({ usable, shortest }) => usable / (shortest + rules.swapMinutes));
  const weights: ((m: number) => number)[] = [
    (m) => machines[m]!.water,
    (m) => -machines[m]!.water,
    (m) => -rate[m]!,
    (m) => -machines[m]!.usable - rate[m]!,
  ];
  return weights.map((weight) => range(machines.length).sort((a, b) => weight(a) - weight(b)));
}

/** Paces that make a difference: with circuits for all machines all the time there are none. */
function pacesOf(problem: Problem): number[] {
  const { machines, horizon, rules } = problem;
  const scarce = circuitsThere(problem) < machines.length * Math.ceil(horizon / rules.circuitLife);
  return scarce ? range(Math.min(MOST_PACES, machines.length)).map((n) => n + 1) : [];
}

/** Tempers to begin with: how soon to change baths, on all machines, or on about as many as the need keeps busy. */
export function firstTempers(problem: Problem, demand: Demand): Temper[] {
  const { machines, rules, horizon, bagParts } = problem;
  const each = (value: number) => machines.map(() => value);
  const patient = PATIENCE.map((patience) => plainTemper(problem, patience));
  const early = [120, 480].map((patience) => ({ ...plainTemper(problem, patience), early: each(EARLY) }));
  const loyal = LOYAL.flatMap((minutes) =>
    [0, EARLY].map((renew) => ({ ...patient[0]!, loyal: each(minutes), early: each(renew) })),
  );
  const parts = demand.bags.flat().reduce((sum, bags) => sum + bags * bagParts, 0);
  const kept = (circuitsThere(problem) * rules.circuitLife) / horizon;
  const fewer = ordersOf(problem).flatMap((order) => {
    let share = 0;
    const enough = order.flatMap((m, n) => {
      const { usable, shortest } = machines[m]!;
      share += (horizon * usable * bagParts) / (shortest + rules.swapMinutes) / parts;
      return n + 1 < machines.length && share >= 0.85 && share <= 1.6 ? [n + 1] : [];
    });
    const step = Math.max(1, Math.round(enough.length / STEPS));
    // As many as there are circuits for.
    const inCircuits = [Math.floor(kept), Math.ceil(kept)].filter(
      (n) => n > 0 && n < machines.length && !enough.includes(n),
    );
    return [...enough.filter((_, k) => k % step === 0), ...inCircuits].map((n): Temper => {
      const used = new Set(order.slice(0, n));
      return { ...plainTemper(problem, 240), uses: machines.map((_, m) => used.has(m)) };
    });
  });
  const paced = pacesOf(problem).flatMap((pace) =>
    LOYAL_PACED.map((minutes) => ({ ...patient[0]!, loyal: each(minutes), pace })),
  );
  return [patient[0]!, ...early, ...loyal, ...fewer, ...paced, ...patient.slice(1)];
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
export function tempersNear(problem: Problem, temper: Temper): Temper[] {
  const each = (value: number) => temper.uses.map(() => value);
  return [
    ...PATIENCE.map((patience) => ({ ...temper, patience })),
    ...EARLY_NEAR.map((minutes) => ({ ...temper, early: each(minutes) })),
    ...LOYAL_NEAR.map((minutes) => ({ ...temper, loyal: each(minutes) })),
    ...pacesOf(problem).map((pace) => ({ ...temper, pace })),
    ...REST_NEAR.map((minutes) => ({ ...temper, rest: each(minutes) })),
  ];
}

/** A temper that differs in one thing drawn by chance, mostly in that of one machine or one bath. */
export function temperBeside(problem: Problem, temper: Temper, chance: Chance): Temper {
  const by = (width: number) => Math.round((chance.unit() + chance.unit() + chance.unit() - 1.5) * width);
  const changed = (list: readonly number[], change: (value: number) => number) => {
    const at = chance.below(list.length);
    return list.map((value, k) => (k === at ? change(value) : value));
  };
  const drawn = chance.unit();
  if (drawn < 0.3) return { ...temper, bias: changed(temper.bias, (value) => value + by(200)) };
  if (drawn < 0.55) return { ...temper, loyal: changed(temper.loyal, (value) => value + by(600)) };
  if (drawn < 0.8) return { ...temper, early: changed(temper.early, (value) => value + by(600)) };
  if (drawn < 0.88)
    return { ...temper, rest: changed(temper.rest, () => REST_OF_ONE[chance.below(REST_OF_ONE.length)]!) };
  if (drawn < 0.9) return { ...temper, patience: Math.max(0, temper.patience + by(200)) };
  const near = [...machinesNear(problem, temper), ...tempersNear(problem, temper)];
  return near[chance.below(near.length)]!;
}
