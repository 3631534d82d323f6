import { beforeAll, describe, expect, test } from 'vitest';
import { machineRows } from '../../src/capacity/answers/answers.ts';
import { type Runner, runDraws } from '../../src/capacity/answers/job.ts';
import { study } from '../../src/capacity/answers/study.ts';
import { type Amount, bestMoves, type Route } from '../../src/capacity/region/flow.ts';
import { type RegionAnswer, regionAnswer } from '../../src/capacity/region/region.ts';
import { REGION_CAUTION, regionText } from '../../src/reports/regionWords.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { harborSite, hillSite } from './sites.ts';

const run: Runner = async (jobs) => jobs.map((job) => runDraws(job));
const OPTIONS = { draws: 60, seed: 1 };

const ways = (hours: number, bagsPerDay?: number): Route[] =>
  [
    [0, 1],
    [1, 0],
  ].map(([from, to]) => ({ from: from!, to: to!, hours, ...(bagsPerDay !== undefined && { bagsPerDay }) }));

describe('the flow between sites', () => {
  const spare = (quantity: number, rest: Partial<Amount> = {}): Amount => ({
    site: 0,
    thing: 'bags 2K',
    quantity,
    day: 0,
    ...rest,
  });
  const lack = (quantity: number, rest: Partial<Amount> = {}): Amount => ({
    ...spare(quantity),
    site: 1,
    day: 5,
    ...rest,
  });
  const sent = async (spares: Amount[], lacks: Amount[], routes: Route[]) =>
    (await bestMoves(spares, lacks, routes)).map(({ day, quantity }) => [day, quantity]);

  test('no more than is spare, no more than is lacking, at once', async () => {
    expect(await sent([spare(30)], [lack(50)], ways(6))).toEqual([[0, 30]]);
    expect(await sent([spare(80)], [lack(50)], ways(6))).toEqual([[0, 50]]);
  });
  test('one trip a day carries so many bags: the rest goes on the next days', async () => {
    expect(await sent([spare(80)], [lack(50)], ways(6, 20))).toEqual([
      [0, 20],
      [1, 20],
      [2, 10],
    ]);
  });
  test('nothing that comes too late, or with less than a day of shelf life left', async () => {
    expect(await sent([spare(9)], [lack(9, { day: 1 })], ways(24))).toEqual([[0, 9]]);
    expect(await sent([spare(9)], [lack(9, { day: 1 })], ways(25))).toEqual([]);
    expect(await sent([spare(9, { expires: 48 })], [lack(9)], ways(24))).toEqual([[0, 9]]);
    expect(await sent([spare(9, { expires: 47 })], [lack(9)], ways(24))).toEqual([]);
    expect(await sent([spare(9, { day: 3 })], [lack(9)], ways(12))).toEqual([[3, 9]]);
  });
  test('another thing answers no need', async () => {
    expect(await sent([spare(9, { thing: 'bags 4K' })], [lack(9)], ways(1))).toEqual([]);
  });
  test('most need first, then the shortest way: as an enumeration of all whole flows finds', async () => {
    // Sites 0 and 1 give, 2 and 3 ask; one pair has no way between them.
    const spares = [spare(3), spare(2, { site: 1 })];
    const lacks = [lack(2, { site: 2 }), lack(3, { site: 3 })];
    const hours = [
      [2, 9],
      [4, null],
    ];
    const routes = hours.flatMap((row, from) =>
      row.flatMap((one, n) => (one === null ? [] : [{ from, to: 2 + n, hours: one }])),
    );
    let best = { served: -1, road: 0 };
    for (let a = 0; a <= 2; a++)
      for (let b = 0; b <= 3 - a; b++)
        for (let c = 0; c <= 2 - a; c++) {
          const served = a + b + c;
          const road = 2 * a + 9 * b + 4 * c;
          if (served > best.served || (served === best.served && road < best.road)) best = { served, road };
        }
    const moves = await bestMoves(spares, lacks, routes);
    expect(moves.reduce((sum, { quantity }) => sum + quantity, 0)).toBe(best.served);
    expect(moves.reduce((sum, { quantity, route }) => sum + quantity * routes[route]!.hours, 0)).toBe(
      best.road,
    );
  });
});

