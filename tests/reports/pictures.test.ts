import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { painter, runSheets } from '../../electron/command/tables.ts';
import { scoreOf } from '../../src/plan/cover.ts';
import type { Plan } from '../../src/plan/plan.ts';
import { coverSeries, dayBags } from '../../src/reports/coverSeries.ts';
import { describeActivity } from '../../src/reports/describe.ts';
import { supplyAccount, supplySeries } from '../../src/reports/supplySeries.ts';
import { stepsOf, timelineOf, usesOfFill, valueAt } from '../../src/reports/timeline.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { dayTicks, labelRoom } from '../../src/views/pictures/ticks.ts';
import { goTo, zoomFocus, zoomTo } from '../../src/views/pictures/viewport.ts';
import { known, twoDays } from '../grid/known.ts';
import { at, batch, bathChange, circuit, fill, swap, tinyWorld, test as waterTest } from '../world.ts';

test('dates of one axis are written alike, and each has the room that it takes', () => {
  const { clock } = compile(twoDays({ days: 21 }));
  for (let room = 30; room < 120; room++) {
    const labels = dayTicks(clock, 0, 21 * 1440, room / 1440).map(({ label }) => label);
    expect(
      labels.filter((label) => labelRoom(label) > room),
      `${room} px`,
    ).toEqual([]);
    expect(new Set(labels.map((label) => label.split(' ').length)).size, `${room} px`).toBe(1);
  }
});

test('a supply has run out when no fill can start on what is left, though a bath change still could', () => {
  // At 0.8 L/min and 0.0231 L/L a fill of 65 min takes 1.2 L, a bath change of 10 min 0.185 L, a circuit of 30 min 0.554 L.
  const problem = compile(
    tinyWorld({ supplies: [{ item: 'acid 2K (L)', onHand: 2.655, perLitre: 0.02308, bath: '2K' }] }),
  );
  const [acid] = supplySeries(problem, [circuit(0), ...batch(30)]);
  expect(acid!.leastToStart).toBeCloseTo(1.2, 2);
  expect(acid!.atEnd).toBeCloseTo(0.9, 2);
  expect([acid!.runsOut, acid!.firstShort]).toEqual([30, 30]);
});

describe('steps', () => {
  test('equal a count minute by minute', () => {
    const span = fc.record({
      from: fc.integer({ min: -5, max: 60 }),
      length: fc.integer({ min: 1, max: 30 }),
      value: fc.integer({ min: 1, max: 9 }),
    });
    fc.assert(
      fc.property(fc.array(span, { maxLength: 12 }), (given) => {
        const spans = given
          .map(({ from, length, value }) => ({ from, to: from + length, value }))
          .filter(({ to }) => to > 0);
        const steps = stepsOf(spans);
        for (let minute = 0; minute < 100; minute++)
          expect(valueAt(steps, minute)).toBe(
            spans
              .filter(({ from, to }) => from <= minute && minute < to)
              .reduce((sum, one) => sum + one.value, 0),
          );
        steps.slice(1).forEach((step, index) => {
          expect(step.value).not.toBe(steps[index]!.value);
        });
      }),
    );
  });
});

