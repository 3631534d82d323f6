import fc from 'fast-check';
import { fillWindow } from '../../src/scenario/problem/machines.ts';
import type { DutyRow, Patient, Scenario } from '../../src/scenario/schema.ts';

const BATHS = ['2K', '4K', '0K'];
/** Zones and starts: a plain one, the night Berlin skips an hour, the night Chicago repeats one, a half-hour zone. */
const STARTS = [
  { timeZone: 'UTC', date: '2031-02-03' },
  { timeZone: 'Europe/Berlin', date: '2026-03-28' },
  { timeZone: 'America/Chicago', date: '2026-10-31' },
  { timeZone: 'Asia/Kolkata', date: '2031-02-03' },
];

const pick = <T>(...values: T[]) => fc.constantFrom(...values);
const two = (n: number) => String(n).padStart(2, '0');
const later = (date: string, minutes: number) =>
  new Date(Date.parse(`${date}T00:00Z`) + minutes * 60_000).toISOString().slice(0, 16);

/** Small scenarios of every awkward kind; all of them free of faults that would stop a person. */
export const scenarios = (days = pick(1, 2)): fc.Arbitrary<Scenario> =>
  fc
    .record({
      start: fc.constantFrom(...STARTS),
      hour: pick(0, 7, 20),
      days,
      baths: fc.integer({ min: 1, max: 3 }),
    })
    .chain(({ start: { timeZone, date }, hour, days: length, baths: count }) => {
      const baths = BATHS.slice(0, count);
      const start = `${date}T${two(hour)}:00`;
      const local = (minute: number) => later(date, hour * 60 + minute);
      const minute = (min: number, max: number) => fc.integer({ min, max });
      const end = length * 1440;
      /** Absent once in so many times. */
      const sometimes = <T>(value: fc.Arbitrary<T>, freq = 2) => fc.option(value, { nil: undefined, freq });
      /** Present once in so many times. */
      const seldom = <T>(value: fc.Arbitrary<T>, freq = 3) =>
        fc.nat(freq - 1).chain((n) => (n === 0 ? value : fc.constant(undefined)));
      const window = fc
        .tuple(minute(0, end - 200), minute(150, end))
        .map(([from, span]) => ({ from: local(from), to: local(from + span) }));
      const windows = fc.oneof(
        window.map((one) => [one]),
        // Two that touch, and two with a gap.
        fc.tuple(minute(100, 600), pick(0, 0, 45), minute(300, end)).map(([a, gap, b]) => [
          { from: local(0), to: local(a) },
          { from: local(a + gap), to: local(a + gap + b) },
        ]),
      );
      const lot = fc.record({
        bath: fc.constantFrom(...baths),
        bags: minute(1, 12),
        litres: pick(6.5, 5, 3.25, 2.5),
        ready: sometimes(minute(-300, end).map(local)),
        expires: sometimes(minute(-100, end + 2000).map(local)),
      });
      const patient: fc.Arbitrary<Omit<Patient, 'id'>> = fc.record({
        weight: pick(48.5, 70, 82, 111.3),
        dose: pick(17.5, 20, 25, 31.7),
        fluidRemoval: pick(0, 50, 133.3),
        replacement: pick(0, 0, 0, 400, 5000),
        hoursPerDay: pick(24, 22, 16.1),
        bath: fc.constantFrom(...baths),
        from: seldom(minute(-500, end).map(local)),
        until: seldom(minute(600, end + 500).map(local)),
        changes: sometimes(
          fc.array(
            fc.record({
              at: minute(-100, end).map(local),
              bath: sometimes(fc.constantFrom(...baths)),
              dose: sometimes(pick(0, 20, 28.4)),
            }),
            { maxLength: 3 },
          ),
        ),
      });
      const machine = fc.record({
        flow: pick(800, 600, 500.5, 300, 1000),
        positions: pick(8, 6, 4, 1),
        baths: seldom(fc.shuffledSubarray(baths, { minLength: 1 })),
        water: pick('RO', 'RO', 'RO-2'),
        available: seldom(windows),
        loaded: sometimes(
          fc.record({ bath: fc.constantFrom(...baths), circuitSince: minute(-1700, 0).map(local) }),
        ),
      });
      const shift = fc.record({
        from: fc.tuple(pick(0, 6, 7, 19, 22), pick(0, 0, 30)).map(([h, m]) => `${two(h)}:${two(m)}`),
        to: fc.tuple(pick(0, 5, 7, 12, 19), pick(0, 0, 30)).map(([h, m]) => `${two(h)}:${two(m)}`),
        technicians: pick(1, 1, 2, 3),
        dates: seldom(fc.constant<string[]>([date]), 4),
      });
      const allDay = { from: '00:00', to: '00:00', technicians: 1 };
      const supply = fc.record({
        item: fc.constant('item'),
        onHand: pick(0, 3.5, 90, 400, 900),
        perCircuit: pick(0, 1),
        perFill: pick(0, 2, 0.1),
        perLitre: pick(0, 0.02222, 0.5),
        bath: sometimes(fc.constantFrom(...baths)),
        deliveries: sometimes(
          fc.array(fc.record({ at: minute(-60, end).map(local), quantity: pick(1, 7.25, 60) }), {
            maxLength: 2,
          }),
        ),
      });
      const named = <T extends object, K extends string>(key: K, prefix: string, list: T[]) =>
        list.map((row, index) => ({ [key]: `${prefix}${index + 1}`, ...row }) as T & Record<K, string>);
      const water = (id: string) =>
        fc.record({
          id: fc.constant(id),
          capacity: pick(800, 1600, 2400, 1100.5),
          testEvery: pick(240, 120, 90),
          testMinutes: pick(10, 12),
          lastTest: sometimes(minute(-240, 0).map(local)),
        });
      return fc
        .record({
          patients: fc.array(patient, { minLength: 1, maxLength: 6 }),
          machines: fc.array(machine, { minLength: 1, maxLength: 4 }),
          water: fc.tuple(water('RO'), water('RO-2')),
          shifts: fc.tuple(seldom(shift, 4), shift, shift).map(([a, ...rest]) => [a ?? allDay, ...rest]),
          stock: fc.array(lot, { maxLength: 2 }),
          deliveries: fc.array(lot, { maxLength: 2 }),
          supplies: fc.array(supply, { maxLength: 2 }),
          rules: fc.record({
            fillLitres: pick(6.5, 5, 6.4),
            maxLitres: pick(7.5, 7.2),
            circuitHours: pick(24, 12, 7.3),
            shelfHours: pick(120, 30, 14.5),
            swapMinutes: pick(8, 11),
            circuitMinutes: pick(30, 25),
            releaseMinutes: pick(15, 0),
            stabiliseMinutes: pick(5, 9),
            rounds: pick(['06:00', '18:00'], ['02:30', '12:00', '18:00']),
            leadMinutes: pick(60, 0, 90),
            maxHangHours: pick(24, 10.5),
            reserve: seldom(fc.record({ [baths[0]!]: pick(0, 16, 2.5) })),
          }),
        })
        .map(
          (parts): Scenario => ({
            format: 'bathtide-scenario',
            version: 1,
            title: 'Random (invented)',
            timeZone,
            start,
            days: length,
            baths: baths.map((id) => ({ id })),
            patients: parts.patients.map((row, index) => ({ ...row, id: `bed-${index + 1}` }) as Patient),
            machines: named('id', 'M', parts.machines),
            water: parts.water,
            shifts: named('id', 'shift ', parts.shifts),
            stock: named('lot', 'S-', parts.stock),
            deliveries: named('lot', 'D-', parts.deliveries),
            supplies: named('item', 'item ', parts.supplies).map((row, index) => ({
              ...row,
              item: `item ${index + 1}`,
            })),
            rules: parts.rules,
          }),
        );
    });

