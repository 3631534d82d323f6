import { readFileSync } from 'node:fs';
import type { Forecast, Scenario } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';

/** Nobody listed and no bag hung: only the census is on trial. */
export const emptySite = (forecast: Forecast): Scenario =>
  tinyWorld({ forecast: { dose: { law: 'fixed', value: 0 }, ...forecast } });

/** An invented site that stays as it is, without the optional fields of the floor; see tests/frozen. */
export const frozen = (name: string): Scenario =>
  JSON.parse(readFileSync(new URL(`../frozen/${name}.json`, import.meta.url), 'utf8'));

/** Forty patients on three baths, four machines: a site with everything in it. */
export function wardSite(changes: Partial<Scenario> = {}): Scenario {
  return {
    ...tinyWorld(),
    title: 'Ward (invented)',
    start: '2031-02-03T07:00',
    days: 7,
    baths: [{ id: '2K' }, { id: '3K' }, { id: '4K' }],
    patients: Array.from({ length: 40 }, (_, n) => ({
      id: `bed-${n + 1}`,
      weight: 55.5 + ((n * 7) % 60),
      dose: 20 + (n % 3) * 2.5,
      hoursPerDay: 22,
      bath: ['2K', '3K', '4K'][n % 3]!,
      from: n % 4 === 0 ? '2031-01-30T12:00' : null,
    })),
    machines: Array.from({ length: 4 }, (_, n) => ({
      id: `M${n + 1}`,
      flow: 800,
      positions: 8,
      water: 'RO',
    })),
    water: [{ id: 'RO', capacity: 3200, testEvery: 240, testMinutes: 10 }],
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
    ],
    stock: ['2K', '3K', '4K'].map((bath) => ({ lot: `P-${bath}`, bath, bags: 90, litres: 6.5 })),
    forecast: {
      days: 14,
      startsPerDay: 4,
      stayDays: { law: 'lognormal', mean: 9, sd: 7 },
      listed: 'by stay',
      weight: { law: 'normal', mean: 82, sd: 18, min: 40, max: 180 },
      bathByDay: [
        { fromDay: 0, share: { '2K': 0.6, '3K': 0.1, '4K': 0.3 } },
        { fromDay: 2, share: { '2K': 0.2, '3K': 0.2, '4K': 0.6 } },
      ],
      breakdowns: { daysBetween: 30, hoursToRepair: 12 },
      absence: 0.05,
    },
    ...changes,
  };
}
