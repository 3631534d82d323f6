import { makeClock, nextDate } from '../../calendar/clock.ts';
import { weekdayOf } from '../../scenario/offerNames.ts';
import { bagLitresOf } from '../../scenario/problem/rules.ts';
import type { LotRow, MachineRow, OfferRow, Scenario } from '../../scenario/schema.ts';
import { freeId } from './levers.ts';

/** What an order brings, as a file tells it; `by` is the local time from which it is there. */
export type OrderItem =
  | {
      readonly kind: 'machine';
      readonly like: string;
      readonly count: number;
      readonly by: string;
      /** Only on these days of the week; absent: every day. */
      readonly weekdays?: readonly string[];
    }
  | { readonly kind: 'water'; readonly id: string; readonly more: number; readonly by: string }
  | {
      readonly kind: 'technicians';
      readonly shift: string;
      readonly more: number;
      readonly by: string;
      readonly weekdays?: readonly string[];
    }
  | { readonly kind: 'supply'; readonly item: string; readonly quantity: number; readonly by: string }
  | {
      readonly kind: 'bags';
      readonly bath: string;
      readonly quantity: number;
      readonly litres: number;
      readonly by: string;
      /** Absent: never. */
      readonly expires?: string;
    };
export type OrderKind = OrderItem['kind'];

/** Something that could be had. */
export interface Offer {
  /** What the site calls it; absent where the site typed no offers. */
  readonly name?: string;
  readonly kind: OrderKind;
  /** Machine that it is like, water source, shift, supply or bath. */
  readonly of: string;
  /** Smallest amount that can be had: machines, mL/min, technicians, the item's unit, bags. */
  readonly pack: number;
  /** Of one pack, in the site's money or weight. */
  readonly price: number;
  /** Days from the scenario's start until it is there. */
  readonly leadDays: number;
  /** Packs at most. */
  readonly most: number;
  /** Machines and technicians are there on these days only; absent: every day. */
  readonly weekdays?: readonly string[];
  /** Bags: L a bag, and h that they keep; absent: the minimum fill volume, and for good. */
  readonly litres?: number;
  readonly keepsHours?: number;
}

/** Steps in which more water is asked about where no pack is typed, mL/min. */
const WATER_STEP = 100;
const MANY = 1_000_000;
const MOST_MACHINES = 80;
const MOST_TECHNICIANS = 20;
const MOST_OF: Readonly<Record<OrderKind, number>> = {
  machine: MOST_MACHINES,
  technicians: MOST_TECHNICIANS,
  water: MANY,
  supply: MANY,
  bags: MANY,
};

/** Machines that differ in what they do; of like ones the one that is always there stands for all. */
export function kindsListed({ machines }: Scenario): MachineRow[] {
  const kinds = new Map<string, MachineRow>();
  for (const row of machines) {
    const key = JSON.stringify([row.flow, row.positions, row.water, [...(row.baths ?? [])].sort()]);
    const known = kinds.get(key);
    if (!known || (known.available && !row.available)) kinds.set(key, row);
  }
  return [...kinds.values()];
}

/** An offer as the site typed it (M34), without error faults. */
const typedOffer = (row: OfferRow): Offer => ({
  name: row.id,
  kind: row.kind as OrderKind,
  of: row.of,
  pack: row.pack ?? 1,
  price: row.price ?? 1,
  leadDays: row.leadDays ?? 0,
  most: Math.min(row.most ?? MANY, MOST_OF[row.kind as OrderKind]),
  ...(row.weekdays && { weekdays: row.weekdays }),
  ...(row.litres != null && { litres: row.litres }),
  ...(row.keepsHours != null && { keepsHours: row.keepsHours }),
});

/** Where the cost of a list comes from. */
export type Pricing = 'typed' | 'partly typed' | 'weights';
export function pricingOf({ offers }: Scenario): Pricing {
  const priced = (offers ?? []).filter(({ price }) => price != null).length;
  return priced === 0 ? 'weights' : priced === (offers ?? []).length ? 'typed' : 'partly typed';
}

/** What could be had: as typed, else `unpricedOffers`. */
export const offersOf = (scenario: Scenario): Offer[] =>
  scenario.offers?.length ? scenario.offers.map(typedOffer) : unpricedOffers(scenario);

