import { describe, expect, it, test } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { cover } from '../../src/plan/cover.ts';
import {
  bedsShort,
  type MissedBag,
  missedBy,
  priorityClasses,
  SHARINGS,
  type Sharing,
} from '../../src/plan/short.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';
import { missedBags } from './shortPlain.ts';

/**
 * Three beds from 18:00 (minute 1080) on, whose bags the round at 06:00 with 12 h of lead brings. 6.5 L at 100 kg x 65 mL/kg/h
 * last 1 h, at 32.5 mL/kg/h 2 h. To midnight: bed-1 six bags, bed-2 three (18:00, 20:00, 22:00), bed-3 three (the same).
 */
const bed = (id: string, dose: number, more: object = {}) => ({
  id,
  weight: 100,
  dose,
  bath: '2K',
  from: at(1080),
  ...more,
});
const world = (changes: Partial<Scenario> = {}) =>
  compile(
    tinyWorld({
      patients: [bed('bed-1', 65), bed('bed-2', 32.5), bed('bed-3', 32.5)],
      rules: { rounds: ['06:00'], leadMinutes: 720 },
      ...changes,
    }),
  );
/** Who goes without, were so many bags there: [bed, its minute]. */
function without(sharing: Sharing, bags: number, changes: Partial<Scenario> = {}): [number, number][] {
  const problem = world({ stock: [{ lot: 'S', bath: '2K', bags, litres: 6.5 }], ...changes });
  const demand = demandOf(problem);
  return missedBy(
    problem,
    demand,
    cover(problem, demand, []).unmet,
  )(sharing).map(({ patient, minute }) => [patient + 1, minute]);
}

test('what the beds need, by hand', () =>
  expect(demandOf(world()).hangs.map((hangs) => hangs.map(({ minute }) => minute))).toEqual([
    [1080, 1140, 1200, 1260, 1320, 1380],
    [1080, 1200, 1320],
    [1080, 1200, 1320],
  ]));

describe('eight of twelve bags', () => {
  it('as the need falls: the last ones go without', () =>
    expect(without('need', 8)).toEqual([
      [1, 1320],
      [2, 1320],
      [3, 1320],
      [1, 1380],
    ]));

  it('equal share: a third of each, two of six and one of three', () =>
    expect(without('equal', 8)).toEqual([
      [1, 1320],
      [2, 1320],
      [3, 1320],
      [1, 1380],
    ]));

  it('equal share of one bag: who is owed most, then who is listed first', () => {
    // Bed 1 owes half a bag, the others a quarter each.
    expect(without('equal', 11)).toEqual([[1, 1380]]);
    // Two: bed 1 owes one, the others half each; then bed 2 is listed first.
    expect(without('equal', 10)).toEqual([
      [2, 1320],
      [1, 1380],
    ]);
  });

  it('in turn: one after the other, each its last', () =>
    expect(without('rotation', 8)).toEqual([
      [1, 1320],
      [2, 1320],
      [3, 1320],
      [1, 1380],
    ]));

  it('by class: the last class gives up all of its own first, then the next one', () => {
    const patients = [
      bed('bed-1', 65, { priority: '2' }),
      bed('bed-2', 32.5),
      bed('bed-3', 32.5, { priority: '1' }),
    ];
    // Bed 2 has no class: three bags; then one of class 2.
    expect(without('priority', 8, { patients })).toEqual([
      [2, 1080],
      [2, 1200],
      [2, 1320],
      [1, 1380],
    ]);
  });
});

