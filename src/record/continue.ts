import type { Clock } from '../calendar/clock.ts';
import { compile } from '../scenario/problem/compile.ts';
import type { LotRow, Patient, Scenario } from '../scenario/schema.ts';
import type { Draft } from './entries.ts';
import { startFrom } from './from.ts';
import type { State } from './state.ts';

/** Next week from this one. */
interface Continued {
  readonly scenario: Scenario;
  /** What its record begins with: what is on hold, out of service, under way, or failed, in the words of the record. */
  readonly entries: readonly Draft[];
}

/**
 * A new scenario from `now` on with what the record leaves: stock, circuits, tests, prescriptions as they are by then. Bags
 * on hold, outages, a failed test and a fill under way go on as the first entries of its record.
 * @param by initials of whoever continues
 */
export function continued(scenario: Scenario, state: State, by: string): Continued {
  const problem = compile(scenario);
  const { clock } = problem;
  const { problem: now } = startFrom(problem, state);
  const start = clock.localOf(state.now);
  const { inUse: _inUse, lost: _lost, stock: _stock, ...rest } = scenario;
  const here = state.lots.filter(({ good, held }) => good + held > 0);
  return {
    scenario: {
      ...rest,
      start,
      patients: scenario.patients.flatMap((row) => patientFrom(row, clock, state.now)),
      machines: scenario.machines.map((row, index) => {
        const circuit = state.machines[index]?.circuitBefore;
        return {
          ...row,
          loaded: circuit && { bath: circuit.bath, circuitSince: clock.localOf(circuit.since) },
        };
      }),
      water: scenario.water.map((row, index) => {
        const { last, lastEnd } = state.water[index]!;
        return { ...row, lastTest: last === 'pass' && lastEnd !== null ? clock.localOf(lastEnd) : null };
      }),
      stock: here.flatMap((lot) => (isToCome(scenario, lot, state) ? [] : [stockOf(lot, clock, state.now)])),
      deliveries: (scenario.deliveries ?? []).filter((row) => isToCome(scenario, { lot: row.lot }, state)),
      supplies: (scenario.supplies ?? []).map((row, index) => {
        const { onHand, scale } = now.supplies[index]!;
        return {
          ...row,
          onHand: onHand / scale,
          deliveries: (row.deliveries ?? []).filter(({ at }) => clock.minuteOf(at) > state.now),
        };
      }),
    },
    entries: entriesFrom(state, clock, by),
  };
}

/** A delivery that nobody noted, and whose time may still come. */
const isToCome = ({ deliveries }: Scenario, { lot }: { readonly lot: string }, state: State): boolean =>
  (deliveries ?? []).some((row) => row.lot === lot) &&
  state.lots.some(
    (one) => one.lot === lot && one.origin === 'delivery' && (one.ready === null || one.ready > state.now),
  );

const stockOf = (lot: State['lots'][number], clock: Clock, now: number): LotRow => ({
  lot: lot.lot,
  bath: lot.bath ?? '',
  bags: lot.good + lot.held,
  litres: lot.litres,
  ready: lot.ready === null || lot.ready <= now ? null : clock.localOf(lot.ready),
  expires: lot.expires === null ? null : clock.localOf(lot.expires),
});

/** The prescription in force, with the changes that are still to come; nobody whose therapy is over. */
function patientFrom(row: Patient, clock: Clock, now: number): Patient[] {
  if (row.until && clock.minuteOf(row.until) <= now) return [];
  const changes = (row.changes ?? [])
    .map((change) => ({ change, at: clock.minuteOf(change.at) }))
    .sort((a, b) => a.at - b.at);
  const past = changes
    .filter(({ at }) => at <= now)
    .map(({ change: { at: _at, noted: _noted, ...change } }) => change);
  const given = past.map((change) =>
    Object.fromEntries(Object.entries(change).filter(([, value]) => value != null)),
  );
  return [
    {
      ...Object.assign({}, row, ...given),
      changes: changes.filter(({ at }) => at > now).map(({ change }) => change),
    },
  ];
}

function entriesFrom(state: State, clock: Clock, by: string): Draft[] {
  const at = clock.localOf(state.now);
  const holds = state.lots
    .filter(({ held }) => held > 0)
    .map(
      ({ lot, held, good, holds: why }): Draft => ({
        kind: 'hold',
        at,
        by,
        lot,
        ...(good > 0 ? { bags: held } : {}),
        why: why
          .map((one) => one.why)
          .filter(Boolean)
          .join('; '),
      }),
    );
  const failed = state.water.flatMap(({ id, last, lastEnd }): Draft[] =>
    last === 'fail' ? [{ kind: 'test', at: clock.localOf(lastEnd!), by, water: id, result: 'fail' }] : [],
  );
  const machines = state.machines.flatMap(({ id, outOfService, outUntil, underWay }): Draft[] => [
    ...(outOfService
      ? [
          {
            kind: 'out' as const,
            at,
            by,
            machine: id,
            ...(outUntil === null ? {} : { until: clock.localOf(outUntil) }),
          },
        ]
      : []),
    ...(underWay?.kind === 'fill'
      ? [{ kind: 'fill' as const, at: clock.localOf(underWay.start), by, machine: id }]
      : []),
  ]);
  return [...failed, ...machines, ...holds];
}
