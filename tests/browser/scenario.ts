import type { Scenario } from '../../src/scenario/schema.ts';

const BATHS = ['2K', '3K', '4K'];

/** An invented week: beds with weights and doses that differ, machines and technicians enough for about 40 of them. */
export function invented(beds: number, days = 7): Scenario {
  const machines = Math.max(2, Math.ceil(beds / 10));
  return {
    format: 'bathtide-scenario',
    version: 1,
    title: `Invented week of ${beds} beds`,
    timeZone: 'America/Chicago',
    start: '2031-02-03T07:00',
    days,
    baths: BATHS.map((id, index) => ({ id, potassium: index + 2, sodium: 140, bicarbonate: 32 })),
    patients: Array.from({ length: beds }, (_, index) => ({
      id: `bed-${String(index + 1).padStart(2, '0')}`,
      weight: 55 + ((index * 17) % 60),
      dose: 25 + ((index * 7) % 6),
      bath: BATHS[(index * 5) % 3]!,
      hoursPerDay: 22,
    })),
    machines: Array.from({ length: machines }, (_, index) => ({
      id: `M${index + 1}`,
      flow: 800,
      positions: 8,
      water: 'RO-A',
    })),
    water: [{ id: 'RO-A', capacity: 800 * machines, testEvery: 240, testMinutes: 10 }],
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: Math.ceil(machines / 2) },
      { id: 'night', from: '19:00', to: '07:00', technicians: Math.ceil(machines / 3) },
    ],
    stock: BATHS.map((bath, index) => ({ lot: `S-${index + 1}`, bath, bags: 5 * beds, litres: 5 })),
    supplies: [{ item: 'circuit', onHand: 60, perCircuit: 1 }],
  };
}
