import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { expect, test } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { withEnds } from '../../src/record/ends.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, bathChange, circuit, fill, test as testAt, tinyWorld } from '../world.ts';

// How what is under way ends (fill window 65 to 75 min: common practice, no source), found a second way: minute by minute.

const NOW = 100;
const handsOf = ({ rules: { hands } }: Problem, { kind }: Activity): number =>
  kind === 'fill' || kind === 'duty' ? 0 : hands[kind];
const sourceOf = (problem: Problem, machine: string) =>
  problem.water[problem.machines.find(({ id }) => id === machine)!.water]!;

/** The same, by trying: no count is kept, every minute is looked at again. */
function slowly(problem: Problem, underWay: readonly Activity[]) {
  const { rules, staff, now, horizon, water } = problem;
  const setUps = underWay.filter(({ kind }) => kind === 'circuit' || kind === 'bath');
  const chosen: Activity[] = underWay.filter(({ kind }) => kind === 'test');
  const without: string[] = [];
  const isFree = (more: readonly Activity[]) =>
    more.every((one) =>
      Array.from({ length: one.end - one.start }, (_, n) => one.start + n).every((t) => {
        const at = [...setUps, ...chosen.filter((other) => !setUps.includes(other)), ...more];
        const there = at.filter(({ start, end }) => start <= t && t < end);
        return t < horizon && there.reduce((sum, other) => sum + handsOf(problem, other), 0) <= staff[t]!;
      }),
    );
  const runs = (machine: string, end: number, tests: readonly Activity[]) => {
    const { id, lastTest, testEvery } = sourceOf(problem, machine);
    const ends = [...(lastTest === null ? [] : [lastTest])];
    for (const one of [...chosen, ...tests]) if (one.kind === 'test' && one.water === id) ends.push(one.end);
    for (let t = now; t < end; t++)
      if (!ends.some((last) => last <= t && t - last <= testEvery)) return false;
    return true;
  };
  const testFor = (machine: string, end: number): Activity[] | null => {
    if (runs(machine, end, [])) return [];
    const { id, testMinutes } = sourceOf(problem, machine);
    for (let start = end; start >= now; start--) {
      const one: Activity[] = [{ kind: 'test', water: id, start, end: start + testMinutes }];
      if (isFree(one) && runs(machine, end, one)) return one;
    }
    return null;
  };
  for (const one of setUps) {
    const machine = (one as { machine: string }).machine;
    const tests = testFor(machine, one.end);
    if (tests) chosen.push(one, ...tests);
    else without.push(machine);
  }
  const latest = (one: Activity) =>
    one.start + problem.machines.find(({ id }) => id === (one as { machine: string }).machine)!.longest;
  const fills = underWay.filter(({ kind }) => kind === 'fill').sort((a, b) => latest(a) - latest(b));
  for (const one of fills) {
    const { machine } = one as { machine: string };
    const ways = Array.from({ length: latest(one) - one.end + 1 }, (_, n) => one.end + n).flatMap((end) => {
      const tests = testFor(machine, end);
      const swap: Activity = { kind: 'swap', machine, start: end, end: end + rules.swapMinutes };
      const fits = tests?.every((made) => made.end <= end) && isFree([swap]);
      return fits ? [[...tests!, { ...one, end }, swap]] : [];
    });
    if (ways[0]) chosen.push(...ways[0]);
    else without.push(machine);
  }
  expect(water.length).toBeGreaterThan(0);
  return { activities: chosen, without };
}

const sorted = (activities: readonly Activity[]) => activities.map((one) => JSON.stringify(one)).sort();

function drawn(seed: number): { problem: Problem; underWay: Activity[] } {
  const next = xoroshiro128plus(seed);
  const draw = (from: number, to: number) => from + ((next.next() >>> 0) % (to - from + 1));
  const machines = Array.from({ length: draw(1, 4) }, (_, n) => ({
    id: `M${n + 1}`,
    flow: 800,
    positions: 8,
    water: draw(0, 1) ? 'RO' : 'RO-B',
  }));
  const source = (id: string) => ({
    id,
    capacity: 4000,
    testEvery: draw(60, 130),
    testMinutes: draw(3, 12),
    lastTest: draw(0, 7) ? at(draw(20, 95)) : null,
  });
  const leave = draw(110, 190);
  const scenario = tinyWorld({
    machines,
    water: [source('RO'), source('RO-B')],
    shifts: [
      { id: 'all', from: '00:00', to: '00:00', technicians: draw(0, 2) },
      { id: 'some', from: '00:00', to: at(leave).slice(11), technicians: 1 },
    ],
    rules: { hands: { swap: draw(1, 2), circuit: draw(0, 1), test: draw(0, 1) } },
  });
  const underWay = machines.map(({ id }): Activity => {
    const kind = draw(0, 4);
    if (kind === 0) return circuit(NOW - draw(0, 29), '2K', id);
    if (kind === 1) return bathChange(NOW - draw(0, 9), '4K', id);
    return fill(NOW - draw(0, 60), '2K', id);
  });
  const lasts = scenario.water[0]!.testMinutes;
  if (draw(0, 2) === 0) underWay.push(testAt(NOW - draw(1, lasts - 1), 'RO', lasts));
  return { problem: { ...compile(scenario), now: NOW }, underWay };
}

