import { describe, expect, it } from 'vitest';
import { audit } from '../../../src/audit/audit.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../../src/plan/cover.ts';
import { type Activity, placeOf } from '../../../src/plan/plan.ts';
import { DutyFault, plan, planOn, replan } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';
import { generate } from '../../bench/generate.ts';
import { brokenBy, floored } from '../floors.ts';
import { at, unit } from '../worlds.ts';

/** The problem from a minute on as a plan leaves it when all went as planned. */
function stateAt(problem: Problem, made: readonly Activity[], now: number) {
  const begun = made.filter(({ start }) => start < now);
  const goesOn = ({ kind, end }: Activity) => end > now || (kind === 'fill' && end === now);
  const underWay = begun.filter((one) => goesOn(one) && one.kind !== 'swap');
  const staff = Int16Array.from(problem.staff);
  for (const { kind, end } of begun)
    if (kind === 'swap') for (let t = now; t < end; t++) staff[t]! -= problem.rules.hands.swap;
  const machines = problem.machines.map((machine) => {
    const own = begun.filter((one) => one.kind !== 'test' && one.machine === machine.id);
    let { loaded } = machine;
    for (const one of own.filter(({ end }) => end <= now)) {
      const bath = 'bath' in one ? problem.baths.indexOf(one.bath) : -1;
      if (one.kind === 'circuit') loaded = { bath, since: one.start };
      if (one.kind === 'bath') loaded = { bath, since: loaded!.since };
      const ends =
        one.kind === 'duty' && problem.duties.some(({ id, endsCircuit }) => endsCircuit && id === one.duty);
      if (ends) loaded = null;
    }
    const swap = own.find(({ kind, end }) => kind === 'swap' && end > now);
    const first = own.find((one) => goesOn(one) && 'bath' in one)?.start ?? swap?.end ?? now;
    const windows = machine.windows
      .map(({ from, to }) => ({ from: Math.max(from, first), to }))
      .filter(({ from, to }) => from < to);
    return { ...machine, loaded, windows };
  });
  const water = problem.water.map((source) => {
    const ends = begun.flatMap((one) => (one.kind === 'test' && one.water === source.id ? one.end : []));
    const last = Math.max(source.lastTest ?? Number.NEGATIVE_INFINITY, ...ends.filter((end) => end <= now));
    return { ...source, lastTest: Number.isFinite(last) ? last : null };
  });
  const later = problem.rounds.filter(({ at }) => at > now);
  const due = { index: 0, at: now, from: now, to: later[0]?.from ?? problem.horizon };
  // What has left with the rounds until now is no longer there.
  const { lots, servings } = cover(problem, demandOf(problem), lotsOfFills(problem, made));
  const left = lots.map((lot, index) => {
    const gone = servings.filter((one) => one.lot === index && problem.rounds[one.round]!.at <= now);
    return { ...lot, bags: lot.bags - gone.reduce((sum, { parts }) => sum + parts, 0) / lot.bagParts };
  });
  const there = left.filter(
    ({ origin, expires, ready }) =>
      origin !== 'fill' || (expires - problem.rules.shelf < now && Number.isFinite(ready)),
  );
  const done = (duty: string, at: number) =>
    begun.some((one) => one.kind === 'duty' && one.duty === duty && one.at === at && one.end <= now);
  const from: Problem = {
    ...problem,
    now,
    staff,
    machines,
    water,
    rounds: [due, ...later.map((round, index) => ({ ...round, index: index + 1 }))],
    lots: there,
    duties: problem.duties.map((duty) => ({
      ...duty,
      at: duty.at.filter((at) => !done(duty.id, at) && at + duty.slack >= now),
    })),
    dueNow: problem.baths.map(() => 0),
  };
  return { problem: from, underWay };
}

const worlds = Array.from({ length: 16 }, (_, seed) => {
  const scenario = generate({ seed, kind: 'tiny', variety: 0.3, machines: 2 + (seed % 2), days: 2 });
  return [seed, compile(seed % 2 ? floored(scenario, seed) : scenario), 300 + 97 * seed] as const;
});

/** Of what begins soon in the plans before, how much stays to the minute; a fill under way may end at another one. */
const all = { soon: 0, stays: 0 };