/** Adds the optional fields of the floor to a scenario, still without faults that would stop a person. */
export const withFloor = (scenario: Scenario): fc.Arbitrary<Scenario> => {
  const bath = scenario.baths[0]!.id;
  const litres = { least: scenario.rules?.fillLitres ?? 6.5, most: scenario.rules?.maxLitres ?? 7.5 };
  const duty: fc.Arbitrary<Omit<DutyRow, 'id'>> = fc
    .record({
      place: pick(undefined, 'M1', 'RO', 'RO-2'),
      times: pick(['04:00'], ['01:30', '13:00'], ['00:00', '08:00', '16:00']),
      minutes: pick(1, 10, 45),
      slackMinutes: pick(0, 30, 120),
      technicians: pick(0, 1, 2),
      flow: pick(0, 0, 300, 500.5),
      effect: fc.boolean(),
    })
    .map(({ effect, flow, ...row }) => ({
      ...row,
      ...(row.place !== undefined && { flow }),
      ...(row.place === 'M1' && { endsCircuit: effect }),
      ...(row.place?.startsWith('RO') && { voidsTests: effect }),
    }));
  const change = fc
    .record({ hour: pick('02', '09', '15', '21'), capacity: pick(0, 800, 1600, 900.5) })
    .map(({ hour, capacity }) => ({ at: `${scenario.start.slice(0, 10)}T${hour}:00`, capacity }));
  const session = fc.option(fc.record({ start: pick('08:00', '22:00'), hours: pick(8, 10.5, 24) }), {
    nil: undefined,
  });
  return fc
    .record({
      tolerances: fc.array(pick(0, 0.02, 0.05), { minLength: 4, maxLength: 4 }),
      changes: fc.tuple(fc.array(change, { maxLength: 2 }), fc.array(change, { maxLength: 1 })),
      duties: fc.array(duty, { maxLength: 3 }),
      sessions: fc.array(session, { minLength: 6, maxLength: 6 }),
      rules: fc.record({
        walkMinutes: pick(0, 1, 3),
        fillStartMinutes: pick(0, 1, 2),
        hands: fc.record({ circuit: pick(0, 1, 2), bath: pick(1, 2), swap: pick(1, 1, 2), test: pick(0, 1) }),
        sampleBags: pick(0, 1),
        releaseAfterTest: fc.boolean(),
        minStock: fc.record({ [bath]: pick(0, 3, 7.5) }),
      }),
    })
    .map(({ tolerances, changes, duties, sessions, rules }) => ({
      ...scenario,
      patients: scenario.patients.map(({ hoursPerDay, ...row }, index) => {
        const its = sessions[index];
        return its ? { ...row, ward: `ward ${index % 2}`, session: its } : { ...row, hoursPerDay };
      }),
      machines: scenario.machines.map((row, index) => {
        const flowTolerance = tolerances[index]!;
        const { shortest, longest } = fillWindow({ ...row, flowTolerance }, litres);
        return shortest <= longest ? { ...row, flowTolerance } : row;
      }),
      water: scenario.water.map((row, index) => ({ ...row, capacityChanges: changes[index]! })),
      duties: duties.map((row, index) => ({ ...row, id: `duty ${index + 1}` }) as DutyRow),
      rules: { ...scenario.rules, ...rules },
    }));
};
