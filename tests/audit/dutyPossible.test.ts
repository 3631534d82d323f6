import fc from 'fast-check';
import { expect, it } from 'vitest';
import { dutyPossible } from '../../src/audit/dutyPossible.ts';
import { factsOf } from '../../src/audit/facts.ts';
import { dutyWaterFree } from '../../src/audit/rules/dutyWaterFree.ts';
import { machineNoOverlap } from '../../src/audit/rules/machineNoOverlap.ts';
import { techniciansEnough } from '../../src/audit/rules/techniciansEnough.ts';
import { type Activity, placeOf } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { at, bathChange, circuit, duty, fill, swap, test, tinyWorld } from '../world.ts';

const DUE = 60;
const worldOf = (place: string | undefined, technicians: number, more: Record<string, unknown> = {}) =>
  tinyWorld({
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO' },
      { id: 'M2', flow: 800, positions: 8, water: 'RO' },
      { id: 'M3', flow: 800, positions: 8, water: 'RO-B' },
    ],
    water: ['RO', 'RO-B'].map((id) => ({
      id,
      capacity: 1600,
      testEvery: 240,
      testMinutes: 10,
      lastTest: at(0),
    })),
    shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 2 }],
    duties: [
      { id: 'D', times: ['01:00'], minutes: 30, slackMinutes: 20, technicians, ...(place && { place }) },
      { id: 'E', times: ['01:00'], minutes: 15, slackMinutes: 20, technicians: 1, place: 'M2' },
      { id: 'F', times: ['01:00'], minutes: 15, slackMinutes: 20, technicians: 1 },
    ],
    ...more,
  });

/** By trial: at some minute of its slack from now on nothing that has begun, and no duty, is in its way by the rules. */
function byTrial(problem: Problem, activities: readonly Activity[]): boolean {
  const { now } = problem;
  const begun = activities.filter((one) => one.start < now || one.kind === 'duty');
  const swaps = activities.filter(
    (one) =>
      one.kind === 'swap' &&
      one.start >= now &&
      begun.some(
        (other) => other.kind === 'fill' && other.machine === one.machine && other.end === one.start,
      ),
  );
  const fixed = [...begun, ...swaps];
  const wrong = (plan: readonly Activity[]) => {
    const facts = factsOf(problem, plan);
    return [machineNoOverlap, techniciansEnough, dutyWaterFree].flatMap(({ judge }) =>
      judge(facts).violations.map(({ start, end, amount }) => `${start} ${end} ${amount}`),
    );
  };
  const before = wrong(fixed);
  const place = problem.duties[0]!.place;
  const id = place && (place.kind === 'machine' ? problem.machines : problem.water)[place.index]!.id;
  const named = place ? { [place.kind]: id } : {};
  for (let start = Math.max(now, DUE); start <= DUE + 20; start++)
    if (wrong([...fixed, duty('D', DUE, { start, ...named })]).every((one) => before.includes(one)))
      return true;
  return false;
}