test.each([0, 1, 2, 3])(
  'what is under way ends as a slow search ends it, fifty drawn floors from %i',
  (part) => {
    let left = 0;
    let tests = 0;
    for (let seed = part * 50; seed < part * 50 + 50; seed++) {
      const { problem, underWay } = drawn(seed);
      const quick = withEnds(problem, underWay);
      const slow = slowly(problem, underWay);
      expect(sorted(quick.activities), `floor ${seed}`).toEqual(sorted(slow.activities));
      expect(quick.without, `floor ${seed}`).toEqual(slow.without);
      left += quick.without.length;
      tests += quick.activities.filter(({ kind }) => kind === 'test').length;
    }
    expect(left).toBeGreaterThan(0);
    expect(tests).toBeGreaterThan(0);
  },
);

const floor = (more: Partial<Scenario>, now = NOW): Problem => ({ ...compile(tinyWorld(more)), now });
test('who takes the bags off stays until they are off, and not a minute longer', () => {
  // The window is 125 to 135, and bags come off in 8 min.
  const until = (end: number) =>
    withEnds(floor({ shifts: [{ id: 'night', from: '00:00', to: at(end).slice(11), technicians: 1 }] }), [
      fill(60),
    ]);
  expect(until(133).activities).toMatchObject([
    { kind: 'fill', end: 125 },
    { kind: 'swap', start: 125, end: 133 },
  ]);
  expect(until(133).without).toEqual([]);
  expect(until(132)).toEqual({ activities: [], without: ['M1'] });
});
test('who tests the water takes no bags off meanwhile', () => {
  const source = (id: string, testEvery: number) => ({
    id,
    capacity: 1600,
    testEvery,
    testMinutes: 10,
    lastTest: at(0),
  });
  const problem = floor({
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO' },
      { id: 'M2', flow: 400, positions: 8, water: 'RO-B' },
    ],
    water: [source('RO', 120), source('RO-B', 240)],
  });
  // M1's window is 125 to 135, and its water serves until 120. M2's window is 116 to 136: at 116 the test is done, at 121
  // there is no time before the swap of M1.
  expect(withEnds(problem, [fill(60), fill(-14, '2K', 'M2', 130)]).activities).toMatchObject([
    { kind: 'fill', machine: 'M2', end: 133 },
    { kind: 'fill', machine: 'M1', end: 125 },
    { kind: 'test', water: 'RO', start: 111, end: 121 },
    { kind: 'swap', machine: 'M1', start: 125 },
    { kind: 'swap', machine: 'M2', start: 133 },
  ]);
});
test('a test under way serves from its end on, and keeps who makes it; a gap before its end is no less a gap', () => {
  const ended = (lastTest: number, underWay: readonly Activity[], technicians = 1) => {
    const water = [{ id: 'RO', capacity: 1600, testEvery: 60, testMinutes: 10, lastTest: at(lastTest) }];
    const shifts = [{ id: 'all', from: '00:00', to: '00:00', technicians }];
    const { activities } = withEnds(floor({ water, shifts }), [fill(30, '2K', 'M1', 70), ...underWay]);
    return activities.find(({ kind }) => kind === 'fill')?.end;
  };
  // The window is 95 to 105. The last test serves to 100, the one under way from 102 on.
  expect(ended(40, [testAt(92)], 2)).toBe(100);
  expect(ended(40, [testAt(92)])).toBe(undefined);
  // From 101 on, with no gap: whoever tests is free by then.
  expect(ended(40, [testAt(91)])).toBe(101);
});
test('at the end of the horizon two swaps are not done by one', () => {
  const machines = ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' }));
  const water = [{ id: 'RO', capacity: 1600, testEvery: 2000, testMinutes: 10, lastTest: at(0) }];
  const problem = floor({ machines, water }, 1400);
  // Both could end from 1,432 on only.
  expect(withEnds(problem, [fill(1367), fill(1367, '2K', 'M2')]).without).toEqual(['M2']);
});
test('at the end of the horizon no swap goes beyond it', () => {
  const problem: Problem = {
    ...compile(
      tinyWorld({ water: [{ id: 'RO', capacity: 1600, testEvery: 2000, testMinutes: 10, lastTest: at(0) }] }),
    ),
    now: 1400,
  };
  // 8 min of a swap: the last that fits begins at 1,432.
  expect(withEnds(problem, [fill(1367)]).without).toEqual([]);
  expect(withEnds(problem, [fill(1368)]).without).toEqual(['M1']);
});
