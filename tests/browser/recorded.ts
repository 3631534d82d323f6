import type { Draft, EntryKind } from '../../src/record/entries.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

const bath = (id: string, potassium: number) => ({
  id,
  sodium: 140,
  potassium,
  calcium: 1.5,
  magnesium: 0.75,
  chloride: 106.5 + potassium,
  bicarbonate: 32,
  acetate: 3,
});

/** Two machines, two baths, six beds: a day from 07:00 on, in UTC. Invented. */
export const DAY: Scenario = {
  format: 'bathtide-scenario',
  version: 1,
  title: 'A day at two machines (invented)',
  timeZone: 'UTC',
  start: '2031-02-03T07:00',
  days: 2,
  baths: [bath('2K', 2), bath('4K', 4)],
  patients: Array.from({ length: 6 }, (_, n) => ({
    id: `bed-0${n + 1}`,
    ward: n < 4 ? 'ICU-1' : 'ICU-2',
    weight: 80,
    dose: 25,
    bath: n % 2 ? '4K' : '2K',
  })),
  machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
  water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null }],
  shifts: [
    { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
    { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
  ],
  stock: ['2K', '4K'].map((id) => ({
    lot: `S-${id}`,
    bath: id,
    bags: 30,
    litres: 6.5,
    ready: null,
    expires: null,
  })),
  rules: { rounds: ['12:00', '18:00'], leadMinutes: 60 },
};

/** An entry at a time of the first day. */
export const done = (time: string, fields: { kind: EntryKind } & Record<string, unknown>): Draft =>
  ({ by: 'AB', at: `2031-02-03T${time}`, ...fields }) as unknown as Draft;

/** A morning with a late start, two leaking bags, a reading out of limits and a bag round that left. */
export const MORNING: readonly Draft[] = [
  done('07:00', {
    kind: 'leave',
    round: 0,
    loads: ['2K', '4K'].flatMap((id, n) =>
      [1, 3, 5].map((bed) => ({
        lot: `S-${id}`,
        bath: id,
        bags: 2,
        ward: bed + n < 5 ? 'ICU-1' : 'ICU-2',
        bed: `bed-0${bed + n}`,
      })),
    ),
  }),
  done('07:05', {
    kind: 'staff',
    shift: 'day',
    date: '2031-02-03',
    technicians: 2,
    names: ['AB', 'RT-2'],
  }),
  done('07:10', { kind: 'test', water: 'RO', result: 'pass', totalChlorine: 0.04 }),
  done('07:40', {
    kind: 'circuit',
    machine: 'M1',
    bath: '2K',
    lots: { filter: 'F-311', tubing: 'T-77', acid: 'A-2041', bicarbonate: 'B-902' },
  }),
  done('07:42', { kind: 'circuit', machine: 'M2', bath: '4K', lots: { filter: 'F-312', acid: 'A-4013' } }),
  done('07:50', { kind: 'reading', machine: 'M1', conductivity: 13.6, temperature: 25, pH: 7.2 }),
  done('07:55', {
    kind: 'reading',
    machine: 'M2',
    conductivity: 13.9,
    temperature: 26,
    pH: 7.3,
    potassium: 4,
  }),
  done('08:00', { kind: 'fill', machine: 'M1' }),
  done('08:05', { kind: 'fill', machine: 'M2' }),
  done('08:40', { kind: 'reading', machine: 'M1', conductivity: 13.5, temperature: 25.5, pH: 7.2 }),
  done('09:08', { kind: 'off', machine: 'M1', good: 8 }),
  done('09:12', { kind: 'off', machine: 'M2', good: 6, rejected: [{ reason: 'leak', bags: 2 }] }),
  done('09:20', { kind: 'fill', machine: 'M1' }),
  done('09:50', { kind: 'reading', machine: 'M2', conductivity: 13.8, temperature: 26, pH: 7.3 }),
  done('10:27', { kind: 'off', machine: 'M1', good: 8 }),
  done('12:00', {
    kind: 'leave',
    round: 1,
    loads: [
      { lot: 'M1 2031-02-03 08:00', bath: '2K', bags: 2, ward: 'ICU-1', bed: 'bed-01' },
      { lot: 'M1 2031-02-03 08:00', bath: '2K', bags: 2, ward: 'ICU-1', bed: 'bed-03' },
      { lot: 'M1 2031-02-03 08:00', bath: '2K', bags: 1 },
      { lot: 'S-4K', bath: '4K', bags: 3, ward: 'ICU-1', bed: 'bed-02' },
    ],
  }),
  done('12:10', { kind: 'test', water: 'RO', result: 'pass', totalChlorine: 0.05 }),
  done('12:20', { kind: 'reading', machine: 'M1', conductivity: 15.2, temperature: 25, pH: 7.9 }),
];
