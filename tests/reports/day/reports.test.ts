import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectedConductivity } from '../../../src/chemistry/conductivity.ts';
import type { Activity } from '../../../src/plan/plan.ts';
import { startAt } from '../../../src/record/from.ts';
import { limitsOf } from '../../../src/record/limits.ts';
import { handoverOf } from '../../../src/reports/day/handover.ts';
import { madePlanned } from '../../../src/reports/day/madePlanned.ts';
import { namedOf, peopleOf, personListsOf } from '../../../src/reports/day/personLists.ts';
import { controlCharts, notShown } from '../../../src/reports/day/readings.ts';
import { bagCode, readBagCode, recallCodes, swapLabels } from '../../../src/reports/day/swapLabels.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { freeOf } from '../../../src/words/solutes.ts';
import { noted } from '../../record/book.ts';
import { batch, circuit, fill, swap, tinyWorld, test as waterTest } from '../../world.ts';

const BATH = {
  id: '2K',
  sodium: 140,
  potassium: 2,
  calcium: 0,
  magnesium: 1,
  chloride: 108,
  bicarbonate: 32,
  acetate: 4,
};
const world = tinyWorld({
  baths: [BATH, { id: '4K' }],
  patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
  rules: { rounds: ['06:00'] },
});
const entries = [
  noted(40, { kind: 'circuit', machine: 'M1', bath: '2K', lots: { acid: 'A-7' } }),
  noted(45, { kind: 'reading', machine: 'M1', conductivity: 13.6, temperature: 25, pH: 7.2 }),
  noted(60, { kind: 'fill', machine: 'M1' }),
  noted(128, { kind: 'off', machine: 'M1', good: 7, rejected: [{ reason: 'leak', bags: 1 }] }),
  noted(130, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4, bed: 'bed-1' }] }),
  noted(140, { kind: 'hold', lot: 'P-1', bags: 2, why: 'label torn' }),
  noted(150, { kind: 'note', text: 'M1 hums' }),
  noted(160, { kind: 'reading', machine: 'M1', conductivity: 15, temperature: 25 }),
];
const LOT = 'M1 2031-02-03 01:00';
const whole = compile(world);
const { state } = startAt(world, entries, 170);

describe('handover', () => {
  const page = handoverOf(whole, state, [...batch(200), ...batch(700)], 100);
  test('says what is there, on hold and why, what was read, what runs, what comes', () => {
    expect(page.stock[0]).toMatchObject({ bath: '2K', good: 4, held: 9, litres: 26, firstExpiry: null });
    expect(page.held).toEqual([
      { lot: 'P-1', bath: '2K', bags: 2, why: 'label torn' },
      { lot: LOT, bath: '2K', bags: 7, why: 'a reading was out of limits' },
    ]);
    expect(page.readings.map(({ at }) => at)).toEqual([160]);
    expect(page.circuits).toEqual([{ machine: 'M1', bath: '2K', age: 160, left: 1440 - 160 }]);
    expect(page.notes.map(({ text }) => text)).toEqual(['M1 hums']);
    expect(page.next.map(({ kind, start }) => [kind, start])).toEqual([
      ['fill', 200],
      ['swap', 265],
    ]);
  });
});

describe('labels at the swap', () => {
  test('bear the real times, the lot, and what the bath lacks', () => {
    const before = startAt(world, entries.slice(0, 4), 150).state;
    const labels = swapLabels(whole, before.lots.find(({ lot }) => lot === LOT)!, world.baths);
    expect(labels).toHaveLength(7);
    expect(labels[2]).toMatchObject({
      lot: LOT,
      made: 128,
      expires: 128 + 7200,
      number: 3,
      of: 7,
      warnings: ['CALCIUM-FREE'],
      code: 'BT2/M1%202031-02-03%2001%3A00/3-7',
    });
    expect(freeOf({ id: 'x', potassium: 0, calcium: 2.5 })).toEqual(['POTASSIUM-FREE']);
  });
  test('bags on hold get none; what is recalled names the codes of the whole lot', () => {
    const lot = state.lots.find((one) => one.lot === LOT)!;
    expect(swapLabels(whole, lot, world.baths)).toEqual([]);
    expect(recallCodes(lot)).toHaveLength(7);
    expect(recallCodes(state.lots[0]!)).toEqual([]);
  });
  test('a code reads back as the lot it was made of, whatever the machine is called', () => {
    fc.assert(
      fc.property(
        fc.string({ minLength: 1, unit: 'grapheme' }),
        fc.integer({ min: 1, max: 999 }),
        (lot, number) => {
          const code = bagCode(lot, number, 999);
          expect(code).toMatch(/^[\x20-\x7e]+$/);
          expect(readBagCode(`${code}\n`)).toEqual({ lot, number, of: 999 });
        },
      ),
    );
    expect(readBagCode('BT1/2K/M1/x')).toBeNull();
    expect(readBagCode('BT2/%E0%A4%A/1-8')).toBeNull();
  });
});