describe.each(worlds)('planning on, world %i', (_, whole, now) => {
  const usable = whole.machines.every(({ shortest, longest }) => shortest <= longest);
  it.runIf(usable)('breaks no rule, begins nothing before now, ends fills in their window', async () => {
    const made = (await plan(whole, { tries: 100 })).activities;
    const { problem, underWay } = stateAt(whole, made, now);
    const { activities } = await planOn(problem, { underWay, previous: made, tries: 60 });
    const past = (fault: string) => Number(/^minute (\d+)/.exec(fault)?.[1] ?? now) < now;
    expect(brokenBy(problem, activities).filter((fault) => !past(fault))).toEqual([]);
    const began = activities.filter(({ start }) => start < now);
    expect(began.map(({ kind, start }) => [kind, start]).sort()).toEqual(
      underWay.map(({ kind, start }) => [kind, start]).sort(),
    );
    for (const one of began) {
      if (one.kind !== 'fill') continue;
      const { shortest, longest } = problem.machines.find(({ id }) => id === one.machine)!;
      expect(one.end).toBeGreaterThanOrEqual(Math.max(now, one.start + shortest));
      expect(one.end).toBeLessThanOrEqual(one.start + longest);
    }
    const soon = made.filter((one) => 'bath' in one && one.start >= now && one.start < now + 120);
    const same = new Set(activities.map((one) => JSON.stringify(one)));
    all.soon += soon.length;
    all.stays += soon.filter((one) => same.has(JSON.stringify(one))).length;
  });
});

describe.each(worlds.slice(0, 8))('planning on with slack, world %i', (_, whole, now) => {
  const usable = whole.machines.every(({ shortest, longest }) => shortest <= longest);
  it.runIf(usable)('breaks no rule as typed, whatever is under way', async () => {
    const slack = {
      roundMinutes: 20,
      swapMinutes: 4,
      testMinutes: 25,
      circuitMinutes: 30,
      restMinutes: 3,
      bags: 4,
    };
    // The plan before keeps none: what is under way and begins soon breaks the slack, and stays.
    const made = (await plan(whole, { tries: 60 })).activities;
    const { problem, underWay } = stateAt(whole, made, now);
    const { activities } = await planOn({ ...problem, slack }, { underWay, previous: made, tries: 40 });
    const past = (fault: string) => Number(/^minute (\d+)/.exec(fault)?.[1] ?? now) < now;
    expect(brokenBy(problem, activities).filter((fault) => !past(fault))).toEqual([]);
    for (const one of activities.filter(({ kind, start }) => kind === 'fill' && start < now)) {
      const { shortest, longest } = problem.machines.find(({ id }) => id === placeOf(one))!;
      expect(one.end).toBeGreaterThanOrEqual(Math.max(now, one.start + shortest));
      expect(one.end).toBeLessThanOrEqual(one.start + longest);
    }
  });
});