describe('two invented sites', () => {
  const chance = (scenario: Scenario) => {
    const own = scenario.machines.length;
    const chunk = runDraws({ scenario, seed: 1, first: 0, count: 60, least: own, most: own });
    return machineRows(chunk, own, own)[0]!.shortageChance;
  };
  /** The hill clinic has what the harbor hospital lacks: bags, empty bags, machines. */
  const rich = (): Scenario => ({
    ...hillSite(),
    supplies: [{ item: 'empty bags', onHand: 4000, perFill: 8 }],
    stock: ['2K', '4K'].map((bath) => ({
      lot: `K-${bath}`,
      bath,
      bags: 300,
      litres: 6.5,
      expires: '2031-02-20T07:00',
    })),
  });
  let answer: RegionAnswer;
  beforeAll(async () => {
    const sites = await Promise.all(
      [harborSite(), rich()].map(async (scenario, n) => ({
        name: n === 0 ? 'harbor' : 'hill',
        made: await study(scenario, run, OPTIONS),
      })),
    );
    answer = await regionAnswer(sites, ways(5), run, OPTIONS);
  }, 60_000);

  test('the rich one lends, the poor one is short in fewer of the same runs, and the lender keeps its level', () => {
    expect(answer.transfers.length).toBeGreaterThan(0);
    expect(answer.transfers.every(({ from, to }) => from === 'hill' && to === 'harbor')).toBe(true);
    const [harbor, hill] = answer.savings;
    expect(harbor!.chanceBefore).toBe(chance(harborSite()));
    expect(harbor!.chanceAfter).toBeLessThan(harbor!.chanceBefore);
    expect(harbor!.bagsShortAfter).toBeLessThan(harbor!.bagsShortBefore);
    expect(hill!.chanceAfter).toBeLessThanOrEqual(0.05 + 1e-9);
    expect(regionText(answer)).toMatch(/fewer missing in the region/);
  });
  test('what arrives takes the hours of the way, and bags keep their expiry', () => {
    for (const { leaves, arrives, expires, kind } of answer.transfers) {
      expect(Date.parse(`${arrives}Z`) - Date.parse(`${leaves}Z`)).toBe(5 * 3_600_000);
      expect(expires).toBe(kind === 'bags' ? '2031-02-20T07:00' : null);
    }
  });
  test('a site that only just keeps its level lends nothing', async () => {
    const sites = await Promise.all(
      [harborSite(), { ...harborSite(), title: 'twin' }].map(async (scenario, n) => ({
        name: `${n}`,
        made: await study(scenario, run, OPTIONS),
      })),
    );
    const none = await regionAnswer(sites, ways(5), run, OPTIONS);
    expect(none.transfers).toEqual([]);
    for (const { chanceBefore, chanceAfter } of none.savings) expect(chanceAfter).toBe(chanceBefore);
    expect(regionText(none)).toMatch(/^No site can lend/);
  }, 60_000);
  test('bags alone: with their lot, no more than the lender can do without beside its own reserve', async () => {
    const lot = (bags: number) =>
      ['2K', '4K'].map((bath) => ({
        lot: `L-${bath}`,
        bath,
        bags,
        litres: 6.5,
        expires: '2031-03-01T07:00',
      }));
    const lender: Scenario = {
      ...hillSite(),
      machines: hillSite().machines.slice(0, 1),
      supplies: [],
      stock: lot(400),
      rules: { reserve: { '2K': 350 } },
    };
    const poor: Scenario = {
      ...hillSite(),
      machines: hillSite()
        .machines.slice(0, 1)
        .map((row) => ({ ...row, positions: 2, flow: 300 })),
      supplies: [],
      stock: lot(30),
      forecast: { ...hillSite().forecast!, startsPerDay: 2.5 },
    };
    const sites = await Promise.all(
      [lender, poor].map(async (scenario, n) => ({
        name: `${n}`,
        made: await study(scenario, run, OPTIONS),
      })),
    );
    // The poor one has one machine: none like it is spare at the lender.
    const { transfers, savings } = await regionAnswer(sites, ways(5, 40), run, OPTIONS);
    const bags = transfers.filter(({ kind }) => kind === 'bags');
    expect(bags.length).toBeGreaterThan(0);
    expect(transfers).toEqual(bags);
    const sum = (bath: string) =>
      bags.filter(({ what }) => what === bath).reduce((all, { quantity }) => all + quantity, 0);
    expect(sum('2K')).toBeLessThanOrEqual(50);
    expect(sum('4K')).toBeLessThanOrEqual(400);
    const byDay = new Map<string, number>();
    for (const { leaves, quantity } of bags) byDay.set(leaves, (byDay.get(leaves) ?? 0) + quantity);
    for (const quantity of byDay.values()) expect(quantity).toBeLessThanOrEqual(40);
    expect(savings[1]!.bagsShortAfter).toBeLessThan(savings[1]!.bagsShortBefore);
    expect(savings[0]!.chanceAfter).toBeLessThanOrEqual(0.05 + 1e-9);
  }, 60_000);
  test('the receiving site releases', () => {
    expect(REGION_CAUTION).toMatch(/^The receiving site releases/);
  });
});