/**
 * What could be had where the site typed no offers: one more of all that is listed, each pack of weight 1, there from
 * the start. A machine like each kind of the list, water in steps of 100 mL/min at sources in use, technicians by
 * shift, supplies by their unit, and bags of each bath.
 */
function unpricedOffers(scenario: Scenario): Offer[] {
  const offer = (kind: OrderKind, of: string, pack: number, most: number): Offer => ({
    kind,
    of,
    pack,
    most,
    price: 1,
    leadDays: 0,
  });
  const used = scenario.water.filter(({ id }) => scenario.machines.some(({ water }) => water === id));
  const shifts = [...new Set(scenario.shifts.map(({ id }) => id))];
  return [
    ...kindsListed(scenario).map(({ id }) => offer('machine', id, 1, MOST_MACHINES)),
    ...used.map(({ id }) => offer('water', id, WATER_STEP, MANY)),
    ...shifts.map((id) => offer('technicians', id, 1, MOST_TECHNICIANS)),
    ...(scenario.supplies ?? []).map(({ item }) => offer('supply', item, 1, MANY)),
    ...scenario.baths.map(({ id }) => offer('bags', id, 1, MANY)),
  ];
}

/** So many packs of an offer, as a file tells them. */
export function itemOf(scenario: Scenario, offer: Offer, packs: number): OrderItem {
  const { kind, of, pack, leadDays, weekdays, keepsHours } = offer;
  const by = timeAfter(scenario, leadDays);
  // Packs of 0.1 must not add up to 0.30000000000000004.
  const amount = Number((packs * pack).toPrecision(12));
  const days = weekdays && { weekdays };
  switch (kind) {
    case 'machine':
      return { kind, like: of, count: amount, by, ...days };
    case 'water':
      return { kind, id: of, more: amount, by };
    case 'technicians':
      return { kind, shift: of, more: amount, by, ...days };
    case 'supply':
      return { kind, item: of, quantity: amount, by };
    case 'bags':
      return {
        kind,
        bath: of,
        quantity: amount,
        litres: offer.litres ?? bagLitresOf(scenario),
        by,
        ...(keepsHours !== undefined && { expires: timeAfter(scenario, leadDays + keepsHours / 24) }),
      };
  }
}

/** Local time so many days of 24 h after the start. */
export function timeAfter({ timeZone, start }: Scenario, days: number): string {
  return days === 0 ? start : makeClock(timeZone, start).localOf(Math.round(days * 1440));
}

/** The last local time that the forecast or the plan looks at. */
const endOf = (scenario: Scenario): string =>
  timeAfter(scenario, Math.max(scenario.days, scenario.forecast?.days ?? 30));

/** Dates from one day to another, both included; only those on the days of the week, where these are given. */
function datesFrom(first: string, last: string, weekdays: readonly string[] | undefined): string[] {
  const dates: string[] = [];
  for (let date = first; date <= last; date = nextDate(date, 1))
    if (!weekdays || weekdays.includes(weekdayOf(date))) dates.push(date);
  return dates;
}

type Windows = NonNullable<MachineRow['available']>;

/** The days of the week from `by` on as windows; days that follow each other are one, for a fill may run past midnight. */
function windowsOn(scenario: Scenario, by: string, weekdays: readonly string[]): Windows {
  const windows: { from: string; to: string }[] = [];
  for (const date of datesFrom(by.slice(0, 10), endOf(scenario).slice(0, 10), weekdays)) {
    const midnight = `${date}T00:00`;
    const to = `${nextDate(date, 1)}T00:00`;
    const last = windows.at(-1);
    if (last?.to === midnight) last.to = to;
    else windows.push({ from: midnight < by ? by : midnight, to });
  }
  return windows;
}

/** What both lists of windows allow. ISO local times compare as texts. */
const inBoth = (a: Windows, b: Windows): Windows =>
  a.flatMap((one) =>
    b.flatMap((other) => {
      const [, from] = [one.from, other.from].sort();
      const [to] = [one.to, other.to].sort();
      return from! < to! ? [{ from: from!, to: to! }] : [];
    }),
  );