describe('readings over time', () => {
  // The limits are 5 % either way of what is expected: common practice, no source.
  test('a chart for each machine and quantity, each point with its own limits', () => {
    const charts = controlCharts(state);
    expect(charts.map(({ machine, quantity, unit }) => [machine, quantity, unit])).toEqual([
      ['M1', 'conductivity', 'mS/cm'],
      ['M1', 'temperature', '°C'],
      ['M1', 'pH', ''],
    ]);
    // Nobody sets limits to the temperature: it is drawn, not judged.
    expect(charts[1]!.points.map(({ value, low, within }) => [value, low, within])).toEqual([
      [25, null, null],
      [25, null, null],
    ]);
    const [conductivity] = charts;
    expect(conductivity!.points.map(({ at, within }) => [at, within])).toEqual([
      [45, true],
      [160, false],
    ]);
    const { low, high } = conductivity!.points[0]!;
    expect(high! / low!).toBeCloseTo(1.05 / 0.95, 9);
  });
  test('expected is what the composition gives; pH has a range and no value that is aimed at', () => {
    const [conductivity, , pH] = controlCharts(state);
    expect(conductivity!.points[0]!.expected).toBeCloseTo(expectedConductivity(BATH, 25)!, 9);
    expect(pH!.points[0]!.expected).toBeNull();
  });
  test('what conductivity cannot show: 2K and 4K differ by under 2 %', () => {
    // 2 mmol/L of KCl more, at 0.15 mS/cm for each (limiting conductivities), in about 14 mS/cm: about 2 %, less by interaction.
    const four = { ...BATH, id: '4K', potassium: 4, chloride: 110 };
    const told = notShown([BATH, four, { id: '0K' }], limitsOf(world));
    expect(told[1]).toMatch(
      /^It cannot tell 2K from 4K: .* 1\.\d % apart\. The limits are 5 % either way\.$/,
    );
    expect(told[2]).toMatch(/^Of 0K no conductivity can be expected/);
  });
});

describe('made against planned', () => {
  const report = madePlanned(whole, state, [circuit(0), ...batch(30), waterTest(100), ...batch(110)]);
  test('bags, minutes, discards, and what left for each bed against what was prescribed', () => {
    // Planned to have ended by 170: one circuit (30), one fill and swap (8), one test (10).
    expect(report.byBath[0]).toMatchObject({
      plannedBags: 8,
      madeBags: 8,
      madeLitres: 52,
      held: 7,
      discarded: 1,
    });
    expect(report.handsOn).toEqual({ planned: 48, real: 38 });
    expect(report.discards).toEqual([{ why: 'leak', bags: 1 }]);
    // A bag each 2 h: at 0 and 120.
    expect(report.byBed).toEqual([{ bed: 'bed-1', prescribed: 2, left: 4 }]);
  });
});