describe('timeline', () => {
  const plan = [circuit(0), ...batch(30), ...batch(110, '2K', 'M1', 70), waterTest(200), ...batch(600)];

  test('a fill has its window of 65 to 75 min (8 x 6.5 L and 8 x 7.5 L at 800 mL/min; common practice, no source)', () => {
    const lane = timelineOf(compile(tinyWorld()), plan).machines[0]!;
    const fill = lane.bars.find(({ kind }) => kind === 'fill')!;
    expect([fill.from, fill.shortestAt, fill.longestAt]).toEqual([30, 95, 105]);
    expect(plan[fill.index]).toBe(plan[1]);
  });

  test('fills of one bath are one run until a long rest', () => {
    const { campaigns } = timelineOf(compile(tinyWorld()), plan).machines[0]!;
    expect(campaigns.map(({ from, to, fills, bags }) => [from, to, fills, bags])).toEqual([
      [30, 180, 2, 16],
      [600, 665, 1, 8],
    ]);
  });

  test('water is drawn by circuits and fills, not by swaps; technicians work in all but fills', () => {
    const data = timelineOf(compile(tinyWorld()), plan);
    expect([0, 40, 100, 120, 500].map((minute) => valueAt(data.water[0]!.use, minute))).toEqual([
      800, 800, 0, 800, 0,
    ]);
    expect([0, 40, 100, 205, 500].map((minute) => valueAt(data.load, minute))).toEqual([1, 0, 1, 1, 0]);
  });

  test('more work than technicians is marked with its time, less is not', () => {
    const problem = compile(tinyWorld());
    expect(timelineOf(problem, plan).over).toEqual([]);
    expect(timelineOf(problem, [...plan, waterTest(10)]).over).toEqual([
      { from: 10, to: 20, load: 2, staff: 1 },
    ]);
    const night = compile(tinyWorld({ shifts: [{ id: 'day', from: '00:00', to: '00:05', technicians: 1 }] }));
    expect(timelineOf(night, [circuit(0)]).over).toEqual([{ from: 5, to: 30, load: 1, staff: 0 }]);
  });

  test('times outside of the windows are times away', () => {
    const machine = { id: 'M1', flow: 800, positions: 8, water: 'RO' };
    const problem = compile(
      tinyWorld({
        machines: [
          {
            ...machine,
            available: [
              { from: at(60), to: at(120) },
              { from: at(120), to: at(700) },
            ],
          },
        ],
      }),
    );
    expect(timelineOf(problem, []).machines[0]!.away).toEqual([
      { from: 0, to: 60 },
      { from: 700, to: 1440 },
    ]);
  });
});

