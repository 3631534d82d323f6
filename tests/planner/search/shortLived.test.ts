import { expect, test } from 'vitest';
import { audit } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import type { Line } from '../../../src/planner/schedule/segment.ts';
import { BATH, CIRCUIT } from '../../../src/planner/schedule/work.ts';
import { chanceOf } from '../../../src/planner/search/chance.ts';
import { dailyStarts } from '../../../src/planner/search/dailyStarts.ts';
import { dissolve } from '../../../src/planner/search/moves/dissolve.ts';
import { Turn } from '../../../src/planner/search/moves/turn.ts';
import { Search } from '../../../src/planner/search/search.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { realUnit } from '../../bench/realUnits.ts';
import { unit } from '../worlds.ts';

const machine = (id: string) => ({ id, flow: 800, positions: 8, water: 'W' });
const baths = [{ id: 'A' }, { id: 'B' }];

test('what one circuit made is made on others: as many fills of each bath, on one circuit less', () => {
  const problem = compile(
    unit({ days: 3, baths, machines: ['M1', 'M2', 'M3'].map(machine), rules: { shelfHours: 36 } }),
  );
  const of = (bath: number, fills: number) => ({ bath, fills, toEnd: false, fresh: false, notBefore: 0 });
  const lines: Line[] = [
    [of(0, 3), of(1, 2), of(0, 4)],
    [of(0, 5), of(1, 1)],
    [of(1, 6), of(0, 2)],
  ];
  const turn = new Turn(problem, chanceOf(3));
  turn.lines = lines;
  turn.standing = {
    unmet: new Float64Array(1),
    lowStock: [],
    starts: lines.map((line) => Int32Array.from(line, (_, i) => 600 * i)),
    placed: lines.map((line) => Int32Array.from(line, ({ fills }) => fills)),
    // The first machine takes a new circuit for its third segment.
    first: lines.map((line, m) =>
      Uint8Array.from(line, (_, i) => (i === 0 || (m === 0 && i === 2) ? CIRCUIT : BATH)),
    ),
    reserveShort: false,
  };
  const fillsOf = (all: readonly Line[]) =>
    [0, 1].map((bath) => all.flat().reduce((sum, one) => sum + (one.bath === bath ? one.fills : 0), 0));
  for (const [i, left] of [
    [0, 1],
    [1, 1],
    [2, 2],
  ] as const)
    for (let n = 0; n < 40; n++) {
      turn.m = 0;
      turn.i = i;
      const next = dissolve(turn)!;
      expect(fillsOf(next)).toEqual(fillsOf(lines));
      expect(next[0]).toHaveLength(left);
    }
});

test('starts of machines that work at the same hours each day break no rule and are few hours a day', () => {
  const problem = compile(realUnit(5));
  const demand = demandOf(problem);
  const search = new Search(problem, demand);
  const starts = [...dailyStarts(problem, demand)];
  expect(starts.length).toBeGreaterThan(20);
  for (const lines of starts.filter((_, n) => n % 10 === 0)) {
    search.best = null;
    search.consider(lines);
    expect(audit(problem, search.activities()).violations).toEqual([]);
  }
  // Circuits that last a day or longer need no such hours.
  const whole = { ...problem, rules: { ...problem.rules, circuitLife: 1440 } };
  expect([...dailyStarts(whole, demand)]).toEqual([]);
});