describe('need comes before an unmoved list', () => {
  // The day begins at 07:00. 8 bags of A would fill from minute 10 on; bags of B for minute 180 take 10 + 65 + 8 + 15 min.
  const scenario = unit({
    baths: [{ id: 'A' }, { id: 'B' }],
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
    water: [{ id: 'W', capacity: 9000, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
    patients: [
      { id: 'bed-01', weight: 80, dose: 20, bath: 'B', from: at(240) },
      { id: 'bed-02', weight: 80, dose: 20, bath: 'A', from: at(600) },
    ],
    rules: { rounds: ['10:00', '16:00'] },
  });
  const problem: Problem = { ...compile(scenario), now: 5 };
  const soon: readonly Activity[] = [
    { kind: 'fill', machine: 'M1', bath: 'A', start: 10, end: 75 },
    { kind: 'swap', machine: 'M1', start: 75, end: 83 },
  ];
  it('what begins soon moves where less stays unmet so', async () => {
    const made = await planOn(problem, { previous: soon, tries: 60 });
    expect(made.score.unmetLitres).toBe(0);
    // Nothing begins before now, and as little moves as can be.
    expect(Math.min(...made.activities.map(({ start }) => start))).toBeGreaterThanOrEqual(5);
  });
  it('stays where nothing is gained by moving it', async () => {
    const none = { ...scenario, patients: scenario.patients.slice(1) };
    const made = await planOn({ ...compile(none), now: 5 }, { previous: soon, tries: 60 });
    expect(made.score.unmetLitres).toBe(0);
    expect(made.activities).toEqual(expect.arrayContaining([...soon]));
  });
});

describe('a fill that should have begun by now', () => {
  // 65 to 75 min a fill, 8 min a swap, 15 until the bags may leave (common practice, no source). Two beds of 6.5 L/h hang
  // 16 bags of 6.5 L between 11:15 and 19:15; they leave at 10:15 (minute 195). The two fills are planned from minute 10 on
  // and ready at 171; begun ten minutes late they are at 181.
  const bed = (id: string) => ({ id, weight: 130, dose: 50, bath: 'A', from: at(255), until: at(255 + 480) });
  const scenario = unit({
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
    water: [{ id: 'W', capacity: 9000, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
    patients: [bed('bed-01'), bed('bed-02')],
    rules: { rounds: ['10:15'] },
  });
  const problem: Problem = { ...compile(scenario), now: 20 };
  const row = (...starts: number[]): Activity[] =>
    starts.flatMap((start): Activity[] => [
      { kind: 'fill', machine: 'M1', bath: 'A', start, end: start + 65 },
      { kind: 'swap', machine: 'M1', start: start + 65, end: start + 73 },
    ]);
  const previous = row(10, 83);
  /** What is told at once, before any search. */
  const first = async (overdue: readonly Activity[]) => {
    const told: Activity[][] = [];
    const onProgress = ({ activities }: { activities: readonly Activity[] }) => told.push([...activities]);
    await planOn(problem, { previous, overdue, tries: 10, onProgress });
    return told[0];
  };
  it('begins as soon as may be, and what follows as much later as it must', async () => {
    expect(await first(previous.slice(0, 1))).toEqual(row(20, 93));
    expect(
      (await planOn(problem, { previous, overdue: previous.slice(0, 1), tries: 10 })).score,
    ).toMatchObject({ unmetLitres: 0 });
  });
  it('is left out where nobody needs it any more', async () => {
    const one = compile({ ...scenario, patients: scenario.patients.slice(1) });
    const made = await planOn({ ...one, now: 20 }, { previous, overdue: previous.slice(0, 1), tries: 10 });
    expect(made.score).toMatchObject({ unmetLitres: 0 });
    expect(made.activities.filter(({ kind }) => kind === 'fill')).toHaveLength(1);
  });
  it('that nobody tells of is lost: the next one stays at its minute', async () => {
    expect(await first([])).toEqual(row(83));
  });
});

describe('a fill under way that began late', () => {
  // 65 to 75 min fill 8 bags (common practice, no source). Two beds of 6.5 L/h hang 24 bags of 6.5 L: three fills by 13:00 (360).
  const bed = (id: string) => ({ id, weight: 130, dose: 50, bath: 'A', from: at(420), until: at(420 + 720) });
  const scenario = unit({
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
    water: [{ id: 'W', capacity: 9000, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
    patients: [bed('bed-01'), bed('bed-02')],
    rules: { rounds: ['13:00'] },
  });
  const row = (...starts: number[]): Activity[] =>
    starts.flatMap((start): Activity[] => [
      { kind: 'fill', machine: 'M1', bath: 'A', start, end: start + 65 },
      { kind: 'swap', machine: 'M1', start: start + 65, end: start + 73 },
    ]);
  it('takes what follows along, as late as it is itself: no fill is left out', async () => {
    const problem: Problem = { ...compile(scenario), now: 50 };
    const told: Activity[][] = [];
    const { activities, score } = await planOn(problem, {
      underWay: row(45).slice(0, 1),
      previous: row(40, 113, 186),
      tries: 1,
      onProgress: (progress) => told.push([...progress.activities]),
    });
    expect(told[0]).toEqual(row(45, 118, 191));
    expect(activities).toEqual(row(45, 118, 191));
    expect(score).toMatchObject({ unmetLitres: 0 });
  });
});

describe('a disinfection of the water that late work would run into', () => {
  // As above; the disinfection is due at 11:11 (251), when the third fill was to end.
  const bed = (id: string) => ({ id, weight: 130, dose: 50, bath: 'A', from: at(420), until: at(420 + 720) });
  const scenario = (slackMinutes: number) =>
    unit({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } },
      ],
      water: [{ id: 'W', capacity: 9000, testEvery: 1440, testMinutes: 10, lastTest: at(0) }],
      patients: [bed('bed-01'), bed('bed-02')],
      rules: { rounds: ['13:00'] },
      duties: [
        { id: 'loop', place: 'W', times: [at(251).slice(11)], minutes: 60, slackMinutes, voidsTests: true },
      ],
    });
  const row = (...starts: number[]): Activity[] =>
    starts.flatMap((start): Activity[] => [
      { kind: 'fill', machine: 'M1', bath: 'A', start, end: start + 65 },
      { kind: 'swap', machine: 'M1', start: start + 65, end: start + 73 },
    ]);
  const duty: Activity = { kind: 'duty', duty: 'loop', at: 251, water: 'W', start: 251, end: 311 };
  const planned = async (slackMinutes: number) => {
    const problem: Problem = { ...compile(scenario(slackMinutes)), now: 50 };
    const { activities } = await planOn(problem, {
      underWay: row(45).slice(0, 1),
      previous: [...row(40, 113, 186), duty],
      tries: 1,
    });
    const past = (fault: string) => Number(/^minute (\d+)/.exec(fault)?.[1] ?? 50) < 50;
    expect(brokenBy(problem, activities).filter((fault) => !past(fault))).toEqual([]);
    return activities.map(({ kind, start }) => `${kind} ${start}`).filter((one) => !/swap|test/.test(one));
  };
  it('waits for it within its slack', async () => {
    expect(await planned(30)).toEqual(['fill 45', 'fill 118', 'fill 191', 'duty 256']);
  });
});

describe('a duty that finds no place', () => {
  // Two disinfections of one machine, both at 08:00 without slack.
  const disinfect = { place: 'M1', times: ['08:00'], minutes: 45 };
  const scenario = unit({
    machines: [{ id: 'M1', flow: 800, positions: 8, water: 'W', loaded: { bath: 'A', circuitSince: at(0) } }],
    water: [{ id: 'W', capacity: 9000, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
    patients: [{ id: 'bed-01', weight: 80, dose: 25, bath: 'A' }],
    duties: [
      { ...disinfect, id: 'first' },
      { ...disinfect, id: 'second' },
      { id: 'break', times: ['12:00'], minutes: 30, slackMinutes: 60, technicians: 1 },
    ],
  });
  const running: Problem = { ...compile(scenario), now: 20 };

  it('does not stop a day under way: the plan leaves it out, and says which, when and why', async () => {
    const made = await planOn(running, { tries: 60 });
    const { activities, remarks } = made;
    expect(activities.flatMap((one) => (one.kind === 'duty' ? one.duty : [])).sort()).toHaveLength(2);
    expect(activities.some(({ kind }) => kind === 'fill')).toBe(true);
    expect(remarks).toEqual([
      'Decide how second, due 2031-02-03 08:00, gets done: this plan leaves it out. What is in the way: another duty is at its machine.',
    ]);
    // And so does the plan after it, from what it has.
    const again = await planOn(running, { tries: 60, previous: activities });
    expect(again.remarks).toEqual(remarks);
    expect(again.activities).toEqual(activities);
  });

  it('because its machine is filling: the plan check does not ask for it', async () => {
    const one = compile({ ...scenario, duties: scenario.duties!.slice(1) });
    const underWay: Activity[] = [{ kind: 'fill', machine: 'M1', bath: 'A', start: 10, end: 75 }];
    const now = 40;
    const made = await planOn({ ...one, now }, { tries: 60, underWay });
    expect(made.remarks.join()).toMatch(/second, due 2031-02-03 08:00, .*its machine or source is in use/);
    expect(audit({ ...one, now }, made.activities, { underWay }).violations).toEqual([]);
  });

  it('that a plan from the start asks for stops it, also when planning again', async () => {
    await expect(replan(compile(scenario), { tries: 60, previous: [] })).rejects.toBeInstanceOf(DutyFault);
    const later = await replan(compile(scenario), { tries: 60, previous: [], now: 20 });
    expect(later.remarks.join()).toMatch(/second, due 2031-02-03 08:00/);
  });
});

it('what begins soon stays, since all went as planned', () => {
  expect(all.soon).toBeGreaterThan(10);
  expect(all.stays / all.soon).toBeGreaterThan(0.9);
});