function withMachine(scenario: Scenario, item: OrderItem & { kind: 'machine' }): Scenario {
  const like = scenario.machines.find(({ id }) => id === item.like);
  if (!like) return scenario;
  const machines = [...scenario.machines];
  const isWhole = item.by === scenario.start && !item.weekdays;
  const own = like.available ?? [{ from: scenario.start, to: endOf(scenario) }];
  const there = item.weekdays
    ? windowsOn(scenario, item.by, item.weekdays)
    : [{ from: item.by, to: '9999-12-31T00:00' }];
  const windows = isWhole ? like.available : inBoth(own, there);
  for (let n = 0; n < item.count; n++) {
    const id = freeId(
      like.id,
      machines.map((row) => row.id),
    );
    machines.push({ ...like, id, loaded: null, ...(windows && { available: windows }) });
  }
  return { ...scenario, machines };
}

function withTechnicians(scenario: Scenario, item: OrderItem & { kind: 'technicians' }): Scenario {
  if (item.by === scenario.start && !item.weekdays)
    return {
      ...scenario,
      shifts: scenario.shifts.map((row) =>
        row.id === item.shift ? { ...row, technicians: row.technicians + item.more } : row,
      ),
    };
  const dates = datesFrom(item.by.slice(0, 10), endOf(scenario).slice(0, 10), item.weekdays);
  const added = scenario.shifts
    .filter(({ id }) => id === item.shift)
    .map((row) => ({
      ...row,
      technicians: item.more,
      // Of the first day, a shift that began before they are there is none of theirs.
      dates: dates.filter((date) => (row.dates?.includes(date) ?? true) && `${date}T${row.from}` >= item.by),
    }));
  return { ...scenario, shifts: [...scenario.shifts, ...added] };
}

function withWater(scenario: Scenario, item: OrderItem & { kind: 'water' }): Scenario {
  const more = (row: Scenario['water'][number]): Scenario['water'][number] => {
    const changes = row.capacityChanges ?? [];
    const raised = changes.map((change) =>
      change.at >= item.by || item.by === scenario.start
        ? { ...change, capacity: change.capacity + item.more }
        : change,
    );
    if (item.by === scenario.start)
      return {
        ...row,
        capacity: row.capacity + item.more,
        ...(raised.length > 0 && { capacityChanges: raised }),
      };
    const before = changes.filter(({ at }) => at <= item.by).sort((a, b) => (a.at < b.at ? -1 : 1));
    const now = before.at(-1)?.capacity ?? row.capacity;
    const step = { at: item.by, capacity: now + item.more };
    return { ...row, capacityChanges: [step, ...raised] };
  };
  return { ...scenario, water: scenario.water.map((row) => (row.id === item.id ? more(row) : row)) };
}

const withSupply = (scenario: Scenario, item: OrderItem & { kind: 'supply' }): Scenario => ({
  ...scenario,
  supplies: (scenario.supplies ?? []).map((row) =>
    row.item === item.item
      ? { ...row, deliveries: [...(row.deliveries ?? []), { at: item.by, quantity: item.quantity }] }
      : row,
  ),
});

function withBags(scenario: Scenario, item: OrderItem & { kind: 'bags' }): Scenario {
  const deliveries = scenario.deliveries ?? [];
  const taken = [...(scenario.stock ?? []), ...deliveries].map(({ lot }) => lot);
  const lot: LotRow = {
    lot: freeId(`ordered ${item.bath}`, taken),
    bath: item.bath,
    bags: item.quantity,
    litres: item.litres,
    ready: item.by,
    expires: item.expires ?? null,
  };
  return { ...scenario, deliveries: [...deliveries, lot] };
}

function withItem(scenario: Scenario, item: OrderItem): Scenario {
  switch (item.kind) {
    case 'machine':
      return withMachine(scenario, item);
    case 'water':
      return withWater(scenario, item);
    case 'technicians':
      return withTechnicians(scenario, item);
    case 'supply':
      return withSupply(scenario, item);
    case 'bags':
      return withBags(scenario, item);
  }
}

/** The scenario with an order added as it stands. */
export const withItems = (scenario: Scenario, items: readonly OrderItem[]): Scenario =>
  items.reduce(withItem, scenario);