describe('cover', () => {
  // Also stock gone before the start, ready after the end, and two lots of one bath that expire unused, the later first.
  const lot = (name: string, bath: string, ready: string | null, expires: string) => ({
    lot: name,
    bath,
    bags: 7,
    litres: 6.5,
    ready,
    expires,
  });
  const all = known(
    twoDays({
      stock: [
        ...twoDays().stock!,
        lot('gone', '4K', null, '2031-02-03T06:00'),
        lot('unused later', '4K', null, '2031-02-03T18:00'),
        lot('unused first', '4K', null, '2031-02-03T17:00'),
      ],
      deliveries: [
        lot('late', '4K', '2031-02-05T07:00', '2031-02-06T07:00'),
        lot('never ready', '4K', '2031-02-03T16:00', '2031-02-03T15:00'),
      ],
    }),
  );
  const { problem, demand, covered, activities } = all;
  const series = coverSeries(problem, demand, covered);

  test('need = stock + fills + unmet in every round, and all unmet is the score', () => {
    const score = scoreOf(problem, activities, covered);
    for (const { rounds } of series)
      for (const row of rounds) expect(row.fromStock + row.fromFills + row.unmet).toBeCloseTo(row.need, 9);
    const litres =
      (series.reduce((sum, { unmet }) => sum + unmet, 0) * problem.bagParts) / problem.partsPerLitre;
    expect(litres).toBeCloseTo(score.unmetLitres, 9);
    const spoilt = series.map(({ expiries }) => expiries.map(({ lot: name }) => name));
    expect(spoilt).toEqual([['S-1'], ['never ready', 'unused first', 'unused later']]);
    const bags = series.flatMap(({ expiries }) => expiries.map((one) => one.bags));
    // In the lot's own bags, S-1's of 5 L, as the score and its trace count them; the chart's own are of 6.5 L.
    expect(bags.reduce((sum, count) => sum + count, 0)).toBeCloseTo(score.expiredBags, 9);
  });

  test('stock equals a count at every minute: what is ready, unspoilt and not sent', () => {
    series.forEach(({ stock }, bath) => {
      for (let minute = 0; minute < problem.horizon; minute += 7) {
        const there = covered.lots.reduce((sum, lot, index) => {
          if (lot.bath !== bath || lot.ready > minute) return sum;
          const sentLater = covered.servings
            .filter((serving) => serving.lot === index && problem.rounds[serving.round]!.at > minute)
            .reduce((parts, serving) => parts + serving.parts, 0);
          return sum + sentLater + (lot.expires > minute ? covered.left[index]! : 0);
        }, 0);
        expect(valueAt(stock, minute)).toBeCloseTo(there / problem.bagParts, 5);
      }
    });
  });

  test('bags a day add up to all needs', () => {
    const days = dayBags(problem, demand);
    expect(days).toHaveLength(2);
    expect(days.reduce((sum, { total }) => sum + total, 0)).toBe(
      series.reduce((sum, { need }) => sum + need, 0),
    );
    for (const { total, litres } of days) expect(litres).toBeCloseTo(total * 6.5, 9);
  });

  test('the uses of a fill and what is left of it are all its bags', () => {
    const fills = activities.flatMap(({ kind }, index) => (kind === 'fill' ? index : []));
    expect(fills.length).toBeGreaterThan(2);
    for (const index of fills) {
      const { uses, left } = usesOfFill(problem, activities, covered, index);
      expect(uses.reduce((sum, { bags }) => sum + bags, left)).toBeCloseTo(8, 9);
    }
  });

  test('words for a fill name bath, machine, bags, window and expiry', () => {
    const index = activities.findIndex(({ kind }) => kind === 'fill');
    const { title, lines } = describeActivity(problem, activities, covered, index);
    expect(title).toMatch(/^Fill of [24]K on M1$/);
    expect(lines.join('\n')).toMatch(
      /8 bags of 6\.5 L\nSwap (between \d\d:\d\d and|at) \d\d:\d\d; planned \d\d:\d\d/,
    );
  });

  test('bags that wait for a test of their water are not said to be ready before it', () => {
    const begun = [waterTest(0), circuit(10), fill(40, '2K', 'M1', 70), swap(110)];
    const said = (...tests: number[]) => {
      const world = known(tinyWorld({ rules: { releaseAfterTest: true } }), [
        ...begun,
        ...tests.map((start) => waterTest(start)),
      ]);
      const { problem, activities, covered } = world;
      const index = activities.findIndex(({ kind }) => kind === 'fill');
      const told = describeActivity(problem, activities, covered, index).lines.join('\n');
      const sheet = runSheets(problem, { activities } as unknown as Plan, painter(false));
      return [told, sheet] as const;
    };
    // Swap and release end at 02:13; a test from 300 to 310 min ends at 05:10.
    const [told, sheet] = said(300);
    expect(told).toContain('Ready Mon, Feb 3, 05:10');
    expect(sheet).toContain('ready 05:10;');
    const [never, onSheet] = said();
    expect(never).toContain('Ready not before the next total chlorine test');
    expect(onSheet).toContain('ready not before the next total chlorine test;');
    expect(never + onSheet).not.toMatch(/02:13|Infinity|NaN/);
  });

  test('an activity says its time and length, who must be there, and where its bags go', () => {
    // 65 kg at 10 mL/kg/h: bags at 01:00, 11:00 and 21:00, of the opening round and those of 06:00 and 18:00.
    const { problem, activities, covered } = known(
      tinyWorld({ patients: [{ id: 'bed-1', weight: 65, dose: 10, bath: '2K', from: at(60) }] }),
      [waterTest(0), circuit(10), fill(40, '2K', 'M1', 70), swap(110), bathChange(1430)],
    );
    const said = (index: number) => {
      const { title, lines } = describeActivity(problem, activities, covered, index);
      return [title, ...lines];
    };
    expect([0, 1, 3, 4].map(said)).toEqual([
      ['Total chlorine test of RO', 'Mon, Feb 3, 00:00 to 00:10 (10 min)', '1 technician throughout.'],
      ['New circuit for 2K on M1', 'Mon, Feb 3, 00:10 to 00:40 (30 min)', '1 technician throughout.'],
      ['Bag swap of 2K on M1', 'Mon, Feb 3, 01:50 to 01:58 (8 min)', '1 technician throughout.'],
      [
        'Bath change to 4K on M1',
        'Mon, Feb 3, 23:50 to Tue, Feb 4, 00:00 (10 min)',
        '1 technician throughout.',
      ],
    ]);
    const of = [
      'Fill of 2K on M1',
      'Mon, Feb 3, 00:40 to 01:50 (1 h 10 min)',
      '8 bags of 6.5 L',
      // 65 and 75 min after its start; ready 8 + 15 min after its end.
      'Swap between 01:45 and 01:55; planned 01:50',
      'Ready Mon, Feb 3, 02:13, expires Sat, Feb 8, 01:50',
    ];
    const served = [
      '1 bag for the bag round of Mon, Feb 3, 06:00',
      '1 bag for the bag round of Mon, Feb 3, 18:00',
    ];
    expect(said(2)).toEqual([...of, ...served, '6 bags left over at the end of the plan']);
    expect(describeActivity(problem, activities, null, 2).lines).toEqual(of.slice(1));
  });
});

