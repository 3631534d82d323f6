import { describe, expect, it } from 'vitest';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { type ClinicalWay, clinicalWays } from '../../../src/planner/explain/clinical.ts';
import type { Planner } from '../../../src/planner/planner.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { at, tinyWorld } from '../../world.ts';

/** Nobody makes anything: what is in stock serves. */
const nothing: Planner = async (problem) =>
  asPlan(problem, [], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
async function ways(scenario: Scenario): Promise<ClinicalWay[]> {
  const found: ClinicalWay[] = [];
  for await (const way of clinicalWays(scenario, await nothing(compile(scenario)), nothing)) found.push(way);
  return found;
}

/**
 * One bed of 100 kg at 30 mL/kg/h takes 3 L/h: a bag of 6.5 L lasts 130 min, so from 0 to 1440 twelve bags hang (0 to
 * 1430). The opening round covers those before 420 (four: 0, 130, 260, 390), the round at 06:00 those to 1140 (six more but
 * one: 520, 650, 780, 910, 1040), the one at 18:00 three: 1170, 1300, 1430.
 */
const world = (bags: number, more: Partial<Scenario> = {}): Scenario =>
  tinyWorld({
    patients: [{ id: 'bed-1', weight: 100, dose: 30, bath: '2K' }],
    stock: [{ lot: 'S', bath: '2K', bags, litres: 6.5 }],
    ...more,
  });

describe('clinical ways out of a shortage', () => {
  it('a delivery by the bag round that lacks bags', async () => {
    const [first] = await ways(world(10));
    expect(first).toEqual({
      kind: 'deliveries',
      deliveries: [{ bath: '2K', round: 2, by: 1080, bags: 2, goodUntil: 1440 }],
    });
  });

  it('the highest dose at which nothing is unmet', async () => {
    // Ten bags serve where the eleventh would hang at 1440 or later: 10 x 6500 mL / 24 h = 2708.3 mL/h, 27.08 mL/kg/h.
    const found = await ways(world(10));
    expect(found.find(({ kind }) => kind === 'dose')).toEqual({ kind: 'dose', cap: 27, lowest: 10 });
  });

  it('the most hours at which nothing is unmet', async () => {
    // 24 h x 65 / 72 of what runs: 21.67 h.
    const found = await ways(world(10));
    expect(found.find(({ kind }) => kind === 'hours')).toEqual({ kind: 'hours', cap: 21.5, lowest: 12 });
  });

  it('none of the caps, where even the lowest is too much', async () => {
    const found = await ways(world(1));
    expect(found.find(({ kind }) => kind === 'dose')).toEqual({ kind: 'dose', cap: null, lowest: 10 });
  });

  it('each approved substitute, with what it leaves unmet', async () => {
    const lots = [
      { lot: 'S', bath: '2K', bags: 10, litres: 6.5 },
      { lot: 'T', bath: '4K', bags: 4, litres: 6.5 },
    ];
    // From 1100 on: the bag of 1040 is lost, three of 4K hang at 1100, 1230, 1360; nine of 2K before.
    const row = { bath: '2K', by: '4K', from: at(1100) };
    const found = await ways(world(0, { stock: lots, substitutes: [row, { ...row, except: ['bed-1'] }] }));
    expect(found.flatMap((way) => (way.kind === 'substitute' ? [way.unmetLitres] : []))).toEqual([0, 13]);
  });

  it('says nothing where nothing is unmet, and stops when told', async () => {
    expect(await ways(world(12))).toEqual([]);
    const plan = await nothing(compile(world(10)));
    const found: ClinicalWay[] = [];
    for await (const way of clinicalWays(world(10), plan, nothing, { stop: () => true })) found.push(way);
    expect(found.map(({ kind }) => kind)).toEqual(['deliveries', 'dose', 'hours']);
  });
});
