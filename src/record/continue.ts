import { type Clock, nextDate } from '../calendar/clock.ts';
import { bagAt } from '../demand/demand.ts';
import { compile } from '../scenario/problem/compile.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { LotRow, Patient, Scenario } from '../scenario/schema.ts';
import type { Draft } from './entries.ts';
import { startFrom } from './from.ts';
import { entryTime, outTimes } from './minuteOf.ts';
import type { Outage } from './state/books.ts';
import type { Waiting } from './state/recall.ts';
import { type State, testThatCounts } from './state.ts';

/** Next week from this one. */
interface Continued {
  readonly scenario: Scenario;
  /** What its record begins with: what is on hold, out of service, under way, or failed, and who is there, in the words of the record. */
  readonly entries: readonly Draft[];
}

/**
 * A new scenario from `now` on with what the record leaves: stock, circuits, tests, prescriptions as they are by then. Bags
 * on hold, outages, a failed test, readings out of limits, who is on shift and a fill under way go on as the first entries of
 * its record, what waits at the bedside as carried for its opening round. A bag that hangs goes on at its bed.
 * @param by initials of whoever continues
 */
export function continued(scenario: Scenario, state: State, by: string): Continued {
  const problem = compile(scenario);
  const { clock } = problem;
  const { problem: now } = startFrom(problem, state);
  const start = clock.localOf(state.now);
  const { inUse: _inUse, lost: _lost, stock: _stock, ...rest } = scenario;
  const away = new Map<string | null, number>();
  for (const { lot, bags } of atWard(state)) away.set(lot, (away.get(lot) ?? 0) + bags);
  const here = state.lots.filter(
    (one) => hasKnownBath(one, problem) && one.good + one.held + (away.get(one.lot) ?? 0) > 0,
  );
  // One that hangs and is called back comes down: another is hung at once.
  const down = new Set(state.recall.flatMap(({ hanging, beds }) => (hanging > 0 ? beds : [])));
  return {
    scenario: {
      ...rest,
      start,
      patients: scenario.patients.flatMap((row, index) => {
        const hanging = down.has(row.id) ? null : hangingAt(problem, index, state.now);
        return patientFrom(row, clock, state.now).map((one) => ({ ...one, hanging }));
      }),
      machines: scenario.machines.map((row, index) => {
        const circuit = state.machines[index]!.circuitBefore;
        return {
          ...row,
          loaded:
            circuit && hasKnownBath(circuit, problem)
              ? { bath: circuit.bath, circuitSince: clock.localOf(circuit.since) }
              : null,
        };
      }),
      water: scenario.water.map((row, index) => {
        const lastTest = testThatCounts(state.water[index]!);
        return { ...row, lastTest: lastTest === null ? null : clock.localOf(lastTest) };
      }),
      stock: here.flatMap((lot) =>
        isToCome(lot.lot, state) ? [] : [stockOf(lot, away.get(lot.lot) ?? 0, { clock, now: state.now })],
      ),
      deliveries: (scenario.deliveries ?? []).filter(({ lot }) => isToCome(lot, state)),
      supplies: (scenario.supplies ?? []).map((row, index) => {
        const { onHand, scale } = now.supplies[index]!;
        return {
          ...row,
          onHand: onHand / scale,
          deliveries: (row.deliveries ?? []).filter(({ at }) => clock.minuteOf(at) > state.now),
        };
      }),
    },
    entries: entriesFrom(state, problem, by),
  };
}

/** A scenario has no stock, and no circuit, of a bath that it does not list. */
const hasKnownBath = ({ bath }: { readonly bath: string | null }, { baths }: Problem): boolean =>
  baths.includes(bath!);

/** A delivery that nobody noted, and whose time may still come. */
const isToCome = (lot: string, { lots, now }: State): boolean =>
  lots.some((one) => one.lot === lot && one.origin === 'delivery' && (one.ready === null || one.ready > now));

/** Bags at the bedside: those that wait, and those called back that may hang. */
const atWard = ({ bedside, recall }: State) => [
  ...bedside,
  ...recall.flatMap(({ hanging, bags: _, ...row }) => (hanging > 0 ? { ...row, bags: hanging } : [])),
];

/** The bag that hangs at a bed and goes on. Its rest is rounded up to a millionth, so that what hangs next keeps its minute. */
function hangingAt(
  { patients, rules, clock }: Problem,
  patient: number,
  now: number,
): NonNullable<Patient['hanging']> | null {
  const bag = bagAt(patients[patient]!, rules.bagMl, rules.maxHang, now);
  if (!bag || bag.left.n <= 0n) return null;
  const litres = Math.ceil((Number(bag.left.n) / Number(bag.left.d)) * 1000 - 1e-6) / 1e6;
  return { hungAt: clock.localOf(Math.floor(Number(bag.hungAt.n) / Number(bag.hungAt.d))), litres };
}