describe('supplies', () => {
  test('run down by hand count, and run out when one use no longer fits', () => {
    const scenario = tinyWorld({
      supplies: [
        { item: 'circuit', onHand: 1, perCircuit: 1 },
        { item: 'bag set', onHand: 3, perFill: 2, deliveries: [{ at: at(400), quantity: 4 }] },
        { item: 'acid (L)', onHand: 10, perLitre: 0.02 },
        { item: 'gloves', onHand: 7 },
      ],
    });
    const [circuits, sets, acid, gloves] = supplySeries(compile(scenario), [
      circuit(0),
      ...batch(30),
      ...batch(600),
    ]);
    expect([circuits!.atEnd, circuits!.runsOut]).toEqual([0, 0]);
    // 3 - 2 = 1 is less than one fill takes, until 4 come: then 5 - 2 = 3.
    expect([sets!.firstShort, sets!.runsOut, sets!.atEnd, sets!.used]).toEqual([30, null, 3, 4]);
    // 30 min of circuit and two fills of 65 min at 0.8 L/min: 128 L x 0.02 = 2.56 L.
    expect(acid!.used).toBeCloseTo(2.56, 12);
    expect(acid!.lastsDays).toBeCloseTo(7.44 / 2.56, 12);
    expect([gloves!.used, gloves!.lastsDays, gloves!.runsOut]).toEqual([0, null, null]);
  });

  test('supplyAccount: as typed + delivered - used = left, with a use in the first minute and in the decimals shown', () => {
    const scenario = tinyWorld({
      supplies: [
        { item: 'bag set', onHand: 180, perFill: 1, deliveries: [{ at: at(400), quantity: 150 }] },
        { item: 'acid (L)', onHand: 10.25, perLitre: 0.0222, deliveries: [{ at: at(0), quantity: 2.125 }] },
        { item: 'too late', onHand: 1, perFill: 1, deliveries: [{ at: at(99_999), quantity: 150 }] },
      ],
    });
    const accounts = supplySeries(compile(scenario), [...batch(0), ...batch(600)]).map(supplyAccount);
    expect(accounts).toEqual([
      { digits: 1, start: 180, delivered: 150, used: 2, left: 328 },
      // Two fills of 65 min at 0.8 L/min: 104 L x 0.0222 = 2.3088 L.
      { digits: 3, start: 10.25, delivered: 2.125, used: 2.309, left: 10.066 },
      { digits: 1, start: 1, delivered: 0, used: 2, left: -1 },
    ]);
  });
});

describe('what a timeline shows', () => {
  const week = { from: 0, to: 10_080 };

  test('zooming keeps the first of what is asked for that is on screen, at the very edge too', () => {
    expect(zoomFocus(week, [null, 0])).toBe(0);
    expect(zoomFocus(week, [6000, 0])).toBe(6000);
    // The chosen one is off screen to the right, now to the left: the middle stays.
    expect(zoomFocus({ from: 1000, to: 3000 }, [6000, 0])).toBe(2000);
    expect(zoomFocus({ from: 1000, to: 3000 }, [6000, 1500])).toBe(1500);
    // Now at the start of a week: the first 12 h, not those in the middle of the week.
    expect(zoomTo(week, 720, zoomFocus(week, [undefined, 0]), 10_080)).toEqual({ from: 0, to: 720 });
    // A seventh of the week from the left before and after.
    expect(zoomTo(week, 720, zoomFocus(week, [1440, 0]), 10_080)).toEqual({
      from: 1440 - 720 / 7,
      to: 1440 + (720 * 6) / 7,
    });
  });

  test('going to a minute comes closer where all is on screen, else keeps the length', () => {
    expect(goTo(week, 3000, 10_080)).toEqual({ from: 2760, to: 3480 });
    expect(goTo(week, 0, 10_080)).toEqual({ from: 0, to: 720 });
    expect(goTo({ from: 5000, to: 8000 }, 3000, 10_080)).toEqual({ from: 2000, to: 5000 });
    expect(goTo({ from: 0, to: 600 }, 100, 600)).toEqual({ from: 0, to: 600 });
  });
});
