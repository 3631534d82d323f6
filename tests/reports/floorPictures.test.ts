import { describe, expect, test } from 'vitest';
import { painter, runSheets } from '../../electron/command/tables.ts';
import { asPlan } from '../../src/plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN, type Plan } from '../../src/plan/plan.ts';
import { toCalendar } from '../../src/reports/calendarFile.ts';
import { describeActivity } from '../../src/reports/describe.ts';
import { planTables } from '../../src/reports/planTables.ts';
import { runSheet, shiftAt } from '../../src/reports/runSheet.ts';
import { timelineOf, valueAt } from '../../src/reports/timeline.ts';
import { layoutOf } from '../../src/views/pictures/plotLayout.ts';
import { timelineSigns } from '../../src/views/pictures/timelineSigns.ts';
import { neighbour, place, rowsOf, sayMinute } from '../../src/views/pictures/timelineWalk.ts';
import { known } from '../grid/known.ts';
import { at, circuit, fill, swap, tinyWorld, test as waterTest } from '../world.ts';

/** A floor with duties, walks, a hand at each fill's start, two at a circuit, a sample bag and less water later. */
const scenario = tinyWorld({
  patients: [{ id: 'bed-1', weight: 65, dose: 10, bath: '2K', from: at(60) }],
  water: [
    {
      id: 'RO',
      capacity: 1600,
      testEvery: 240,
      testMinutes: 10,
      lastTest: at(0),
      capacityChanges: [{ at: at(300), capacity: 900 }],
    },
  ],
  shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 3 }],
  duties: [
    { id: 'Break 1', times: ['03:00'], minutes: 30, slackMinutes: 60, technicians: 1 },
    { id: 'Break 2', times: ['03:15'], minutes: 30, technicians: 1 },
    { id: 'Disinfect M1', place: 'M1', times: ['04:00'], minutes: 45, flow: 500, endsCircuit: true },
    { id: 'Flush loop', place: 'RO', times: ['05:00'], minutes: 60, technicians: 2, voidsTests: true },
  ],
  rules: { walkMinutes: 2, fillStartMinutes: 3, hands: { circuit: 2 }, sampleBags: 1 },
});
const duty = (id: string, due: number, start: number, minutes: number, where = {}): Activity => ({
  kind: 'duty',
  duty: id,
  at: due,
  ...where,
  start,
  end: start + minutes,
});
const plan: Activity[] = [
  circuit(10),
  fill(40),
  swap(105),
  duty('Break 1', 180, 190, 30),
  duty('Break 2', 195, 195, 30),
  duty('Disinfect M1', 240, 240, 45, { machine: 'M1' }),
  duty('Flush loop', 300, 300, 60, { water: 'RO' }),
  waterTest(360),
];
const { problem, activities, covered, demand } = known(scenario, plan);
const of = (name: string) => activities.findIndex((one) => one.kind === 'duty' && one.duty === name);
const data = timelineOf(problem, activities);

describe('the timeline of a floor', () => {
  test('has each duty once, at its place; breaks that overlap lie in rows of their own', () => {
    expect(data.machines[0]!.bars.map(({ kind }) => kind)).toEqual(['circuit', 'fill', 'swap', 'duty']);
    expect(data.water[0]!.bars.map(({ duty = 'test' }) => duty)).toEqual(['Flush loop', 'test']);
    expect(data.elsewhere.map((row) => row.map((bar) => bar.duty))).toEqual([['Break 1'], ['Break 2']]);
  });

  test('counts technicians minute by minute: at work, on a break too, walking too', () => {
    // By hand. Circuit by two at 10, walk from 8; the fill's start and the swap need no walk or one: 40 follows the
    // circuit's end, 105 does not follow the fill's first 3 minutes. Breaks walk from 188 and 193, the flush from 298.
    const told = (minute: number) =>
      [data.atWork, data.placed, data.load].map((steps) => valueAt(steps, minute));
    expect([7, 8, 10, 39, 40, 43, 103, 105, 113].map(told)).toEqual([
      [0, 0, 0],
      [0, 0, 2],
      [2, 2, 2],
      [2, 2, 2],
      [1, 1, 1],
      [0, 0, 0],
      [0, 0, 1],
      [1, 1, 1],
      [0, 0, 0],
    ]);
    expect([188, 190, 193, 195, 219, 220, 225, 250, 299, 300].map(told)).toEqual([
      [0, 0, 1],
      [0, 1, 1],
      [0, 1, 2],
      [0, 2, 2],
      [0, 2, 2],
      [0, 1, 1],
      [0, 0, 0],
      [0, 0, 0],
      [0, 0, 2],
      [2, 2, 2],
    ]);
    expect(data.over).toEqual([]);
  });

  test('shows what a source gives as it changes, and what a disinfection draws', () => {
    const [water] = data.water;
    expect([0, 299, 300].map((minute) => valueAt(water!.capacity, minute))).toEqual([1600, 1600, 900]);
    expect([20, 50, 120, 250, 310].map((minute) => valueAt(water!.use, minute))).toEqual([
      800, 800, 0, 500, 0,
    ]);
  });

  test('tells the same by pointer, by keyboard and in the legend', () => {
    const layout = layoutOf(data, { from: 0, to: 1440 }, 1100);
    const walked = rowsOf(data).flatMap((row) => row.map(({ index }) => index));
    expect([...walked].sort((a, b) => a - b)).toEqual(activities.map((_, index) => index));
    for (const index of walked) expect(place(data, layout, index)!.bar.index).toBe(index);
    // From the machine down to the first break.
    expect(neighbour(rowsOf(data), of('Disinfect M1'), 'ArrowDown')?.index).toBe(of('Break 1'));
    const said = sayMinute(data, problem, { part: 'load', lane: 0, minute: 193, bar: null });
    expect(said!.lines).toEqual(['0 at work', '1 on a break or elsewhere', '1 walking', '3 on shift']);
    const signs = timelineSigns(problem).map(({ text }) => text);
    expect(signs).toContain('technicians walking');
    expect(signs).toContain('duty (white): disinfection, break or other work by the clock');
    expect(timelineSigns(known(tinyWorld(), []).problem).map(({ text }) => text)).not.toContain(
      'technicians walking',
    );
  });
});

