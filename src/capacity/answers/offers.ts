import { makeClock, nextDate } from '../../calendar/clock.ts';
import { bagLitresOf } from '../../scenario/problem/rules.ts';
import type { LotRow, MachineRow, Scenario } from '../../scenario/schema.ts';
import { freeId } from './levers.ts';

/** What an order brings, as a file tells it; `by` is the local time from which it is there. */
export type OrderItem =
  | { readonly kind: 'machine'; readonly like: string; readonly count: number; readonly by: string }
  | { readonly kind: 'water'; readonly id: string; readonly more: number; readonly by: string }
  | { readonly kind: 'technicians'; readonly shift: string; readonly more: number; readonly by: string }
  | { readonly kind: 'supply'; readonly item: string; readonly quantity: number; readonly by: string }
  | {
      readonly kind: 'bags';
      readonly bath: string;
      readonly quantity: number;
      readonly litres: number;
      readonly by: string;
    };
export type OrderKind = OrderItem['kind'];

/** Something that could be had. */
export interface Offer {
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
}

/** Steps in which more water is asked about where no pack is typed, mL/min. */
const WATER_STEP = 100;
const MANY = 1_000_000;
const MOST_MACHINES = 80;
const MOST_TECHNICIANS = 20;

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

/**
 * What could be had where the site typed no prices: one more of all that is listed, each pack of weight 1, there from
 * the start. A machine like each kind of the list, water in steps of 100 mL/min at sources in use, technicians by
 * shift, supplies by their unit, and bags of each bath.
 */
export function offersOf(scenario: Scenario): Offer[] {
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
export function itemOf(scenario: Scenario, { kind, of, pack, leadDays }: Offer, packs: number): OrderItem {
  const by = timeAfter(scenario, leadDays);
  const amount = packs * pack;
  switch (kind) {
    case 'machine':
      return { kind, like: of, count: amount, by };
    case 'water':
      return { kind, id: of, more: amount, by };
    case 'technicians':
      return { kind, shift: of, more: amount, by };
    case 'supply':
      return { kind, item: of, quantity: amount, by };
    case 'bags':
      return { kind, bath: of, quantity: amount, litres: bagLitresOf(scenario), by };
  }
}

/** Local time so many days of 24 h after the start. */
function timeAfter({ timeZone, start }: Scenario, days: number): string {
  return days === 0 ? start : makeClock(timeZone, start).localOf(days * 1440);
}

/** The last local time that the forecast or the plan looks at. */
const endOf = (scenario: Scenario): string =>
  timeAfter(scenario, Math.max(scenario.days, scenario.forecast?.days ?? 30));

function withMachine(scenario: Scenario, item: OrderItem & { kind: 'machine' }): Scenario {
  const like = scenario.machines.find(({ id }) => id === item.like);
  if (!like) return scenario;
  const machines = [...scenario.machines];
  for (let n = 0; n < item.count; n++) {
    const id = freeId(
      like.id,
      machines.map((row) => row.id),
    );
    const whole = like.available ?? [{ from: scenario.start, to: endOf(scenario) }];
    const windows =
      item.by === scenario.start
        ? like.available
        : whole
            .filter(({ to }) => to > item.by)
            .map((window) => (window.from < item.by ? { ...window, from: item.by } : window));
    machines.push({ ...like, id, loaded: null, ...(windows && { available: windows }) });
  }
  return { ...scenario, machines };
}

function withTechnicians(scenario: Scenario, item: OrderItem & { kind: 'technicians' }): Scenario {
  if (item.by === scenario.start)
    return {
      ...scenario,
      shifts: scenario.shifts.map((row) =>
        row.id === item.shift ? { ...row, technicians: row.technicians + item.more } : row,
      ),
    };
  const first = item.by.slice(0, 10);
  const last = endOf(scenario).slice(0, 10);
  const dates: string[] = [];
  for (let date = first; date <= last; date = nextDate(date, 1)) dates.push(date);
  const added = scenario.shifts
    .filter(({ id }) => id === item.shift)
    .map((row) => ({
      ...row,
      technicians: item.more,
      dates: row.dates ? row.dates.filter((date) => date >= first) : dates,
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
    expires: null,
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
