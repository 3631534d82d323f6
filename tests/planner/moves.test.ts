import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { cover, lotsOfFills, scoreOf } from '../../src/plan/cover.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { BATH, CIRCUIT, FILL, STRIDE } from '../../src/planner/book.ts';
import { chanceOf } from '../../src/planner/chance.ts';
import { circuitsThere, FULL, type Lines, plainTemper, type Temper } from '../../src/planner/deciders.ts';
import type { Segment } from '../../src/planner/dispatch.ts';
import { restedFrom } from '../../src/planner/lineEdits.ts';
import { Moves, type Standing } from '../../src/planner/moves.ts';
import { Partners } from '../../src/planner/partners.ts';
import { Search } from '../../src/planner/search.ts';
import { firstTempers, machinesNear, temperBeside, tempersNear } from '../../src/planner/tempers.ts';
import { compile, type Problem } from '../../src/scenario/problem.ts';
import { generate } from '../bench/generate.ts';

const worlds = [1, 2, 3, 4].map((seed) =>
  compile(generate({ kind: 'week', seed, load: seed % 2 ? 0.8 : 1.1, variety: 0.5 })),
);

describe.each(worlds.map((problem, n) => [n + 1, problem] as const))('week %i', (_, problem) => {
  const demand = demandOf(problem);

  it('any temper, also far from the first ones, leads to a schedule that breaks no rule', () => {
    const search = new Search(problem, demand);
    const chance = chanceOf(5);
    const first = firstTempers(problem, demand);
    const near = first
      .slice(0, 3)
      .flatMap((temper) => [...machinesNear(problem, temper), ...tempersNear(problem, temper)]);
    const far: Temper[] = [];
    for (let n = 0, temper = first[0]!; n < 60; n++) {
      temper = temperBeside(problem, temper, chance);
      far.push(temper);
    }
    for (const temper of [...first, ...near.filter((_, n) => n % 10 === 0), ...far]) {
      expect(temper.loyal).toHaveLength(problem.machines.length);
      expect(temper.rest).toHaveLength(problem.machines.length);
      expect(temper.early).toHaveLength(problem.machines.length);
      expect(temper.bias).toHaveLength(problem.baths.length);
      search.construct(temper);
      expect(audit(problem, search.dispatcher.activities([])).violations).toEqual([]);
    }
  });

  it('neighbours keep each machine to its baths and leave no empty segment', () => {
    const search = new Search(problem, demand);
    search.construct(plainTemper(problem, 120));
    const chance = chanceOf(3);
    const moves = new Moves(problem, chance);
    let lines: Lines = search.best!.lines;
    let made = 0;
    for (let n = 0; n < 3000; n++) {
      const next = moves.neighbour(lines, flat(lines, problem.rounds.length * problem.baths.length));
      if (!next) continue;
      made += 1;
      const wrong = next.flatMap((line, m) =>
        line.filter(
          ({ bath, fills }) =>
            !problem.machines[m]!.baths.includes(bath) || !Number.isInteger(fills) || fills <= 0,
        ),
      );
      if (wrong.length > 0) expect.fail(`${JSON.stringify(wrong)} after ${n} moves`);
      lines = next;
    }
    expect(made).toBeGreaterThan(1500);
  });
});

describe('a rest of a whole source', () => {
  const segment = (bath: number, fills: number, rest: Partial<Segment> = {}): Segment => ({
    bath,
    fills,
    toEnd: false,
    fresh: false,
    notBefore: 0,
    ...rest,
  });
  // By hand: fills 100 min apart, five of bath 0 from 0, four of bath 1 from 500, two of bath 2 from 950.
  const [a, b, c] = [
    segment(0, 5),
    segment(1, 4, { fresh: true }),
    segment(2, 2, { notBefore: 950 }),
  ] as const;
  const rested = (from: number, until: number, line: readonly Segment[] = [a, b, c]) =>
    restedFrom(line, [0, 500, 950], [5, 4, 2], 100, from, until);

  it.each([
    [
      'cuts what is under way',
      700,
      1000,
      [a, { ...b, fills: 2 }, { ...b, fills: 2, fresh: false, notBefore: 1000 }, c],
    ],
    ['holds what would begin then', 500, 1000, [a, { ...b, notBefore: 1000 }, c]],
    ['holds what has begun less than half a fill ago', 540, 1000, [a, { ...b, notBefore: 1000 }, c]],
    [
      'waits for the last fill under way, then holds what is next',
      870,
      1000,
      [a, b, { ...c, notBefore: 1000 }],
    ],
    ['shortens no rest', 900, 940, [a, b, c]],
    ['changes nothing after the end', 2000, 3000, [a, b, c]],
  ])('%s', (_, from, until, line) => {
    expect(rested(from, until)).toEqual(line);
  });

  it('leaves a segment open that was', () => {
    const open = { ...b, fills: FULL, toEnd: true };
    expect(rested(700, 1000, [a, open, c])).toEqual([
      a,
      { ...open, fills: 2, toEnd: false },
      { ...open, fresh: false, notBefore: 1000 },
      c,
    ]);
  });

  it('is drawn, for all machines of one source and no other', () => {
    const problem = compile(generate({ kind: 'week', seed: 1, load: 0.8, water: 2 }));
    const search = new Search(problem, demandOf(problem));
    search.construct(plainTemper(problem, 120));
    const lines = search.best!.lines.map((line) => line.map((one) => ({ ...one, notBefore: 0 })));
    const moves = new Moves(problem, chanceOf(1));
    const standing = flat(lines, problem.rounds.length * problem.baths.length);
    const rests = Array.from({ length: 2000 }, () => moves.neighbour(lines, standing) ?? []).flatMap(
      (next) => {
        const until = next.map((line) => Math.max(0, ...line.map(({ notBefore }) => notBefore)));
        const latest = Math.max(0, ...until);
        const resting = until.flatMap((minute, m) => (minute === latest ? [problem.machines[m]!.water] : []));
        return latest > 0 && resting.length > 1 ? [new Set(resting).size] : [];
      },
    );
    expect(rests.length).toBeGreaterThan(10);
    expect(Math.max(...rests)).toBe(1);
  });
});

