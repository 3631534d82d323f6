import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { fraction } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { compile } from '../../src/scenario/problem/compile.ts';
import { dialysateRate } from '../../src/scenario/problem/course.ts';
import { DEFAULT_RULES } from '../../src/scenario/problem/rules.ts';
import { at, tinyWorld } from '../world.ts';

describe('defaults', () => {
  it('of the rules are those that the table of the file format tells', () => {
    const text = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
    const told = text.split('\n').flatMap((line) => {
      const cells = line.split('|').map((cell) => cell.trim());
      const [, name] = /^`rules\.(\w+)`$/.exec(cells[1] ?? '') ?? [];
      return name ? [[name, cells[5]]] : [];
    });
    const { rounds, ...numbers } = DEFAULT_RULES;
    const ours = Object.entries(numbers).map(([name, value]) => [name, String(value)]);
    const others = [
      ['rounds', rounds.join(' and ')],
      ['reserve', 'none'],
      ['minStock', 'none'],
      ['hands', '1'],
      ['releaseAfterTest', 'no'],
    ];
    expect(told.sort()).toEqual([...ours, ...others].sort());
  });

  it('stand where a field is absent or null: hours in minutes, all baths, all hours, no circuit, nothing used', () => {
    const blank = { baths: null, available: null, loaded: null };
    const problem = compile(
      tinyWorld({
        machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO', ...blank }],
        water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: null }],
        supplies: [
          { item: 'gloves', onHand: 7, perCircuit: null, perFill: null, perLitre: null, bath: null },
        ],
      }),
    );
    expect(problem.machines[0]).toMatchObject({
      baths: [0, 1],
      windows: [{ from: 0, to: 1440 }],
      loaded: null,
      shortest: 65,
      longest: 75,
    });
    expect(problem.rules).toMatchObject({ circuitLife: 24 * 60, shelf: 120 * 60, bathMinutes: 5 + 5 });
    expect(problem.water[0]!.lastTest).toBeNull();
    expect(problem.reserve).toEqual([0, 0]);
    expect(problem.supplies[0]).toMatchObject({ perCircuit: 0, perFill: 0, perMinute: [0], bath: null });
  });
});

it('windows are cut to the plan, in order of time, and those outside it are none', () => {
  const hours: [number, number][] = [
    [600, 700],
    [-50, -10],
    [-10, 20],
    [1430, 1500],
    [1440, 1600],
  ];
  const available = hours.map(([from, to]) => ({ from: at(from), to: at(to) }));
  const problem = compile(
    tinyWorld({ machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO', available }] }),
  );
  expect(problem.machines[0]!.windows.map(({ from, to }) => [from, to])).toEqual([
    [0, 20],
    [600, 700],
    [1430, 1440],
  ]);
});

it('a supply is counted in whole parts, whatever its decimals: litres by the flow, deliveries in order of time', () => {
  const problem = compile(
    tinyWorld({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'RO' },
        { id: 'M2', flow: 512.5, positions: 8, water: 'RO' },
      ],
      supplies: [
        {
          item: 'acid (L)',
          onHand: 90.5,
          perCircuit: 0.25,
          perFill: 1.125,
          perLitre: 0.02222,
          bath: '4K',
          deliveries: [
            { at: at(600), quantity: 3 },
            { at: at(60), quantity: 2.5 },
          ],
        },
      ],
    }),
  );
  const { scale, deliveries, perMinute, ...rest } = problem.supplies[0]!;
  expect(rest).toMatchObject({
    onHand: 90.5 * scale,
    perCircuit: 0.25 * scale,
    perFill: 1.125 * scale,
    bath: 1,
  });
  // 0.8 and 0.5125 L/min of dialysate, each litre 0.02222 of it.
  expect(perMinute).toEqual([0.017776 * scale, Math.round(0.01138775 * scale)]);
  expect(deliveries).toEqual([
    { at: 60, quantity: 2.5 * scale },
    { at: 600, quantity: 3 * scale },
  ]);
});

it('the dialysate rate is exact for any decimals, against the fractions of mathjs', () => {
  const typed = (most: number) => fc.integer({ min: 0, max: most * 1000 }).map((n) => n / 1000);
  fc.assert(
    fc.property(
      fc.record({
        dose: typed(60),
        weight: typed(200),
        fluidRemoval: typed(900),
        replacement: typed(900),
        citrate: typed(900),
        hoursPerDay: typed(24),
      }),
      (row) => {
        const of = (name: keyof typeof row) => fraction(String(row[name]));
        const rate = of('dose')
          .mul(of('weight'))
          .sub(of('fluidRemoval'))
          .sub(of('replacement'))
          .sub(of('citrate'));
        const wanted = (rate.s < 0n ? fraction(0) : rate).mul(of('hoursPerDay')).div(24 * 60);
        const { n, d } = dialysateRate(row);
        expect(`${n}/${d}`).toBe(`${wanted.n}/${wanted.d}`);
        const alone = of('dose')
          .mul(of('weight'))
          .mul(of('hoursPerDay'))
          .div(24 * 60);
        const dosed = dialysateRate(row, 'dialysate');
        expect(`${dosed.n}/${dosed.d}`).toBe(`${alone.n}/${alone.d}`);
      },
    ),
    { numRuns: 300, seed: 20310207 },
  );
});
