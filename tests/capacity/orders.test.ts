import { describe, expect, test } from 'vitest';
import { machineRows } from '../../src/capacity/answers/answers.ts';
import { type Runner, runDraws } from '../../src/capacity/answers/job.ts';
import {
  itemOf,
  type Offer,
  type OrderItem,
  offersOf,
  withItems,
} from '../../src/capacity/answers/offers.ts';
import { orderLists } from '../../src/capacity/answers/orders.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { capacityAt } from '../../src/scenario/problem/water.ts';
import { type Scenario, scenarioSchema } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';
import { wardSite } from './worlds.ts';

const run: Runner = async (jobs) => jobs.map((job) => runDraws(job));
const RUNS = 40;

function chanceOf(scenario: Scenario, draws = RUNS): number {
  const own = scenario.machines.length;
  const chunk = runDraws({ scenario, seed: 1, first: 0, count: draws, least: own, most: own });
  return machineRows(chunk, own, own)[0]!.shortageChance;
}

/** One machine and one technician for four days, and more patients than they can serve. */
const small = (changes: Partial<Scenario> = {}): Scenario => ({
  ...tinyWorld(),
  days: 4,
  patients: Array.from({ length: 14 }, (_, n) => ({
    id: `bed-${n + 1}`,
    weight: 80,
    dose: 25,
    bath: n % 2 ? '2K' : '4K',
  })),
  stock: ['2K', '4K'].map((bath) => ({ lot: `P-${bath}`, bath, bags: 20, litres: 6.5 })),
  shifts: [{ id: 'all', from: '00:00', to: '00:00', technicians: 1 }],
  forecast: { days: 4, startsPerDay: 3, stayDays: { law: 'fixed', value: 3 }, confidence: 0.9 },
  ...changes,
});

describe('an order added to the scenario as it stands', () => {
  const start = wardSite().start;
  const later = '2031-02-05T07:00';
  const added = (item: OrderItem, scenario = wardSite()) => {
    const made = withItems(scenario, [item]);
    expect(scenarioSchema.safeParse(made).success).toBe(true);
    return made;
  };

  test('machines are like another one, there from their time on', () => {
    const now = added({ kind: 'machine', like: 'M2', count: 2, by: start });
    expect(now.machines.map(({ id }) => id)).toEqual(['M1', 'M2', 'M3', 'M4', 'M2 2', 'M2 3']);
    expect(now.machines[5]).toMatchObject({ flow: 800, water: 'RO', loaded: null });
    const then = compile(added({ kind: 'machine', like: 'M2', count: 1, by: later }));
    expect(then.machines[4]!.windows).toEqual([{ from: 2880, to: 7 * 1440 }]);
  });

  test('water: more from the start, or as a change of capacity', () => {
    expect(added({ kind: 'water', id: 'RO', more: 800, by: start }).water[0]!.capacity).toBe(4000);
    const then = compile(added({ kind: 'water', id: 'RO', more: 800, by: later })).water[0]!;
    expect([capacityAt(then, 2879), capacityAt(then, 2880)]).toEqual([3200, 4000]);
    const changing = wardSite({
      water: [
        {
          ...wardSite().water[0]!,
          capacityChanges: [
            { at: '2031-02-04T07:00', capacity: 1600 },
            { at: '2031-02-06T07:00', capacity: 2400 },
          ],
        },
      ],
    });
    const both = compile(added({ kind: 'water', id: 'RO', more: 800, by: later }, changing)).water[0]!;
    expect([0, 1440, 2880, 4320].map((minute) => capacityAt(both, minute))).toEqual([3200, 1600, 2400, 3200]);
  });

  test('technicians, supplies and bags', () => {
    const staff = (item: OrderItem, minute: number) => compile(added(item)).staff[minute];
    const night: OrderItem = { kind: 'technicians', shift: 'night', more: 2, by: start };
    // 07:00 is the start; the night begins after twelve hours.
    expect([staff(night, 719), staff(night, 720)]).toEqual([2, 3]);
    const soon: OrderItem = { ...night, by: later };
    expect([staff(soon, 720), staff(soon, 2880 + 720)]).toEqual([1, 3]);
    const supplies = [{ item: 'bag set', onHand: 3, perFill: 1 }];
    const poor = compile(
      added({ kind: 'supply', item: 'bag set', quantity: 40, by: start }, wardSite({ supplies })),
    );
    expect(poor.supplies[0]!.deliveries).toEqual([{ at: 0, quantity: 40 * poor.supplies[0]!.scale }]);
    const bags = compile(added({ kind: 'bags', bath: '3K', quantity: 7, litres: 6.5, by: start }));
    expect(bags.lots.at(-1)).toMatchObject({ bags: 7, ready: 0, expires: Number.POSITIVE_INFINITY });
  });
});

