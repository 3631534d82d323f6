import type { Scenario } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';

/** Patients of different weights and baths, all invented. */
const beds = (count: number, baths: readonly string[]): Scenario['patients'] =>
  Array.from({ length: count }, (_, n) => ({
    id: `bed-${String(n + 1).padStart(2, '0')}`,
    weight: 58 + ((n * 13) % 52),
    dose: 25,
    hoursPerDay: 22,
    bath: baths[n % baths.length]!,
  }));

const forecast = (startsPerDay: number, days: number): NonNullable<Scenario['forecast']> => ({
  days,
  draws: 400,
  startsPerDay,
  stayDays: { law: 'lognormal', mean: 8, sd: 6 },
  listed: 'by stay',
  confidence: 0.95,
});

/** A harbor hospital (invented): growing need, two machines, one technician at night, offers with prices. */
export const harborSite = (): Scenario => ({
  ...tinyWorld(),
  title: 'Harbor hospital (invented)',
  start: '2031-02-03T07:00',
  days: 7,
  baths: [{ id: '2K' }, { id: '4K' }],
  patients: beds(22, ['2K', '4K']),
  machines: ['H1', 'H2'].map((id) => ({ id, flow: 700, positions: 6, water: 'Loop' })),
  water: [{ id: 'Loop', capacity: 2100, testEvery: 240, testMinutes: 10 }],
  shifts: [
    { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
    { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
  ],
  stock: ['2K', '4K'].map((bath) => ({ lot: `H-${bath}`, bath, bags: 60, litres: 6.5 })),
  supplies: [
    { item: 'empty bags', onHand: 1500, perFill: 6 },
    { item: 'circuit', onHand: 40, perCircuit: 1 },
  ],
  forecast: forecast(4.2, 10),
  offers: [
    { id: 'loan', kind: 'machine', of: 'H1', price: 1900, leadDays: 2, most: 3 },
    {
      id: 'loan Monday to Friday',
      kind: 'machine',
      of: 'H1',
      price: 1100,
      leadDays: 1,
      most: 3,
      weekdays: ['Mon', 'Tue', 'Wed', 'Thu', 'Fri'],
    },
    { id: 'second loop', kind: 'water', of: 'Loop', pack: 700, price: 600, leadDays: 3, most: 2 },
    { id: 'agency, night', kind: 'technicians', of: 'night', price: 2400, leadDays: 1, most: 2 },
    { id: 'carton', kind: 'supply', of: 'empty bags', pack: 50, price: 140, leadDays: 2 },
    { id: 'box of circuits', kind: 'supply', of: 'circuit', pack: 10, price: 650, leadDays: 2 },
    { id: 'pallet 2K', kind: 'bags', of: '2K', pack: 40, price: 900, leadDays: 3, keepsHours: 8760 },
    { id: 'pallet 4K', kind: 'bags', of: '4K', pack: 40, price: 900, leadDays: 3, keepsHours: 8760 },
  ],
});

/** A hill clinic (invented): few patients and more machines than it needs. */
export const hillSite = (): Scenario => ({
  ...tinyWorld(),
  title: 'Hill clinic (invented)',
  start: '2031-02-03T07:00',
  days: 7,
  baths: [{ id: '2K' }, { id: '4K' }],
  patients: beds(6, ['2K', '4K']),
  machines: ['K1', 'K2', 'K3'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
  water: [{ id: 'RO', capacity: 3200, testEvery: 240, testMinutes: 10 }],
  shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 2 }],
  stock: ['2K', '4K'].map((bath) => ({ lot: `K-${bath}`, bath, bags: 120, litres: 6.5 })),
  supplies: [{ item: 'circuit', onHand: 90, perCircuit: 1 }],
  forecast: forecast(0.6, 10),
});
