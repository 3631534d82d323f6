import { limitsOf } from '../fields.ts';
import { fillWindow } from '../problem/machines.ts';
import type { MachineRow } from '../schema.ts';
import {
  error,
  type Fault,
  type FaultRule,
  type Ground,
  outside,
  placesOf,
  repeated,
  warning,
} from './fault.ts';

const MOST_TOLERANCE = limitsOf('machines[].flowTolerance').max;

function* duplicateMachine({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('machines', scenario.machines, 'id');
}

function* flowOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { flow }] of scenario.machines.entries()) {
    const path = ['machines', i, 'flow'];
    yield* outside(path, flow, limitsOf('machines[].flow'));
    if (placesOf(flow) > 3) yield error(path, `Dialysate flow is ${flow} mL/min`, 'at most 3 decimals');
  }
}

function* positionsOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { positions }] of scenario.machines.entries())
    yield* outside(['machines', i, 'positions'], positions, limitsOf('machines[].positions'));
}

function* windowBackwards({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries())
    for (const [j, window] of (row.available ?? []).entries()) {
      const [from, to] = [minute(window.from), minute(window.to)];
      if (from !== null && to !== null && to <= from)
        yield error(
          ['machines', i, 'available', j, 'to'],
          `To is ${window.to}, not after From (${window.from})`,
          `a time after ${window.from}`,
        );
    }
}

function* windowsOverlap({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries()) {
    const windows = (row.available ?? [])
      .map((window, j) => ({ j, window, from: minute(window.from), to: minute(window.to) }))
      .filter(({ from, to }) => from !== null && to !== null && to > from)
      .sort((a, b) => a.from! - b.from!);
    let latest = windows[0];
    for (const next of windows.slice(1)) {
      if (next.from! < latest!.to!)
        yield error(
          ['machines', i, 'available', next.j, 'from'],
          `the window from ${next.window.from} overlaps the one from ${latest!.window.from} to ${latest!.window.to}`,
          `windows apart, or one window for both`,
        );
      if (next.to! > latest!.to!) latest = next;
    }
  }
}

function* windowOutsidePlan({ scenario, minute, horizon }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries())
    for (const [j, window] of (row.available ?? []).entries()) {
      const [from, to] = [minute(window.from), minute(window.to)];
      if (from !== null && to !== null && to > from && (to <= 0 || from >= horizon))
        yield warning(
          ['machines', i, 'available', j],
          `the window from ${window.from} to ${window.to} lies outside the plan`,
          'a window within the plan; this one is not used',
        );
    }
}

/** A machine that may not run at all, or run nothing. */
function* machineNeverRuns({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries()) {
    if (row.available?.length === 0)
      yield warning(
        ['machines', i, 'available'],
        'no window: the machine is never available',
        'windows, or no field: always available',
      );
    if (row.baths?.length === 0)
      yield warning(
        ['machines', i, 'baths'],
        'no bath: the machine can fill nothing',
        'baths, or no field: all',
      );
  }
}

/** The whole minutes that a fill of a machine may last; null where a number that makes them is faulty itself. */
export function windowOf(
  { rule }: Ground,
  { flow, positions, flowTolerance }: Pick<MachineRow, 'flow' | 'positions' | 'flowTolerance'>,
) {
  const [least, most] = [rule('fillLitres'), rule('maxLitres')];
  const known = flow > 0 && positions >= 1 && least > 0 && most > 0;
  const tolerance = flowTolerance ?? 0;
  if (!known || !(tolerance >= 0 && tolerance <= MOST_TOLERANCE)) return null;
  return fillWindow({ flow, positions, flowTolerance }, { least, most });
}

/** No whole minute fills the bags enough and not too much. With a tolerance it is an error: the site says that it fills. */
function* fillWindowEmpty(ground: Ground): Iterable<Fault> {
  for (const [i, row] of ground.scenario.machines.entries()) {
    const window = windowOf(ground, row);
    if (!window || window.shortest <= window.longest) continue;
    const { flow, positions, flowTolerance } = row;
    const { shortest, longest } = window;
    const hint =
      'a lower flow, more positions or more room between fillLitres and maxLitres; it can fill nothing now';
    if ((flowTolerance ?? 0) > 0)
      yield error(
        ['machines', i, 'flowTolerance'],
        `Flow tolerance is ${flowTolerance}: ${positions} bags are full for sure after ${shortest} min, and may be too full after ${longest} min`,
        `a smaller tolerance, or ${hint}`,
      );
    else
      yield warning(
        ['machines', i],
        `${positions} bags at ${flow} mL/min: full after ${shortest} min, off after ${longest} min`,
        hint,
      );
  }
}

/** A fill that no circuit outlasts. */
function* fillOutlastsCircuit(ground: Ground): Iterable<Fault> {
  const { scenario, rule } = ground;
  for (const [i, row] of scenario.machines.entries()) {
    const window = windowOf(ground, row);
    if (!window || window.shortest > window.longest) continue;
    if (window.shortest + rule('swapMinutes') > rule('circuitHours') * 60)
      yield warning(
        ['machines', i],
        `a fill of ${window.shortest} min and its swap outlast the life of a circuit (${rule('circuitHours')} h)`,
        'a higher flow or fewer bags per fill; it can fill nothing now',
      );
  }
}

function* flowToleranceOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { flowTolerance }] of scenario.machines.entries()) {
    const path = ['machines', i, 'flowTolerance'];
    yield* outside(path, flowTolerance, limitsOf('machines[].flowTolerance'));
    if (flowTolerance != null && placesOf(flowTolerance) > 6)
      yield error(path, `Flow tolerance is ${flowTolerance}`, 'at most 6 decimals');
  }
}

function* circuitOlderThanLife({ scenario, minute, rule }: Ground): Iterable<Fault> {
  for (const [i, { loaded }] of scenario.machines.entries()) {
    const since = minute(loaded?.circuitSince);
    if (since !== null && -since > rule('circuitHours') * 60)
      yield warning(
        ['machines', i, 'loaded', 'circuitSince'],
        `the circuit is ${Number((-since / 60).toFixed(1))} h old at the plan's start`,
        `at most ${rule('circuitHours')} h (Circuit life); nothing is filled on it`,
      );
  }
}

/** A circuit dated ahead would be run beyond its life. */
function* circuitFromFuture({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, { loaded }] of scenario.machines.entries())
    if ((minute(loaded?.circuitSince) ?? 0) > 0)
      yield error(
        ['machines', i, 'loaded', 'circuitSince'],
        `Circuit since is ${loaded?.circuitSince}, after the plan's start`,
        `at or before ${scenario.start}, or no loaded circuit`,
      );
}

function* loadedBathNotAllowed({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { loaded, baths }] of scenario.machines.entries())
    if (loaded && baths && !baths.includes(loaded.bath))
      yield warning(
        ['machines', i, 'loaded', 'bath'],
        `the loaded bath "${loaded.bath}" is not among the machine's baths`,
        `one of ${baths.join(', ')}; the loaded bath cannot be filled`,
      );
}

export const MACHINE_RULES: Record<string, FaultRule> = {
  duplicateMachine,
  flowOutOfRange,
  positionsOutOfRange,
  windowBackwards,
  windowsOverlap,
  windowOutsidePlan,
  machineNeverRuns,
  flowToleranceOutOfRange,
  fillWindowEmpty,
  fillOutlastsCircuit,
  circuitOlderThanLife,
  circuitFromFuture,
  loadedBathNotAllowed,
};