test('each activity says who is held, from when, and what a duty does', () => {
  const said = (index: number) => describeActivity(problem, activities, covered, index).lines;
  expect(said(of('Break 1'))).toEqual([
    'Mon, Feb 3, 03:10 to 03:40 (30 min)',
    'May begin from 03:00 to 04:00',
    '1 technician throughout, walks from 03:08.',
  ]);
  expect(said(of('Disinfect M1'))).toEqual([
    'Mon, Feb 3, 04:00 to 04:45 (45 min)',
    'Due at 04:00',
    'The machine needs a new circuit afterwards',
    'Uses 500 mL/min of water',
    'No technician is held.',
  ]);
  expect(said(of('Flush loop')).slice(2)).toEqual([
    'The water needs a new total chlorine test afterwards',
    '2 technicians throughout, walk from 04:58.',
  ]);
  const filled = said(activities.findIndex(({ kind }) => kind === 'fill'));
  expect(filled[1]).toBe('7 bags of 6.5 L, and 1 more for tests');
  expect(filled[2]).toBe('1 technician for the first 3 min.');
});

describe('what a shift gets in hand', () => {
  const sheet = runSheet(problem, activities, shiftAt(problem, 0)!);

  test('the worksheet has duties at machines, at water sources and elsewhere', () => {
    const rows = sheet.places.map(({ of: kind, rows }) => [
      kind,
      rows.map(({ duty }) => duty).filter(Boolean),
    ]);
    expect(rows).toEqual([
      ['machine', ['Disinfect M1']],
      ['water', ['Flush loop']],
      ['elsewhere', ['Break 1', 'Break 2']],
    ]);
    const [first] = sheet.places[2]!.rows;
    expect([first!.begins, first!.technicians]).toEqual([{ from: 180, to: 240 }, 1]);
    expect(sheet.places[0]!.rows.at(-1)).toMatchObject({ technicians: 0, bags: 0, swap: null });
    // Two for 30 min, one for 3, one for 8 and one for 10: duties and walks are not in it.
    expect(sheet.handsOnMinutes).toBe(60 + 3 + 8 + 10);
  });

  test('after a duty that ends the circuit the machine has none', () => {
    const late = known(
      {
        ...scenario,
        shifts: [...scenario.shifts, { id: 'late', from: '05:00', to: '08:00', technicians: 1 }],
      },
      plan,
    );
    const shift = late.problem.shifts.find((one) => one.shift === 'late')!;
    expect(runSheet(late.problem, late.activities, shift).places[0]!.loaded).toBeNull();
  });

  test('the command, the workbook and the calendar name them too', () => {
    const made = { activities } as unknown as Plan;
    const text = runSheets(problem, made, painter(false));
    expect(text).toMatch(/Disinfect M1 .* No technician is held\./);
    expect(text).toMatch(/Breaks and work elsewhere/);
    expect(text).toMatch(/Break 2 /);
    const calendar = toCalendar(problem, activities, 0, 1440, 0).replaceAll('\r\n ', '');
    for (const name of ['Break 1', 'Break 2', 'Disinfect M1', 'Flush loop'])
      expect(calendar).toMatch(new RegExp(`SUMMARY:${name}`));
    expect(calendar).toContain('Do not hang until released. 1 technician throughout\\, walks from 03:08.');
    const names = [...calendar.matchAll(/^UID:(.*)$/gm)].map(([, name]) => name);
    expect(new Set(names).size).toBe(activities.length);
    const whole = asPlan(problem, activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
    const verdict = { ok: true, violations: [], checked: [], history: [] };
    const standing = { madeAt: '2031-02-03 06:12', held: 0, lost: [], edited: false };
    const tables = planTables(scenario, problem, demand, whole, verdict as never, standing);
    const schedule = tables.find(({ name }) => name === 'Schedule')!.table;
    const line = schedule.find((row) => row.includes('Flush loop'))!;
    expect(line.slice(2, 7)).toEqual([
      60,
      'RO',
      'Flush loop',
      null,
      '2 technicians throughout, walk from 04:58.',
    ]);
  });
});
