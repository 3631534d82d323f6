import type { Scenario } from '../../src/scenario/schema.ts';

/** An invented scenario that uses every part of the file and has no fault, changed by an edit. */
export function sound(edit: (scenario: Required<Filled>) => void = () => {}): Scenario {
  const scenario: Filled = {
    format: 'bathtide-scenario',
    version: 1,
    title: 'Sound (invented)',
    timeZone: 'America/Chicago',
    start: '2031-02-03T07:00',
    days: 7,
    baths: [
      {
        id: '2K',
        potassium: 2,
        sodium: 140,
        calcium: 2.5,
        magnesium: 1,
        chloride: 108,
        bicarbonate: 32,
        acetate: 4,
      },
      {
        id: '4K',
        potassium: 4,
        sodium: 140,
        calcium: 2.5,
        magnesium: 1,
        chloride: 110,
        bicarbonate: 32,
        acetate: 4,
      },
    ],
    patients: [
      {
        id: 'bed-01',
        weight: 82,
        dose: 25,
        fluidRemoval: 100,
        bath: '2K',
        from: '2031-02-03T07:00',
        until: '2031-02-08T07:00',
        changes: [{ at: '2031-02-05T07:00', bath: '4K', dose: 20 }],
      },
      {
        id: 'bed-02',
        weight: 70,
        dose: 25,
        bath: '4K',
        ward: 'ICU-2',
        session: { start: '08:00', hours: 10 },
      },
    ],
    machines: [
      {
        id: 'M1',
        flow: 800,
        positions: 8,
        baths: ['2K', '4K'],
        water: 'RO-A',
        available: [
          { from: '2031-02-03T07:00', to: '2031-02-05T07:00' },
          { from: '2031-02-05T07:00', to: '2031-02-10T07:00' },
        ],
        loaded: { bath: '2K', circuitSince: '2031-02-03T01:00' },
      },
      { id: 'M2', flow: 500, positions: 8, water: 'RO-A', flowTolerance: 0 },
    ],
    water: [
      {
        id: 'RO-A',
        capacity: 1600,
        testEvery: 240,
        testMinutes: 10,
        lastTest: '2031-02-03T06:00',
        capacityChanges: [{ at: '2031-02-04T07:00', capacity: 1300 }],
      },
    ],
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1, dates: ['2031-02-04', '2031-02-05'] },
    ],
    stock: [{ lot: 'P-1', bath: '2K', bags: 20, litres: 6.5, expires: '2031-02-04T19:00' }],
    deliveries: [
      {
        lot: 'P-2',
        bath: '4K',
        bags: 30,
        litres: 6.5,
        ready: '2031-02-04T12:00',
        expires: '2032-01-01T00:00',
      },
    ],
    supplies: [
      { item: 'circuit', onHand: 20, perCircuit: 1, deliveries: [{ at: '2031-02-05T09:00', quantity: 5 }] },
      { item: 'acid 2K (L)', onHand: 90, perLitre: 0.02222, bath: '2K' },
    ],
    rules: {
      fillLitres: 6.5,
      maxLitres: 7.5,
      shelfHours: 48,
      rounds: ['06:00', '18:00'],
      reserve: { '2K': 8 },
      minStock: { '2K': 4 },
      walkMinutes: 2,
      fillStartMinutes: 2,
      hands: { circuit: 1, bath: 2, swap: 1, test: 1 },
      sampleBags: 1,
      releaseAfterTest: true,
      releaseBy: 'entry',
      doseMeans: 'effluent',
      steadyMinutes: 90,
      chlorineLimit: 0.05,
      conductivityTolerance: 0.04,
      pHMin: 7,
      pHMax: 7.5,
    },
    slack: {
      roundMinutes: 30,
      swapMinutes: 5,
      testMinutes: 20,
      circuitMinutes: 15,
      restMinutes: 2,
      bags: 8,
    },
    duties: [
      { id: 'break', times: ['12:00', '00:30'], minutes: 30, slackMinutes: 60, technicians: 1 },
      { id: 'disinfect M1', place: 'M1', times: ['04:00'], minutes: 45, flow: 500, endsCircuit: true },
      {
        id: 'sample RO-A',
        place: 'RO-A',
        times: ['05:00'],
        dates: ['2031-02-05'],
        minutes: 20,
        voidsTests: true,
      },
    ],
    offers: [
      { id: 'loan', kind: 'machine', of: 'M1', price: 900, leadDays: 2, most: 3, weekdays: ['Mon', 'Tue'] },
      { id: 'bags 2K', kind: 'bags', of: '2K', pack: 40, price: 320, litres: 5, keepsHours: 8000 },
      { id: 'acid', kind: 'supply', of: 'acid 2K (L)', pack: 12.5, price: 20 },
    ],
    forecast: {
      days: 30,
      draws: 1000,
      seed: 1,
      confidence: 0.95,
      startsPerDay: 2,
      stayDays: { law: 'lognormal', mean: 9, sd: 7 },
      weight: { law: 'normal', mean: 82, sd: 18, min: 40, max: 180 },
      bathByDay: [
        { fromDay: 0, share: { '2K': 0.6, '4K': 0.4 } },
        { fromDay: 2, share: { '2K': 0.2, '4K': 0.8 } },
      ],
      breakdowns: { daysBetween: 30, hoursToRepair: 12 },
      absence: 0.05,
    },
  };
  edit(scenario as Required<Filled>);
  return scenario;
}

/** A scenario with its optional parts there, so that an edit need not ask. */
type Filled = Scenario & {
  stock: NonNullable<Scenario['stock']>;
  deliveries: NonNullable<Scenario['deliveries']>;
  supplies: NonNullable<Scenario['supplies']>;
  duties: NonNullable<Scenario['duties']>;
  offers: NonNullable<Scenario['offers']>;
  rules: NonNullable<Scenario['rules']>;
  forecast: NonNullable<Scenario['forecast']>;
};
export type Edit = (scenario: Required<Filled>) => void;

/** Sets one field by its path, e.g. set('patients.0.dose', 19.9). */
export const set =
  (path: string, value: unknown): Edit =>
  (scenario) => {
    const keys = path.split('.');
    let at: Record<string, unknown> = scenario;
    for (const key of keys.slice(0, -1)) at = at[key] as Record<string, unknown>;
    at[keys.at(-1)!] = value;
  };

/** What happens, the edit of the sound scenario, and the faults that the rule then finds: level and path. */
export type Case = readonly [string, Edit, readonly string[]];

/** The path of every value in a scenario that is no list and no group of fields, and of every group. */
export function paths(value: unknown, before: string[] = []): string[] {
  if (typeof value !== 'object' || value === null) return [before.join('.')];
  const inside = Object.entries(value).flatMap(([key, part]) => paths(part, [...before, key]));
  return before.length > 0 ? [before.join('.'), ...inside] : inside;
}
