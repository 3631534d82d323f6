import type { Activity } from '../../src/plan/plan.ts';
import { workOf } from '../../src/plan/work.ts';
import { chanceOf } from '../../src/planner/search/chance.ts';
import type { Machine, Problem, WaterSource } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

const clock = (minute: number) =>
  `${String(Math.floor(minute / 60) % 24).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

/** A scenario with the optional fields of the floor drawn by chance: walks, hands, duties, release after a test and more. */
export function floored(scenario: Scenario, seed: number): Scenario {
  const chance = chanceOf(seed);
  const often = (share: number) => chance.unit() < share;
  const from = (low: number, high: number) => low + chance.below(high - low + 1);
  const machines = scenario.machines.map((machine) => ({
    ...machine,
    ...(often(0.3) && { flowTolerance: 0.02 }),
  }));
  const water = scenario.water.map((source) => ({
    ...source,
    ...(often(0.3) && {
      capacityChanges: [
        {
          at: `${scenario.start.slice(0, 11)}${clock(from(480, 1200))}`,
          capacity: Math.round(source.capacity * (0.4 + 0.6 * chance.unit())),
        },
      ],
    }),
  }));
  const duty = (id: string, more: object) => ({
    id,
    times: [clock(from(0, 1439))],
    minutes: from(10, 60),
    slackMinutes: from(0, 90),
    technicians: from(0, 1),
    ...more,
  });
  const duties = [
    ...machines.flatMap(({ id, flow }) =>
      often(0.5)
        ? duty(`disinfect ${id}`, {
            place: id,
            endsCircuit: often(0.5),
            ...(often(0.4) && { flow: Math.round(flow / 2) }),
          })
        : [],
    ),
    ...water.flatMap(({ id }) =>
      often(0.4) ? duty(`loop ${id}`, { place: id, voidsTests: often(0.5) }) : [],
    ),
    ...(often(0.7) ? [duty('break', { slackMinutes: from(30, 120), technicians: 1 })] : []),
  ];
  const hands = { circuit: from(0, 2), bath: from(1, 2), swap: from(0, 2), test: from(1, 2) };
  return {
    ...scenario,
    machines,
    water,
    duties,
    rules: {
      ...scenario.rules,
      ...(often(0.6) && { walkMinutes: from(1, 4) }),
      ...(often(0.6) && { fillStartMinutes: from(1, 4) }),
      ...(often(0.4) && { hands }),
      ...(often(0.4) && { sampleBags: 1 }),
      ...(often(0.4) && { releaseAfterTest: true }),
      ...(often(0.5) && { minStock: Object.fromEntries(scenario.baths.map(({ id }) => [id, from(0, 6)])) }),
    },
  };
}

const minutes = (from: number, to: number) =>
  Array.from({ length: Math.max(0, to - from) }, (_, n) => from + n);

/** What of a plan breaks the rules about duties, hands, machines and water, counted minute by minute from sections 3 and 7 anew. */
export function brokenBy(problem: Problem, activities: readonly Activity[]): string[] {
  return [
    ...handsBroken(problem, activities),
    ...dutiesBroken(problem, activities),
    ...problem.machines.flatMap((machine) => machineBroken(problem, machine, activities)),
    ...problem.water.flatMap((_, w) => waterBroken(problem, w, activities)),
  ];
}

function handsBroken(problem: Problem, activities: readonly Activity[]): string[] {
  const held = new Int16Array(problem.horizon);
  for (const { walkFrom, end, technicians } of workOf(problem, activities))
    for (const t of minutes(walkFrom, end)) held[t]! += technicians;
  return minutes(0, problem.horizon).flatMap((t) =>
    held[t]! > problem.staff[t]! ? `minute ${t}: ${held[t]} at work, ${problem.staff[t]} on shift` : [],
  );
}

function dutiesBroken({ duties, machines, water }: Problem, activities: readonly Activity[]): string[] {
  const listed = activities.flatMap((one) => (one.kind === 'duty' ? one : []));
  const wanted = duties.reduce((sum, { at }) => sum + at.length, 0);
  const once = duties.flatMap((duty) =>
    duty.at.flatMap((due) => {
      const [first, ...more] = listed.filter((one) => one.duty === duty.id && one.at === due);
      const where = duty.place && (duty.place.kind === 'machine' ? machines : water)[duty.place.index]!.id;
      const right =
        first &&
        more.length === 0 &&
        first.start >= due &&
        first.start <= due + duty.slack &&
        first.end === first.start + duty.minutes &&
        (first.machine ?? first.water ?? null) === where;
      return right ? [] : `${duty.id} at ${due}: ${JSON.stringify(first)}`;
    }),
  );
  return listed.length === wanted ? once : [...once, `${listed.length} duties, ${wanted} wanted`];
}

function machineBroken(
  { rules, duties, staff }: Problem,
  { id, windows, loaded, shortest, longest }: Machine,
  activities: readonly Activity[],
): string[] {
  const own = activities
    .filter((one) => one.kind !== 'test' && one.machine === id)
    .sort((a, b) => a.start - b.start);
  let since = loaded?.since ?? Number.NaN;
  return own.flatMap((one, n) => {
    const said = `${id} ${one.kind} ${one.start}-${one.end}`;
    const faults = n > 0 && own[n - 1]!.end > one.start ? [`${said} overlaps`] : [];
    if (one.kind === 'duty') {
      if (duties.find((duty) => duty.id === one.duty)!.endsCircuit) since = Number.NaN;
      return faults;
    }
    if (!windows.some(({ from, to }) => from <= one.start && one.end <= to))
      faults.push(`${said} unavailable`);
    if (one.kind === 'circuit') since = one.start;
    else if (!(one.end <= since + rules.circuitLife)) faults.push(`${said} without circuit`);
    if (one.kind !== 'fill') return faults;
    const length = one.end - one.start;
    if (length < shortest || length > longest) faults.push(`${said} length`);
    if (staff[one.start] === 0) faults.push(`${said} begins with nobody there`);
    if (own[n + 1]?.kind !== 'swap' || own[n + 1]!.start !== one.end) faults.push(`${said} not taken off`);
    return faults;
  });
}

const givenAt = ({ capacities }: WaterSource, minute: number) =>
  capacities.findLast(({ from }) => from <= minute)!.capacity;

function waterBroken(problem: Problem, w: number, activities: readonly Activity[]): string[] {
  const source = problem.water[w]!;
  const flowOf = new Map(problem.machines.flatMap((m) => (m.water === w ? [[m.id, m.flow] as const] : [])));
  const dutyOf = new Map(problem.duties.map((duty) => [duty.id, duty]));
  const tests = activities.flatMap((one) => (one.kind === 'test' && one.water === source.id ? one : []));
  const closing = activities.flatMap((one) => (one.kind === 'duty' && one.water === source.id ? one : []));
  const ends = [...tests.map(({ end }) => end), ...(source.lastTest === null ? [] : [source.lastTest])];
  const voids = closing.filter(({ duty }) => dutyOf.get(duty)!.voidsTests);
  const holds = (end: number, t: number) =>
    end <= t && t <= end + source.testEvery && !voids.some((one) => end < one.end && t >= one.start);
  return minutes(0, problem.horizon).flatMap((t) => {
    const now = activities.filter(({ start, end }) => start <= t && t < end);
    const running = now.filter((one) => 'bath' in one && flowOf.has(one.machine));
    const drawing = now.flatMap((one) => {
      if (one.kind !== 'duty') return 'bath' in one ? (flowOf.get(one.machine) ?? []) : [];
      const { place, flow } = dutyOf.get(one.duty)!;
      const mine = place?.kind === 'water' ? place.index === w : place && flowOf.has(one.machine ?? '');
      return mine ? flow : [];
    });
    const closed = now.filter((one) => one.kind === 'duty' && one.water === source.id);
    const busy = [...running, ...now.filter((one) => one.kind === 'test' && one.water === source.id)];
    const drawn = drawing.reduce((sum, flow) => sum + flow, 0);
    return [
      ...(drawn > givenAt(source, t) + 1e-9 ? [`minute ${t}: ${source.id} gives too little`] : []),
      ...(closed.length > 0 && busy.length > 0 ? [`minute ${t}: ${source.id} is closed`] : []),
      ...(running.length > 0 && !ends.some((end) => holds(end, t))
        ? [`minute ${t}: ${source.id} untested`]
        : []),
    ];
  });
}