/** @param away bags of it at the bedside: they are part of the lot, and left */
const stockOf = (
  lot: State['lots'][number],
  away: number,
  { clock, now }: { readonly clock: Clock; readonly now: number },
): LotRow => ({
  lot: lot.lot,
  bath: lot.bath!,
  bags: lot.good + lot.held + away,
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

function entriesFrom(state: State, problem: Problem, by: string): Draft[] {
  const { clock } = problem;
  const at = clock.localOf(state.now);
  const back = new Set(state.recall.map(({ lot }) => lot));
  const holds = state.lots
    .filter((one) => hasKnownBath(one, problem))
    .filter(({ lot, held }) => held > 0 || (back.has(lot) && atWard(state).some((one) => one.lot === lot)))
    .map(
      ({ lot, held, good, holds: why }): Draft => ({
        kind: 'hold',
        at,
        by,
        lot,
        ...(good > 0 && !back.has(lot) ? { bags: held } : {}),
        why: why
          .map((one) => one.why)
          .filter(Boolean)
          .join('; '),
      }),
    );
  const unknown = state.lots
    .filter((one) => !hasKnownBath(one, problem) && one.good + one.held > 0)
    .map(({ lot, good, held }): Draft => {
      const text = `Discard what is left of ${lot} (bags: ${good + held}). This scenario does not list it, because nobody knows its bath.`;
      return { kind: 'note', at, by, text };
    });
  const failed = state.water.flatMap(({ id, last, lastEnd }): Draft[] =>
    last === 'fail' ? [{ kind: 'test', ...entryTime(clock, lastEnd!), by, water: id, result: 'fail' }] : [],
  );
  const fills = state.machines.flatMap(({ id, underWay }): Draft[] =>
    underWay?.kind === 'fill' ? [{ kind: 'fill', ...entryTime(clock, underWay.start), by, machine: id }] : [],
  );
  // All since the set-up: what was out of limits is put right only by a later reading of the same quantity.
  const readings = state.machines.flatMap(({ id, outOfLimits, setUp }): Draft[] =>
    state.readings
      .filter(({ machine, at }) => outOfLimits !== null && machine === id && at >= (setUp?.at ?? at))
      .map((one) => ({ kind: 'reading', ...entryTime(clock, one.at), by, machine: id, ...one.measured })),
  );
  const filling = state.machines.flatMap(({ underWay }): Draft[] =>
    underWay?.lot && underWay.doubtful
      ? [{ kind: 'hold', at, by, lot: underWay.lot, why: 'its fill was in doubt' }]
      : [],
  );
  // Rounds that left before their time keep it; all others are the opening one of the new scenario.
  const rounds = new Map<number | string, Waiting[]>([[0, []]]);
  for (const one of atWard(state)) {
    const time = problem.rounds[one.round as number];
    const round = time && time.at > state.now ? clock.localOf(time.at) : 0;
    rounds.set(round, [...(rounds.get(round) ?? []), one as Waiting]);
  }
  const left = [...rounds].map(
    ([round, loads]): Draft => ({
      kind: 'leave',
      at,
      by,
      round,
      ...(state.notesRounds ? {} : { declared: 'carried over' as const }),
      loads: loads.map(({ lot, bath, bags, ward, bed }) => ({
        lot: lot ?? 'not known',
        bath,
        bags,
        ...(ward ? { ward } : {}),
        ...(bed ? { bed } : {}),
      })),
    }),
  );
  return [
    ...failed,
    ...outFrom(state, problem, by),
    ...fills,
    ...readings,
    ...staffFrom(state, at, by),
    ...left,
    ...holds,
    ...filling,
    ...unknown,
  ];
}

/** What is out of service goes on so: water as water, a machine only where it is out itself, so that each comes back by its own entry. */
function outFrom({ machines, water, now }: State, { clock, machines: rows }: Problem, by: string): Draft[] {
  const out = (
    place: { readonly machine: string } | { readonly water: string },
    until: number | null,
  ): Draft => ({ kind: 'out', by, ...place, ...outTimes(clock, now, until) });
  const isNow = ({ until }: Outage) => until === null || until > now;
  return [
    ...water.flatMap(({ id, outage }) => (outage ? [out({ water: id }, outage.until)] : [])),
    ...machines.flatMap(({ id, outages }, index) => {
      const { outage } = water[rows[index]!.water]!;
      return outages
        .filter((one) => isNow(one) && one !== outage)
        .map(({ until }) => out({ machine: id }, until));
    }),
  ];
}

/** Who is there in the shifts that are not over, as last noted of each: a shift that runs on over the change keeps its people. */
function staffFrom({ staff }: State, at: string, by: string): Draft[] {
  const last = new Map(staff.map((one) => [JSON.stringify([one.shift, one.date]), one]));
  // A shift that began the day before may still be on.
  const from = nextDate(at.slice(0, 10), -1);
  return [...last.values()].flatMap(({ shift, date, technicians, names }): Draft[] =>
    date < from
      ? []
      : [{ kind: 'staff', at, by, shift, date, technicians, ...(names.length > 0 && { names: [...names] }) }],
  );
}