it('says whether a duty that is left out could have been done, as a trial of every minute does', () => {
  // On a grid of 5 min, so that things often end as others begin; often on the duty's own machine; one that nobody has.
  const machine = fc.constantFrom('M1', 'M1', 'M1', 'M2', 'M3', 'M9');
  const minute = fc.integer({ min: 12, max: 18 }).map((n) => 5 * n);
  const one: fc.Arbitrary<Activity[]> = fc.oneof(
    fc.tuple(minute, machine).map(([end, id]) => [circuit(end - 30, '2K', id)]),
    fc.tuple(minute, machine).map(([end, id]) => [bathChange(end - 10, '4K', id)]),
    fc.tuple(minute, machine).map(([end, id]) => [fill(end - 65, '2K', id), swap(end, id)]),
    fc.tuple(minute, machine).map(([start, id]) => [swap(start, id)]),
    fc.tuple(minute, fc.constantFrom('RO', 'RO-B')).map(([end, id]) => [test(end - 10, id)]),
    minute.map((start) => [duty('E', DUE, { start, minutes: 15, machine: 'M2' })]),
    minute.map((start) => [duty('F', DUE, { start, minutes: 15 })]),
  );
  const said = { yes: 0, no: 0 };
  fc.assert(
    fc.property(
      fc.constantFrom(undefined, 'M1', 'M1', 'M2', 'RO', 'RO'),
      fc.record({
        technicians: fc.constantFrom(0, 1, 1, 2),
        walkMinutes: fc.constantFrom(0, 3, 5),
        staff: fc.constantFrom(1, 2),
      }),
      // The slack ends at 80.
      fc.constantFrom(60, 70, 75, 75, 75, 80, 80, 80),
      fc.array(one, { minLength: 1, maxLength: 4 }),
      (place, { technicians, walkMinutes, staff }, now, pieces) => {
        const shifts = [{ id: 'all day', from: '00:00', to: '00:00', technicians: staff }];
        const problem = { ...compile(worldOf(place, technicians, { rules: { walkMinutes }, shifts })), now };
        const activities = pieces.flat();
        // Work that begins at its place as the duty ends needs no walk then: the plan may be better than is counted.
        const after = activities.some((work) => placeOf(work) === place && work.start >= now + 30);
        fc.pre(walkMinutes === 0 || !after);
        const facts = factsOf(problem, activities);
        const possible = dutyPossible(facts, problem.duties[0]!, DUE);
        expect(possible).toBe(byTrial(problem, activities));
        said[possible ? 'yes' : 'no'] += 1;
      },
    ),
    { numRuns: 300, seed: 11 },
  );
  expect(Math.min(said.yes, said.no)).toBeGreaterThan(40);
});

it('a duty that may begin before its time is possible then', () => {
  const problem = { ...compile(worldOf('M1', 0)), now: 40 };
  const [row] = problem.duties;
  // Something begun holds the machine from 75 on.
  const busy = [duty('D', DUE, { start: 75, minutes: 60, machine: 'M1' })];
  const possible = (early: number) => dutyPossible(factsOf(problem, busy), { ...row!, early }, DUE);
  expect([14, 15].map(possible)).toEqual([false, true]);
});

// Its slack ends at 80, so that now it begins at 80 or not at all; a swap takes 8 min, a circuit 30.
it.each<[string, string | undefined, { staff: number; walk?: number; now?: number }, Activity[], boolean]>([
  ['who is at its machine needs no walk', 'M1', { staff: 1, walk: 3, now: 75 }, [circuit(50)], true],
  ['who is at another machine walks', 'M1', { staff: 1, walk: 3, now: 75 }, [circuit(50, '2K', 'M2')], false],
  [
    'who comes from anywhere to no place walks',
    undefined,
    { staff: 1, walk: 3, now: 75 },
    [circuit(50)],
    false,
  ],
  ['its source is being tested', 'RO', { staff: 2, now: 75 }, [test(71)], false],
  ['another source is being tested', 'RO', { staff: 2, now: 75 }, [test(71, 'RO-B')], true],
  [
    'a swap under way takes one of two',
    undefined,
    { staff: 2 },
    [fill(10, '2K', 'M2'), swap(75, 'M2')],
    true,
  ],
  [
    'a swap to come takes the only one',
    undefined,
    { staff: 1 },
    [fill(15, '2K', 'M2'), swap(80, 'M2')],
    false,
  ],
  ['a swap of no fill could wait', undefined, { staff: 1 }, [circuit(50, '2K', 'M2'), swap(80, 'M2')], true],
])('%s', (_, place, { staff, walk = 0, now = 80 }, plan, possible) => {
  const shifts = [{ id: 'all day', from: '00:00', to: '00:00', technicians: staff }];
  const problem = { ...compile(worldOf(place, 1, { rules: { walkMinutes: walk }, shifts })), now };
  expect(dutyPossible(factsOf(problem, plan), problem.duties[0]!, DUE)).toBe(possible);
});