describe('offers as a site types them', () => {
  const start = wardSite().start;
  test('a machine on loan Monday to Friday is there on those days, one window a week, from its lead time on', () => {
    // 2031-02-03 is a Monday (ISO 8601 calendar); the loan comes on Wednesday at 07:00 and the forecast ends after 14 days.
    const site = wardSite({
      offers: [
        {
          id: 'loan',
          kind: 'machine',
          of: 'M2',
          pack: 2,
          price: 500,
          leadDays: 2,
          most: 3,
          weekdays: ['Mon', 'Tue', 'Wed', 'Thu', 'Fri'],
        },
      ],
    });
    const [offer] = offersOf(site);
    expect(offer).toMatchObject({ name: 'loan', pack: 2, price: 500, leadDays: 2, most: 3 });
    const item = itemOf(site, offer!, 1);
    expect(item).toMatchObject({ kind: 'machine', like: 'M2', count: 2, by: '2031-02-05T07:00' });
    const made = withItems(site, [item]);
    expect(scenarioSchema.safeParse(made).success).toBe(true);
    expect(made.machines.slice(4).map(({ available }) => available)).toEqual(
      [1, 2].map(() => [
        { from: '2031-02-05T07:00', to: '2031-02-08T00:00' },
        { from: '2031-02-10T00:00', to: '2031-02-15T00:00' },
        { from: '2031-02-17T00:00', to: '2031-02-17T07:00' },
      ]),
    );
  });

  test('the hours of the machine it is like still hold', () => {
    const [first, ...rest] = wardSite().machines;
    const available = [{ from: '2031-02-04T07:00', to: '2031-02-04T19:00' }];
    const site = wardSite({ machines: [{ ...first!, available }, ...rest] });
    const made = withItems(site, [
      { kind: 'machine', like: 'M1', count: 1, by: start, weekdays: ['Tue', 'Thu'] },
    ]);
    expect(made.machines.at(-1)!.available).toEqual(available);
  });

  test('technicians on Saturdays work the shifts that begin on them', () => {
    const made = withItems(wardSite(), [
      { kind: 'technicians', shift: 'night', more: 1, by: start, weekdays: ['Sat'] },
    ]);
    expect(made.shifts.at(-1)).toMatchObject({
      id: 'night',
      technicians: 1,
      dates: ['2031-02-08', '2031-02-15'],
    });
    const { staff } = compile(made);
    const at = (day: number, hour: number) => staff[day * 1440 + (hour - 7) * 60];
    expect([at(4, 20), at(5, 20), at(5, 8), at(6, 2 + 24)]).toEqual([1, 2, 2, 1]);
  });

  test('purchased bags hold what is typed and expire when they are said to', () => {
    const site = wardSite({
      offers: [{ id: 'x', kind: 'bags', of: '3K', pack: 30, leadDays: 1, litres: 5, keepsHours: 36 }],
    });
    const item = itemOf(site, offersOf(site)[0]!, 2);
    expect(item).toEqual({
      kind: 'bags',
      bath: '3K',
      quantity: 60,
      litres: 5,
      by: '2031-02-04T07:00',
      expires: '2031-02-05T19:00',
    });
    expect(withItems(site, [item]).deliveries!.at(-1)).toMatchObject({
      bags: 60,
      litres: 5,
      expires: '2031-02-05T19:00',
    });
  });

  test('only what is offered is bought, in whole packs, no more than can be had; dates follow the lead time', async () => {
    const site = small({
      offers: [
        { id: 'loan', kind: 'machine', of: 'M1', price: 700, leadDays: 1, most: 4 },
        { id: 'agency', kind: 'technicians', of: 'all', price: 300 },
        { id: 'crate 2K', kind: 'bags', of: '2K', pack: 24, price: 90, most: 40 },
        { id: 'crate 4K', kind: 'bags', of: '4K', pack: 24, price: 90, most: 40 },
      ],
    });
    const { orders } = await orderLists(site, offersOf(site), run, { draws: RUNS, seed: 1 });
    expect(orders.length).toBeGreaterThan(0);
    for (const { way, items, cost, shortageChance } of orders) {
      expect(chanceOf(withItems(site, items))).toBe(shortageChance);
      expect(shortageChance).toBeLessThanOrEqual(0.1 + 1e-9);
      expect(cost).toBe(items.reduce((sum, item) => sum + item.cost, 0));
      for (const item of items) {
        const offer = site.offers!.find(({ id }) => id === item.offer)!;
        const amount = 'count' in item ? item.count : 'more' in item ? item.more : item.quantity;
        const packs = amount / (offer.pack ?? 1);
        expect(packs % 1).toBe(0);
        expect(packs).toBeLessThanOrEqual(offer.most ?? 20);
        expect(item.cost).toBe(packs * offer.price!);
        const days = (a: string, b: string) => (Date.parse(`${a}Z`) - Date.parse(`${b}Z`)) / 86_400_000;
        expect(days(item.by, item.orderBy)).toBe(offer.leadDays ?? 0);
        expect(item.orderBy >= site.start).toBe(true);
        if (way === 'soonest') expect(item.orderBy).toBe(site.start);
        else {
          // One day later is too late, unless the plan ends before.
          const later = {
            ...item,
            by: compile(site).clock.localOf(compile(site).clock.minuteOf(item.by) + 1440),
          };
          const others = items.map((one) => (one === item ? later : one));
          if (days(later.by, site.start) < 4) expect(chanceOf(withItems(site, others))).toBeGreaterThan(0.1);
        }
      }
    }
  }, 120_000);
});