describe('lists of people', () => {
  const two = { ...whole, shifts: [{ shift: 'day', from: 0, to: 1440, technicians: 2 }] };
  test('each piece of work once, whoever is at the place goes on there', () => {
    const activities = [
      circuit(0, '2K', 'M1'),
      circuit(0, '2K', 'M2'),
      swap(40, 'M2'),
      swap(50, 'M1'),
      waterTest(70),
    ];
    const { lists, nobody } = personListsOf(
      two,
      activities,
      peopleOf(two, () => ['AB']),
      {
        from: 0,
        to: 1440,
      },
    );
    expect(nobody).toEqual([]);
    expect(lists.map(({ person }) => person.name)).toEqual(['AB', 'day 2']);
    const placesOf = lists.map(({ tasks }) =>
      tasks.map(({ activity }) => ('machine' in activity ? activity.machine : 'RO')),
    );
    expect(placesOf.map((places) => new Set(places.filter((place) => place !== 'RO')).size)).toEqual([1, 1]);
  });
  test('whoever is noted by initials bears the tasks; an entry that names nobody leaves them numbered', () => {
    const staffed = [
      noted(10, {
        kind: 'staff',
        shift: 'all day',
        date: '2031-02-03',
        technicians: 2,
        names: ['AB', 'RT-2'],
      }),
      noted(600, { kind: 'staff', shift: 'all day', date: '2031-02-03', technicians: 1 }),
    ];
    const at = (now: number) => {
      const start = startAt(world, staffed, now);
      return peopleOf(start.problem, namedOf(whole, start.state.staff)).map(({ name, from }) => [name, from]);
    };
    expect(at(300)).toEqual([
      ['all day 1', 0],
      ['AB', 10],
      ['RT-2', 10],
    ]);
    expect(at(700)).toEqual([
      ['all day 1', 0],
      ['AB', 10],
      ['RT-2', 10],
      ['all day 1', 600],
    ]);
  });
  test('a fill whose start takes no time is listed as a start of 0 min, by somebody who is there', () => {
    const activities = [swap(0, 'M1'), fill(4, '2K', 'M2'), fill(30, '2K', 'M1')];
    const one = { ...whole, rules: { ...whole.rules, fillStartMinutes: 0 } };
    const { lists, nobody } = personListsOf(one, activities, [{ name: 'AB', from: 0, to: 60 }], {
      from: 0,
      to: 60,
    });
    expect(nobody).toEqual([]);
    expect(lists[0]!.tasks.map(({ start, end }) => [start, end])).toEqual([
      [0, 8],
      [4, 4],
      [30, 30],
    ]);
    expect(personListsOf(one, activities, [], { from: 0, to: 60 }).nobody).toHaveLength(3);
  });
  test('work over a change of shift is parted there; where nobody is free it says so', () => {
    const people = [
      { name: 'early', from: 0, to: 20 },
      { name: 'late', from: 20, to: 60 },
    ];
    const { lists, nobody } = personListsOf(two, [circuit(0), swap(25, 'M2')], people, { from: 0, to: 60 });
    expect(lists.map(({ tasks }) => tasks.map(({ start, end }) => [start, end]))).toEqual([
      [[0, 20]],
      [[20, 30]],
    ]);
    expect(nobody).toMatchObject([{ start: 25, end: 33 }]);
  });
  test('wherever people are enough at each minute, nobody is missing and nobody is wanted twice', () => {
    const span = fc.tuple(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 1, max: 60 }));
    fc.assert(
      fc.property(
        fc.array(span, { maxLength: 25 }),
        fc.array(span, { minLength: 1, maxLength: 6 }),
        (work, stays) => {
          const people = [
            { name: 'all', from: 0, to: 400 },
            ...stays.map(([from, length], n) => ({ name: `p${n}`, from, to: from + 3 * length })),
          ];
          const there = (minute: number) =>
            people.filter(({ from, to }) => from <= minute && minute < to).length;
          const kept: Activity[] = [];
          for (const [start, length] of work) {
            const one: Activity = {
              kind: 'swap',
              machine: `M${kept.length % 3}`,
              start,
              end: start + length,
            };
            const fits = Array.from({ length }, (_, n) => start + n).every(
              (minute) =>
                kept.filter((other) => other.start <= minute && minute < other.end).length < there(minute),
            );
            if (fits) kept.push(one);
          }
          const { lists, nobody } = personListsOf(two, kept, people, { from: 0, to: 400 });
          expect(nobody).toEqual([]);
          const minutes = (tasks: readonly { start: number; end: number }[]) =>
            tasks.reduce((sum, { start, end }) => sum + end - start, 0);
          expect(minutes(lists.flatMap(({ tasks }) => tasks))).toBe(minutes(kept));
          for (const { person, tasks } of lists)
            tasks.forEach(({ start, end }, index) => {
              expect(start).toBeGreaterThanOrEqual(Math.max(person.from, tasks[index - 1]?.end ?? 0));
              expect(end).toBeLessThanOrEqual(person.to);
            });
        },
      ),
    );
  });
});
