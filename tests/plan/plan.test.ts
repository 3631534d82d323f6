import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { cover, lotsOfFills, needRows, scoreOf } from '../../src/plan/cover.ts';
import { type Activity, bathsOf, compareScores, inOrder } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, batch, bathChange, circuit, swap, test, tinyWorld } from '../world.ts';

describe('scores', () => {
  const score = (unmetLitres: number, reserveShort: number, handsOnMinutes: number, expiredBags: number) => ({
    unmetLitres,
    unmetLitreHours: 0,
    reserveShort,
    handsOnMinutes,
    expiredBags,
  });
  it.each([
    // One less of what counts more outweighs any more of what counts less.
    [score(1, 9, 9, 9), score(2, 0, 0, 0)],
    [score(1, 1, 9, 9), score(1, 2, 0, 0)],
    [score(1, 1, 1, 9), score(1, 1, 2, 0)],
    [score(1, 1, 1, 1), score(1, 1, 1, 2)],
    [score(1, 1, 1, 1), score(1.00001, 0, 0, 0)],
    // Of equal shortages the later one.
    [
      { ...score(1, 9, 9, 9), unmetLitreHours: 5 },
      { ...score(1, 0, 0, 0), unmetLitreHours: 6 },
    ],
    [
      { ...score(1, 9, 9, 9), unmetLitreHours: 6 },
      { ...score(2, 0, 0, 0), unmetLitreHours: 5 },
    ],
    // A millionth is dust of floating sums.
    [score(1.0000005, 0, 0, 0), score(1, 1, 1, 1)],
  ])('%j is better than %j', (better, worse) => {
    expect(compareScores(better, worse)).toBeLessThan(0);
    expect(compareScores(worse, better)).toBeGreaterThan(0);
    expect(compareScores(better, { ...better })).toBe(0);
  });

  it('count by hand: unmet and expired of stock, short of the reserve, minutes of all but fills', () => {
    // 65 kg at 10 mL/kg/h hang a bag of 6.5 L at 0, 10 and 20 h: 2 of them wait for the fill of 01:13 to 02:18.
    const problem = compile(
      tinyWorld({
        baths: [{ id: '4K' }, { id: '2K' }],
        patients: [
          { id: 'bed-1', weight: 65, dose: 10, bath: '2K' },
          { id: 'bed-2', weight: 65, dose: 10, bath: '4K', from: at(1380) },
        ],
        stock: [{ lot: 'S', bath: '4K', bags: 5, litres: 2, expires: at(1439) }],
        rules: { reserve: { '2K': 7 } },
      }),
    );
    const activities: Activity[] = [
      circuit(0),
      bathChange(30),
      bathChange(40, '2K'),
      ...batch(73),
      test(150),
    ];
    const covered = cover(problem, demandOf(problem), lotsOfFills(problem, activities));
    expect(scoreOf(problem, activities, covered)).toEqual({
      unmetLitres: 6.5 + 6.5,
      // The opening round of 2K, and 4K in that of 18:00, 6 h before the end.
      unmetLitreHours: 6.5 * 24 + 6.5 * 6,
      reserveShort: 1,
      handsOnMinutes: 30 + 10 + 10 + 8 + 10,
      expiredBags: 5,
    });
    // By round, then bath, as listed.
    expect(needRows(problem, demandOf(problem), covered)).toEqual([
      { bath: '2K', round: 0, at: 0, bags: 1, litres: 6.5, unmetLitres: 6.5 },
      { bath: '2K', round: 1, at: 360, bags: 1, litres: 6.5, unmetLitres: 0 },
      { bath: '4K', round: 2, at: 1080, bags: 1, litres: 6.5, unmetLitres: 6.5 },
      { bath: '2K', round: 2, at: 1080, bags: 1, litres: 6.5, unmetLitres: 0 },
    ]);
    // The audit, which counts apart, tells the same in the same order.
    const { needs, score: counted } = audit(problem, activities);
    expect(needs).toEqual(needRows(problem, demandOf(problem), covered));
    expect(counted).toEqual(scoreOf(problem, activities, covered));
  });
});

describe('activities', () => {
  it('a swap is of the bath of the fill that it ends, on its machine', () => {
    const list = [
      test(0),
      circuit(0),
      ...batch(30),
      bathChange(103),
      ...batch(113, '4K'),
      ...batch(113, '2K', 'M2'),
      swap(9, 'M2'),
    ];
    expect(bathsOf(list)).toEqual(['', '2K', '2K', '2K', '4K', '4K', '4K', '2K', '2K', '']);
  });
  it('are in the order of a run sheet: by start, then place, then end', () => {
    const list = [circuit(5, '2K', 'M1'), test(5), swap(5, 'M2'), swap(5, 'M1'), test(4, 'Z', 1)];
    const sorted = [list[4], list[3], list[0], list[2], list[1]];
    expect(inOrder(list)).toEqual(sorted);
    expect(inOrder([...list].reverse())).toEqual(sorted);
  });
});
