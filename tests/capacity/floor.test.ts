import { describe, expect, test } from 'vitest';
import { runDraws } from '../../src/capacity/answers/job.ts';
import { drawInto, emptyDraw, groundOf } from '../../src/capacity/draws/draw.ts';
import { drawnProblem } from '../../src/capacity/draws/drawnProblem.ts';
import { FastModel } from '../../src/capacity/model/fastModel.ts';
import { countFills, emptyWork } from '../../src/capacity/model/fills.ts';
import {
  capacityParts,
  dutiesOf,
  dutyLoadOf,
  laborOf,
  releaseOf,
  testLabor,
} from '../../src/capacity/model/floor.ts';
import { emptyOutcome } from '../../src/capacity/model/serving.ts';
import { Staffing } from '../../src/capacity/model/staffing.ts';
import type { DutyRow, RulesRow, Scenario } from '../../src/scenario/schema.ts';
import { emptySite, wardSite } from './worlds.ts';

/** One machine, 8 bags in 65 min, for two days from midnight; rounds at 06:00 and 18:00, release after 15 min. */
const site = (changes: Partial<Scenario> = {}): Scenario => ({
  ...emptySite({ days: 2, startsPerDay: 0 }),
  ...changes,
});
const problemOf = (changes: Partial<Scenario> = {}) => groundOf(site(changes)).problem;
const DEADLINES = [Number.NEGATIVE_INFINITY, 345, 1065, 1785, 2505];
const date = site().start.slice(0, 10);

function workOf(changes: Partial<Scenario>, source?: Partial<{ lastTest: number | null }>) {
  const problem = problemOf(changes);
  const machine = problem.machines[0]!;
  const work = emptyWork(DEADLINES.length);
  countFills(
    machine,
    machine.windows,
    {
      rules: problem.rules,
      source: { ...problem.water[0]!, ...source },
      wait: 0,
      later: 0,
      open: [0, 2880],
      deadlines: DEADLINES,
      duties: dutiesOf(problem, problem.machines)[0]!,
    },
    work,
  );
  return work;
}
const duty = (row: Partial<DutyRow>): DutyRow => ({
  id: 'disinfect',
  place: problemOf().machines[0]!.id,
  times: ['03:00'],
  dates: [date],
  minutes: 60,
  ...row,
});
/** Bags short with one machine that must bring so many by the first round. */
function shortOf(changes: Partial<Scenario>, bags: number): number {
  const ground = groundOf(site(changes));
  const draw = emptyDraw(ground, 1);
  draw.need[1] = bags;
  const out = [emptyOutcome()];
  new FastModel(ground.problem, 1).judge(draw, out);
  return out[0]!.bagsShort;
}

describe('duties of a machine', () => {
  test('it does nothing else meanwhile; a fill that would hold the duty up comes after it', () => {
    // Circuit 30, fills until 103 and 176; the next would end at 249, after 03:00 (180): the duty takes 180 to 240, then
    // one more fill until 313, by 05:45 (345).
    expect([...workOf({ duties: [duty({})] }).fills].slice(0, 2)).toEqual([0, 3]);
    expect([...workOf({}).fills].slice(0, 2)).toEqual([0, 4]);
    // It may wait 90 min: the fill until 249 comes first, the duty ends at 309, and no other fits before 345.
    expect([...workOf({ duties: [duty({ slackMinutes: 90 })] }).fills].slice(0, 2)).toEqual([0, 3]);
    // A duty of 10 min that may wait holds up nothing: 259, then a fill until 332.
    expect([...workOf({ duties: [duty({ slackMinutes: 90, minutes: 10 })] }).fills].slice(0, 2)).toEqual([
      0, 4,
    ]);
  });

  test('where it ends the circuit a new one is set up', () => {
    // 180 to 240, circuit until 270, fill and swap until 343.
    const { fills, circuits } = workOf({ duties: [duty({ endsCircuit: true })] });
    expect([fills[1], circuits[1]]).toEqual([3, 2]);
  });

  test('of its water source: the machine rests, and the water is tested anew where tests are void', () => {
    const at = problemOf().water[0]!.id;
    const row = duty({ place: at, slackMinutes: 30 });
    // Done at 180 for all machines of the source, until 240: a fill until 313.
    expect(workOf({ duties: [row] }).fills[1]).toBe(3);
    // With a test of 10 min: until 323. With one of 40: until 353, too late for the round.
    expect(workOf({ duties: [{ ...row, voidsTests: true }] }).fills[1]).toBe(3);
    const slow = { ...site().water[0]!, testMinutes: 40 };
    expect(workOf({ water: [slow], duties: [{ ...row, voidsTests: true }] }).fills[1]).toBe(2);
  });

  test('copies of the last machine copy its duties; machines left out lose theirs', () => {
    const machines = ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' }));
    const duties = [
      duty({ id: 'one', place: 'M1' }),
      duty({ id: 'two', place: 'M2' }),
      duty({ id: 'rest', place: null }),
    ];
    const ground = groundOf(site({ machines, duties }));
    const draw = emptyDraw(ground, 4);
    drawInto(ground, 1, 0, draw);
    const ids = (count: number) =>
      drawnProblem(ground, { seed: 1, index: 0, draw, count }).duties.map(({ id, place }) => [
        id,
        place?.index ?? null,
      ]);
    expect(ids(1)).toEqual([
      ['one', 0],
      ['rest', null],
    ]);
    expect(ids(4)).toEqual([
      ['one', 0],
      ['two', 1],
      ['two copy 1', 2],
      ['two copy 2', 3],
      ['rest', null],
    ]);
    const { problem } = ground;
    const model = dutiesOf(problem, [...problem.machines, problem.machines[1]!, problem.machines[1]!]);
    expect(model.map((list) => list.length)).toEqual([1, 1, 1, 1]);
  });

  test('hands and flow of duties, by round; walks count', () => {
    const row = duty({ technicians: 2, flow: 500, times: ['03:00', '12:00'] });
    const problem = problemOf({ duties: [row], rules: { walkMinutes: 5 } });
    const load = dutyLoadOf(problem, DEADLINES, { m: 0, source: 0 });
    expect([...load.hands]).toEqual([0, 130, 130, 0, 0]);
    expect([...load.flow]).toEqual([0, 30_000, 30_000, 0, 0]);
    const none = dutyLoadOf(problem, DEADLINES, { m: null, source: 0 });
    expect([...none.hands]).toEqual([0, 0, 0, 0, 0]);
  });
});