/** A schedule in which every segment begins an hour after the one before, nothing is missing, and all is placed. */
function flat(lines: Lines, needs: number): Standing {
  return {
    unmet: new Float64Array(needs),
    starts: lines.map((line) => Int32Array.from(line, (_, i) => 60 * i)),
    placed: lines.map((line) => Int32Array.from(line, ({ fills }) => Math.min(12, fills))),
    first: lines.map((line) => Uint8Array.from(line, (_, i) => (i === 0 ? CIRCUIT : BATH))),
    reserveShort: false,
  };
}

it('a bath is exchanged with the segment that saves most bath changes', () => {
  const segment = (bath: number) => ({ bath, fills: 3, toEnd: false, fresh: false, notBefore: 0 });
  // In the middle of the first two machines the other one's bath is at home; the third machine runs a bath of its own.
  const lines = [[0, 1, 0].map(segment), [1, 0, 1].map(segment), [2, 2, 2].map(segment)];
  const can = lines.map(() => [true, true, true]);
  const partners = new Partners(chanceOf(1), can);
  const found = Array.from({ length: 50 }, () => partners.fitting(lines, flat(lines, 1), 0, 1));
  expect(found.filter((spot) => spot?.m === 1 && spot.i === 1).length).toBeGreaterThan(45);
  // A bath that the first machine cannot run is not for it, however near.
  const unable = new Partners(chanceOf(1), [[true, true, false], ...can.slice(1)]);
  const near = Array.from({ length: 50 }, () => unable.nearest(lines, flat(lines, 1), 0, 1));
  expect(near).toContainEqual(expect.objectContaining({ m: 1 }));
  expect(near).not.toContainEqual(expect.objectContaining({ m: 2 }));
});

it('where there is too much to do, loyalty to a bath saves changes and serves more', () => {
  const problem = compile(generate({ kind: 'crisis', seed: 1, load: 1 }));
  const demand = demandOf(problem);
  const of = (loyal: number) => {
    const search = new Search(problem, demand);
    const plain = plainTemper(problem, 120);
    search.construct({ ...plain, loyal: plain.loyal.map(() => loyal) });
    const { ops, count } = search.dispatcher;
    const kinds = Array.from({ length: count }, (_, n) => ops[n * STRIDE]!);
    const number = (kind: number) => kinds.filter((own) => own === kind).length;
    return { changes: number(BATH), fills: number(FILL), unmet: search.best!.unmetParts };
  };
  const [fickle, loyal] = [of(0), of(720)];
  expect(loyal.changes).toBeLessThan(fickle.changes / 4);
  expect(loyal.fills).toBeGreaterThan(fickle.fills);
  expect(loyal.unmet).toBeLessThan(fickle.unmet);
});

/** Operations of a kind that the rule of thumb alone leads to, by their starts. */
function placed(problem: Problem, temper: Temper, kind: number) {
  const search = new Search(problem, demandOf(problem));
  search.construct(temper);
  const { ops, count } = search.dispatcher;
  return Array.from({ length: count }, (_, n) => [...ops.subarray(n * STRIDE, (n + 1) * STRIDE)])
    .filter(([own]) => own === kind)
    .map(([, machine, bath, start, end]) => ({ machine: machine!, bath: bath!, start: start!, end: end! }))
    .sort((a, b) => a.start - b.start);
}

it('where bags do not last, the rule of thumb makes few that nobody can use', () => {
  // Bags last 36 h here, and less than two thirds of what the machines could do is needed.
  const problem = compile(generate({ kind: 'week', seed: 1, load: 0.6 }));
  const demand = demandOf(problem);
  const activities = placed(problem, plainTemper(problem, 900), FILL).map(
    ({ machine, bath, start, end }): Activity => ({
      kind: 'fill',
      machine: problem.machines[machine]!.id,
      bath: problem.baths[bath]!,
      start,
      end,
    }),
  );
  const lots = lotsOfFills(problem, activities);
  const { expiredBags } = scoreOf(problem, activities, cover(problem, demand, lots));
  const made = lots.reduce((sum, { bags }) => sum + bags, 0);
  console.log(`${made} bags made, ${expiredBags} expire`);
  expect(expiredBags).toBeLessThan(made / 20);
});

it('at a pace new circuits last to the end', () => {
  /** min; the rule asks for fills, and one that no longer fits on a circuit brings a new one sooner. */
  const UNASKED = 120;
  const problem = compile(generate({ kind: 'week', seed: 1, load: 0.8 }));
  const there = circuitsThere(problem);
  expect(there).toBe(21);
  const temper = plainTemper(problem, 120);
  const starts = (pace: number) => placed(problem, { ...temper, pace }, CIRCUIT).map(({ start }) => start);
  for (const pace of [1, 3])
    starts(pace).forEach((start, n) => {
      expect(start).toBeGreaterThanOrEqual(((n + 1 - pace) * problem.horizon) / there - UNASKED);
    });
  // Without a pace they are used up days before.
  expect(starts(Number.POSITIVE_INFINITY)).toHaveLength(there);
  expect(starts(Number.POSITIVE_INFINITY).at(-1)).toBeLessThan(problem.horizon - 2000);
  expect(starts(1).at(-1)).toBeGreaterThan(problem.horizon - 1000);
});