test('without prices one more of everything listed can be had, water only where a machine uses it', () => {
  const site = wardSite({
    water: [...wardSite().water, { id: 'idle', capacity: 900, testEvery: 240, testMinutes: 10 }],
    supplies: [{ item: 'bag set', onHand: 3, perFill: 1 }],
  });
  expect(offersOf(site).map(({ kind, of, price }) => [kind, of, price])).toEqual([
    ['machine', 'M1', 1],
    ['water', 'RO', 1],
    ['technicians', 'day', 1],
    ['technicians', 'night', 1],
    ['supply', 'bag set', 1],
    ['bags', '2K', 1],
    ['bags', '3K', 1],
    ['bags', '4K', 1],
  ]);
});

describe('lists', () => {
  /** What is left of an order with one pack of a line fewer. */
  const lowered = (items: readonly OrderItem[], at: number, offers: readonly Offer[]): OrderItem[] =>
    items.flatMap((item, n) => {
      if (n !== at) return [item];
      const offer = offers.find(({ kind }) => kind === item.kind)!;
      const amount = 'count' in item ? item.count : 'more' in item ? item.more : item.quantity;
      const packs = Math.round(amount / offer.pack) - 1;
      const of =
        item.kind === 'machine'
          ? item.like
          : item.kind === 'water'
            ? item.id
            : item.kind === 'technicians'
              ? item.shift
              : item.kind === 'supply'
                ? item.item
                : item.bath;
      return packs > 0 ? [itemOf(small(), { ...offer, of }, packs)] : [];
    });

  test.each([
    ['machines and hands', small()],
    ['few bags at the start', small({ stock: [{ lot: 'P', bath: '2K', bags: 3, litres: 6.5 }] })],
    ['few supplies', small({ supplies: [{ item: 'bag set', onHand: 6, perFill: 1 }] })],
    ['little water', small({ water: [{ ...tinyWorld().water[0]!, capacity: 800 }] })],
  ])(
    '%s: the list is enough on the same runs, and no line can be lowered by one pack',
    async (_, site) => {
      const offers = offersOf(site);
      const { orders } = await orderLists(site, offers, run, { draws: RUNS, seed: 1 });
      expect(orders.length).toBeGreaterThan(0);
      expect(chanceOf(site)).toBeGreaterThan(0.1);
      for (const { items, shortageChance, cost } of orders) {
        expect(items.length).toBeGreaterThan(0);
        expect(cost).toBeCloseTo(
          items.reduce((sum, item) => sum + item.cost, 0),
          9,
        );
        expect(chanceOf(withItems(site, items))).toBe(shortageChance);
        expect(shortageChance).toBeLessThanOrEqual(0.1 + 1e-9);
        for (let n = 0; n < items.length; n++)
          expect(chanceOf(withItems(site, lowered(items, n, offers))), items[n]!.kind).toBeGreaterThan(0.1);
      }
    },
    60_000,
  );

  test('the cheapest list costs no more than any of all small ones (enumeration)', async () => {
    const price: Readonly<Record<string, number>> = { machine: 5, water: 2, technicians: 3 };
    const stock = ['2K', '4K'].map((bath) => ({ lot: `P-${bath}`, bath, bags: 60, litres: 6.5 }));
    const patients = [...small().patients, ...small().patients.map((row) => ({ ...row, id: `${row.id} b` }))];
    const site = small({ stock, patients, water: [{ ...tinyWorld().water[0]!, capacity: 1000 }] });
    const offers = offersOf(site)
      .filter(({ kind }) => kind in price)
      .map((offer) => ({
        ...offer,
        price: price[offer.kind]!,
        ...(offer.kind === 'water' && { pack: 400, most: 6 }),
      }));
    const { orders } = await orderLists(site, offers, run, { draws: RUNS, seed: 1 });
    let best = Number.POSITIVE_INFINITY;
    for (let machines = 0; machines <= 4; machines++)
      for (let water = 0; water <= 5; water++)
        for (let technicians = 0; technicians <= 3; technicians++) {
          const packs = [machines, water, technicians];
          const cost = offers.reduce((sum, offer, n) => sum + offer.price * packs[n]!, 0);
          if (cost >= best) continue;
          const items = offers.flatMap((offer, n) => (packs[n]! > 0 ? [itemOf(site, offer, packs[n]!)] : []));
          if (chanceOf(withItems(site, items)) <= 0.1) best = cost;
        }
    expect(Number.isFinite(best)).toBe(true);
    expect(orders[0]!.cost).toBe(best);
  }, 120_000);

  test('nothing has to be bought where the level is kept; no list where nothing helps', async () => {
    const rich = small({ patients: [], forecast: { ...small().forecast, startsPerDay: 0 } });
    const none = await orderLists(rich, offersOf(rich), run, { draws: RUNS, seed: 1 });
    expect(none.orders).toMatchObject([{ way: 'cheapest', cost: 0, items: [], shortageChance: 0 }]);
    const site = small({ stock: [] });
    const only = offersOf(site).filter(({ kind }) => kind === 'machine');
    const answer = await orderLists(site, only, run, { draws: RUNS, seed: 1 });
    expect(answer.orders).toEqual([]);
    expect(answer.remarks).toEqual([
      'No purchase reaches the service level: opening stock still runs short.',
    ]);
  }, 60_000);

  test('the soonest list takes what is there first, the fewest people no technician that a machine can spare', async () => {
    const site = small();
    const offers = offersOf(site).map((offer) => ({
      ...offer,
      leadDays: offer.kind === 'machine' ? 1 : 0,
      ...(offer.kind === 'bags' && { price: 10 }),
    }));
    const { orders } = await orderLists(site, offers, run, { draws: RUNS, seed: 1 });
    for (const { items } of orders) expect(chanceOf(withItems(site, items))).toBeLessThanOrEqual(0.1 + 1e-9);
    const people = (way: string) =>
      orders
        .find((one) => one.way === way)
        ?.items.reduce((sum, item) => sum + (item.kind === 'technicians' ? item.more : 0), 0);
    const latest = (way: string) =>
      orders
        .find((one) => one.way === way)
        ?.items.map(({ by }) => by)
        .sort()
        .at(-1);
    expect(latest('soonest') ?? site.start).toBe(site.start);
    if (people('fewest people') !== undefined)
      expect(people('fewest people')!).toBeLessThanOrEqual(people('cheapest')!);
  }, 120_000);
});
