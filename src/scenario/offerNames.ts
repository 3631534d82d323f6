import type { Scenario } from './schema.ts';

export const OFFER_KINDS = ['machine', 'water', 'technicians', 'supply', 'bags'] as const;
export type OfferKind = (typeof OFFER_KINDS)[number];

/** Days of the week as a file names them, Monday first (ISO 8601). */
export const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

/** Day of the week of a date YYYY-MM-DD. */
export const weekdayOf = (date: string): (typeof WEEKDAYS)[number] =>
  WEEKDAYS[(new Date(`${date}T00:00:00Z`).getUTCDay() + 6) % 7]!;

/** What an offer of a kind may be of: names of the scenario's lists. */
export function offerNames(scenario: Scenario, kind: OfferKind): string[] {
  switch (kind) {
    case 'machine':
      return scenario.machines.map(({ id }) => id);
    case 'water':
      return scenario.water.map(({ id }) => id);
    case 'technicians':
      return [...new Set(scenario.shifts.map(({ id }) => id))];
    case 'supply':
      return (scenario.supplies ?? []).map(({ item }) => item);
    case 'bags':
      return scenario.baths.map(({ id }) => id);
  }
}
