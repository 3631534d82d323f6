import type { Scenario } from '../scenario/schema.ts';
import type { Entry } from './entries.ts';
import { standing } from './fold.ts';
import type { Noted } from './journal.ts';

/** Lists whose rows an entry names; lots: stock and deliveries together. */
const LISTS = {
  baths: ({ baths }: Scenario) => baths.map(({ id }) => id),
  machines: ({ machines }: Scenario) => machines.map(({ id }) => id),
  water: ({ water }: Scenario) => water.map(({ id }) => id),
  shifts: ({ shifts }: Scenario) => shifts.map(({ id }) => id),
  duties: ({ duties }: Scenario) => (duties ?? []).map(({ id }) => id),
  lots: ({ stock, deliveries }: Scenario) => [...(stock ?? []), ...(deliveries ?? [])].map(({ lot }) => lot),
} as const;
type List = keyof typeof LISTS;

/** What an entry names, by list. */
function namedBy(entry: Entry): Partial<Record<List, readonly string[]>> {
  switch (entry.kind) {
    case 'circuit':
    case 'bath':
      return { machines: [entry.machine], baths: [entry.bath] };
    case 'reading':
    case 'fill':
    case 'off':
    case 'stop':
      return { machines: [entry.machine] };
    case 'test':
      return { water: [entry.water] };
    case 'out':
    case 'back':
      return { machines: [entry.machine ?? ''], water: [entry.water ?? ''] };
    case 'staff':
      return { shifts: [entry.shift] };
    case 'duty':
      return { duties: [entry.duty] };
    case 'leave':
      return {
        lots: entry.loads.map(({ lot }) => lot),
        baths: entry.loads.flatMap(({ bath }) => bath ?? []),
      };
    case 'arrive':
      return { lots: [entry.lot], baths: entry.bath ? [entry.bath] : [] };
    case 'hold':
    case 'release':
    case 'discard':
    case 'count':
      return { lots: [entry.lot] };
    case 'note':
    case 'void':
      return {};
  }
}

/**
 * Names that an edit takes out of the scenario though the record names them: what was done stands under them, so that a
 * renamed or deleted machine, water source, bath or lot would lose its fills, its failed tests and its holds.
 * @returns each name once, in the order of the lists, with how many entries stand under any of them
 */
export function namesLost(
  before: Scenario,
  after: Scenario,
  noted: readonly Noted[],
): { readonly names: readonly string[]; readonly entries: number } {
  const gone = (Object.keys(LISTS) as List[]).flatMap((list) => {
    const left = new Set(LISTS[list](after));
    return LISTS[list](before).flatMap((name) => (left.has(name) ? [] : [{ list, name }]));
  });
  if (gone.length === 0) return { names: [], entries: 0 };
  const named = standing(noted).map(namedBy);
  const isNamed = ({ list, name }: (typeof gone)[number]) => named.some((one) => one[list]?.includes(name));
  const lost = gone.filter(isNamed);
  return {
    names: [...new Set(lost.map(({ name }) => name))],
    entries: named.filter((one) => lost.some(({ list, name }) => one[list]?.includes(name))).length,
  };
}
