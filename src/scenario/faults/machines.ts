import { ceil, decimal, divide, floor, multiply, whole } from '../../exact/fraction.ts';
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

function* duplicateMachine({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('machines', scenario.machines, 'id');
}

function* flowOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { flow }] of scenario.machines.entries()) {
    const path = ['machines', i, 'flow'];
    // Usual: from memory.
    yield* outside(path, flow, { unit: 'mL/min', min: 0, aboveMin: true, max: 10_000, usual: [100, 1000] });
    if (placesOf(flow) > 3) yield error(path, `flow is ${flow} mL/min`, 'at most 3 decimals');
  }
}

function* positionsOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { positions }] of scenario.machines.entries())
    yield* outside(['machines', i, 'positions'], positions, { unit: 'bags', min: 1, max: 200 });
}

function* windowBackwards({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries())
    for (const [j, window] of (row.available ?? []).entries()) {
      const [from, to] = [minute(window.from), minute(window.to)];
      if (from !== null && to !== null && to <= from)
        yield error(
          ['machines', i, 'available', j, 'to'],
          `to is ${window.to}, not after from (${window.from})`,
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

/** Fill window (planning rules, section 3): a fill lasts shortest..longest whole minutes. */
function* fillWindowEmpty({ scenario, rule }: Ground): Iterable<Fault> {
  for (const [i, { flow, positions }] of scenario.machines.entries()) {
    if (!(flow > 0 && positions >= 1 && rule('fillLitres') > 0 && rule('maxLitres') > 0)) continue;
    const minutesFor = (litres: number) =>
      divide(multiply(whole(1000 * positions), decimal(litres)), decimal(flow));
    const shortest = ceil(minutesFor(rule('fillLitres')));
    const longest = floor(minutesFor(rule('maxLitres')));
    if (shortest > longest)
      yield warning(
        ['machines', i],
        `${positions} bags at ${flow} mL/min: full after ${shortest} min, off after ${longest} min`,
        'a lower flow, more positions or more room between fillLitres and maxLitres; it can fill nothing now',
      );
    else if (shortest + rule('swapMinutes') > rule('circuitHours') * 60)
      yield warning(
        ['machines', i],
        `a fill of ${shortest} min and its swap outlast the life of a circuit (${rule('circuitHours')} h)`,
        'a higher flow or fewer positions; it can fill nothing now',
      );
  }
}

function* circuitOlderThanLife({ scenario, minute, rule }: Ground): Iterable<Fault> {
  for (const [i, { loaded }] of scenario.machines.entries()) {
    const since = minute(loaded?.circuitSince);
    if (since !== null && -since > rule('circuitHours') * 60)
      yield warning(
        ['machines', i, 'loaded', 'circuitSince'],
        `the circuit is ${Number((-since / 60).toFixed(1))} h old at the plan's start`,
        `at most ${rule('circuitHours')} h (rules.circuitHours); nothing is filled on it`,
      );
  }
}

/** A circuit dated ahead would be run beyond its life. */
function* circuitFromFuture({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, { loaded }] of scenario.machines.entries())
    if ((minute(loaded?.circuitSince) ?? 0) > 0)
      yield error(
        ['machines', i, 'loaded', 'circuitSince'],
        `circuitSince is ${loaded?.circuitSince}, after the plan's start`,
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
  fillWindowEmpty,
  circuitOlderThanLife,
  circuitFromFuture,
  loadedBathNotAllowed,
};