describe('hands', () => {
  const laborWith = (rules: RulesRow) => laborOf(problemOf({ rules }).rules);
  test('technician minutes of each kind of work, with walks and fill starts', () => {
    // CP: swap 8 min, circuit 30.
    expect(laborWith({})).toEqual({ fill: 8, fillLength: 8, circuit: 30, change: 1 });
    expect(
      laborWith({ walkMinutes: 2, fillStartMinutes: 3, hands: { swap: 2, circuit: 1, bath: 2 } }),
    ).toEqual({ fill: 2 * 10 + 3, fillLength: 13, circuit: 30, change: 2 });
    // Work that takes nobody has no walk.
    expect(laborWith({ walkMinutes: 2, hands: { swap: 0, circuit: 0 } })).toMatchObject({
      fill: 0,
      fillLength: 0,
      circuit: 0,
    });
    const { water, rules } = problemOf({ rules: { walkMinutes: 2, hands: { test: 2 } } });
    expect(testLabor(water[0]!, rules)).toEqual({ length: 12, hands: 24 });
  });

  test('nothing is made while fewer are there than a swap takes', () => {
    const rules = { hands: { swap: 2 } };
    const shifts = [
      { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
      { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
    ];
    const staffing = new Staffing(problemOf({ rules, shifts }), DEADLINES);
    expect(staffing.open).toEqual([420, 1140, 1860, 2580]);
    staffing.begin([0, 1]);
    expect(staffing.openChanged).toBe(true);
    expect(staffing.open).toEqual([1860, 2580]);
  });
});

test('bags that go to tests do not count', () => {
  expect(problemOf({ rules: { sampleBags: 3 } }).machines[0]!.usable).toBe(5);
  // Four fills are ready by the first round: 32 bags, or 20, less the share that a plan cannot use.
  expect(shortOf({}, 24)).toBe(0);
  expect(shortOf({ rules: { sampleBags: 3 } }, 15)).toBe(0);
  expect(shortOf({ rules: { sampleBags: 3 } }, 24)).toBeGreaterThan(3);
  expect(shortOf({ rules: { sampleBags: 8 } }, 1)).toBe(1);
});

test('bags that wait for a test leave later: its length, or the release, whichever is longer', () => {
  expect(releaseOf(problemOf())).toBe(15);
  expect(releaseOf(problemOf({ rules: { releaseAfterTest: true } }))).toBe(15);
  const water = [{ ...site().water[0]!, testMinutes: 40 }];
  expect(releaseOf(problemOf({ water, rules: { releaseAfterTest: true, walkMinutes: 2 } }))).toBe(42);
  // A source that no machine uses keeps nobody waiting.
  const idle = { id: 'idle', capacity: 1, testEvery: 240, testMinutes: 90 };
  expect(releaseOf(problemOf({ water: [...water, idle], rules: { releaseAfterTest: true } }))).toBe(40);
});

test('capacities of a source over a time, and no water at all', () => {
  const water = [
    { ...site().water[0]!, capacity: 1600, capacityChanges: [{ at: `${date}T02:00`, capacity: 0 }] },
  ];
  const { water: sources } = problemOf({ water });
  expect(capacityParts(sources[0]!, 0, 360)).toEqual([
    { capacity: 1600, share: 120 / 360 },
    { capacity: 0, share: 240 / 360 },
  ]);
  expect(capacityParts(sources[0]!, 400, 800)).toEqual([{ capacity: 0, share: 1 }]);
  expect(shortOf({}, 24)).toBe(0);
  // Water for 120 of 345 min: a share of 120 / 345 of 32 bags is 11; to the minute it is one fill.
  expect(shortOf({ water }, 24)).toBeGreaterThan(24 - 16);
});

test('stock wanted after every round makes no run short', () => {
  const ward = wardSite();
  const wanting = { ...ward, rules: { ...ward.rules, minStock: { '2K': 50, '4K': 50 } } };
  const job = { seed: 2, first: 0, count: 20, most: 4 };
  expect([...runDraws({ ...job, scenario: wanting }).short]).toEqual([
    ...runDraws({ ...job, scenario: ward }).short,
  ]);
});

test('a patient with sessions is in the census in and out of them, and hangs bags in them only', () => {
  const row = { id: 'bed', weight: 80, dose: 25, bath: '2K' };
  const withSession = { ...row, session: { start: '08:00', hours: 6.5 } };
  const of = (patient: typeof row) => {
    const ground = groundOf(site({ patients: [patient] }));
    const draw = emptyDraw(ground, 1);
    drawInto(ground, 1, 0, draw);
    return draw;
  };
  expect([...of(withSession).census]).toEqual([1, 1]);
  // 80 kg x 25 mL/kg/h = 2 L/h: a bag of 6.5 L lasts 3.25 h, so two a session of 6.5 h.
  const days = 2;
  expect([...of(withSession).bagsByDay.slice(0, days)]).toEqual([2, 2]);
  expect(of(row).bagsByDay[0]).toBe(8);
});