describe('two rounds', () => {
  // Bags hung from 12:00 on are brought at 06:00, from 21:00 on at 15:00, with 6 h of lead: two beds that want a bag an hour.
  const rules = { rounds: ['06:00', '15:00'], leadMinutes: 360 };
  const patients = [bed('bed-1', 65), bed('bed-2', 65)];
  // 6 bags for 18:00 to 20:59, 6 for 21:00 to midnight: one is missing in each.
  const stock = [
    { lot: 'S', bath: '2K', bags: 5, litres: 6.5, expires: at(1260) },
    { lot: 'D', bath: '2K', bags: 5, litres: 6.5, ready: at(900) },
  ];

  it('in turn, it is the next bed in the second round', () => {
    expect(without('rotation', 0, { rules, patients, stock })).toEqual([
      [1, 1200],
      [2, 1380],
    ]);
    expect(without('equal', 0, { rules, patients, stock })).toEqual([
      [1, 1200],
      [2, 1380],
    ]);
    expect(without('need', 0, { rules, patients, stock })).toEqual([
      [2, 1200],
      [2, 1380],
    ]);
  });
});

test('hours without dialysate: to the next bag, the end of therapy, or of a bag’s hang time', () => {
  const problem = world({
    patients: [bed('bed-1', 65, { until: at(1410) }), bed('bed-2', 1)],
    rules: { rounds: ['06:00'], leadMinutes: 720, maxHangHours: 4 },
  });
  const demand = demandOf(problem);
  const unmet = cover(problem, demand, []).unmet;
  const beds = bedsShort(missedBy(problem, demand, unmet)('need'));
  // Bed 1: five bags of an hour and one of 30 min; bed 2 hangs one for 4 h, then one for 2 h to midnight.
  expect(beds.map(({ patient, bags, hours }) => [patient, bags, hours])).toEqual([
    [0, 6, 5.5],
    [1, 2, 6],
  ]);
});

test('a part of a bag is a bag that does not come', () =>
  // 11 bags of 6.9 L are 75.9 L of 78: 2.1 L are missing.
  expect(without('need', 0, { stock: [{ lot: 'S', bath: '2K', bags: 11, litres: 6.9 }] })).toEqual([
    [1, 1380],
  ]));

test('classes in the order of their labels, those without one last', () =>
  expect(priorityClasses(['10', null, '2', 'A', '2']).map(({ name, patients }) => [name, patients])).toEqual([
    ['2', [2, 4]],
    ['10', [0]],
    ['A', [3]],
    [null, [1]],
  ]));

test('whatever the way, as many bags are missing, each once, and only of the round and bath that lack them', () => {
  for (let bags = 0; bags <= 12; bags++) {
    const all = SHARINGS.map((sharing) => without(sharing, bags));
    for (const list of all) {
      expect(list).toHaveLength(12 - bags);
      expect(new Set(list.map(String)).size).toBe(12 - bags);
    }
  }
});

test('nobody goes without where nothing is unmet', () => {
  const none: MissedBag[] = [];
  for (const sharing of SHARINGS) expect(without(sharing, 12)).toEqual(none);
});

test('drawn units: the same bags as when each is looked for among all', () => {
  let seed = 7;
  const draw = (most: number) => {
    seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
    return Math.floor((seed / 2 ** 31) * most);
  };
  let missing = 0;
  for (let unit = 0; unit < 25; unit++) {
    const patients = Array.from({ length: 1 + draw(12) }, (_, n) => ({
      ...bed(`bed-${n}`, 10 + draw(60)),
      from: at(draw(1200)),
      bath: draw(2) === 0 ? '2K' : '4K',
      ...(draw(2) === 0 ? { priority: String(draw(3)) } : {}),
    }));
    const stock = ['2K', '4K'].map((bath) => ({ lot: `S-${bath}`, bath, bags: draw(40), litres: 6.5 }));
    const rules = { rounds: ['06:00', '12:00', '18:00'], leadMinutes: draw(3) * 60 };
    const problem = world({ patients, stock, rules });
    const demand = demandOf(problem);
    const { unmet } = cover(problem, demand, []);
    const by = missedBy(problem, demand, unmet);
    for (const sharing of SHARINGS) {
      expect(by(sharing)).toEqual(missedBags(problem, demand, unmet, sharing));
      missing += by(sharing).length;
    }
  }
  expect(missing).toBeGreaterThan(1000);
});
