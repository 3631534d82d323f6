import { demandOf, roundFinder } from '../../demand/demand.ts';
import { toNumber } from '../../exact/fraction.ts';
import { compile } from '../../scenario/problem/compile.ts';
import { dialysateRate } from '../../scenario/problem/course.ts';
import { type Course, MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { type Spec, specOf } from '../forecast/forecast.ts';
import { type BathSteps, bathPaths, listedUntil, newcomers } from './patients.ts';
import { type Chance, chanceOf, exponential, STREAM } from './random.ts';

/** What all draws of one scenario share. */
export interface Ground {
  readonly scenario: Scenario;
  readonly spec: Spec;
  /** The scenario over the forecast's days. */
  readonly problem: Problem;
  /** Listed patients; `open`: no `until` was typed. */
  readonly listed: readonly { readonly from: number; readonly until: number; readonly open: boolean }[];
  /** Hangs of each listed patient were therapy to go on to the end, exact. */
  readonly hangs: readonly Hangs[];
  /** A slot is the part of a day that one round covers: bags are counted once by slot, then by day and by round. */
  readonly slotAt: Uint16Array;
  /** First minute after each slot. */
  readonly slotEnd: Int32Array;
  readonly slotDay: readonly number[];
  readonly slotRound: readonly number[];
  /** Baths over the therapy of a patient with number u. */
  readonly baths: (u: number) => BathSteps;
}

/** Hangs of one patient: their minutes, and those of one bath and slot (cell: bath x slots + slot) together. */
interface Hangs {
  readonly minute: Int32Array;
  /** Number of the group's last hang, one group a cell. */
  readonly last: Int32Array;
  readonly cell: Uint16Array;
}

function hangsOf(
  list: readonly { readonly bath: number; readonly minute: number }[],
  slotAt: Uint16Array,
  slots: number,
): Hangs {
  const last: number[] = [];
  const cell: number[] = [];
  list.forEach(({ bath, minute }, n) => {
    const mine = bath * slots + slotAt[minute]!;
    if (cell.at(-1) !== mine) {
      cell.push(mine);
      last.push(n);
    } else last[last.length - 1] = n;
  });
  return {
    minute: Int32Array.from(list, ({ minute }) => minute),
    last: Int32Array.from(last),
    cell: Uint16Array.from(cell),
  };
}

/** Adds the hangs before minute `end`. */
function countHangs({ minute, last, cell }: Hangs, end: number, counts: Uint16Array): void {
  for (let group = 0, n = 0; group < cell.length; group++) {
    const stop = last[group]!;
    const first = n;
    if (minute[stop]! < end) n = stop + 1;
    else while (minute[n]! < end) n += 1;
    counts[cell[group]!]! += n - first;
    if (n <= stop) return;
  }
}

/** Of a scenario, what its draws' patients and needs do not depend on. */
const APART: readonly (keyof Scenario)[] = [
  'title',
  'machines',
  'water',
  'shifts',
  'duties',
  'stock',
  'deliveries',
  'supplies',
  'offers',
  'substitutes',
  'inUse',
  'lost',
  'unassigned',
  'columns',
];
/** The same for scenarios whose draws have the same patients and needs. */
export const needKey = (scenario: Scenario): string =>
  JSON.stringify({ ...scenario, ...Object.fromEntries(APART.map((name) => [name, undefined])) });

/** The ground of a scenario with the same `needKey` as the one before: only what is not patients is worked out. */
export const groundBeside = (scenario: Scenario, before: Ground): Ground => ({
  ...before,
  scenario,
  problem: compile({ ...scenario, days: before.spec.days }),
});

/** @param scenario without error faults, also in its forecast */
export function groundOf(scenario: Scenario): Ground {
  const spec = specOf(scenario);
  const problem = compile({ ...scenario, days: spec.days });
  const roundOf = roundFinder(problem);
  const slotDay: number[] = [];
  const slotRound: number[] = [];
  const slotEnd: number[] = [];
  const slotAt = new Uint16Array(problem.horizon);
  for (let minute = 0; minute < problem.horizon; minute++) {
    const day = Math.floor(minute / MINUTES_A_DAY);
    const round = roundOf(minute);
    if (slotDay.at(-1) !== day || slotRound.at(-1) !== round) {
      slotDay.push(day);
      slotRound.push(round);
      slotEnd.push(minute);
    }
    slotEnd[slotEnd.length - 1] = minute + 1;
    slotAt[minute] = slotDay.length - 1;
  }
  return {
    scenario,
    spec,
    problem,
    listed: problem.patients.map(({ from, until }, index) => ({
      from,
      until: Math.min(until, problem.horizon),
      open: !scenario.patients[index]!.until,
    })),
    hangs: demandOf(problem).hangs.map((list) => hangsOf(list, slotAt, slotDay.length)),
    slotAt,
    slotEnd: Int32Array.from(slotEnd),
    slotDay,
    slotRound,
    baths: bathPaths(spec),
  };
}

/** One draw, in buffers that the next draw may use again. */
export interface Draw {
  /** Patients under therapy at the end of each day, [day]. */
  readonly census: Int32Array;
  /** Bags hung in each day, [bath x days + day]. */
  readonly bagsByDay: Int32Array;
  /** Bags that each round must bring, [bath x rounds + round]. */
  readonly need: Int32Array;
  /** Technicians missing from each shift band of the problem. */
  readonly absent: Uint8Array;
  /** Minutes from..to in which each machine is broken, in order; one list a machine. */
  readonly down: number[][];
}

export function emptyDraw(ground: Ground, machines: number): Draw {
  const { problem, spec } = ground;
  return {
    census: new Int32Array(spec.days),
    bagsByDay: new Int32Array(problem.baths.length * spec.days),
    need: new Int32Array(problem.baths.length * problem.rounds.length),
    absent: new Uint8Array(problem.shifts.length),
    down: Array.from({ length: machines }, () => []),
  };
}

/** A hang within this of a whole minute is on it: exact times are far coarser, floating errors far finer. min */
const SNAP = 1e-7;

/** Draws number `index` of a seed: the same whoever draws it, whenever. */
export function drawInto(ground: Ground, seed: number, index: number, into: Draw): void {
  drawNeed(ground, seed, index, into);
  drawFloor(ground, seed, index, into);
}

/** Who is missing and which machine breaks: the part of a draw that depends on shifts and machines. */
export function drawFloor(
  ground: Ground,
  seed: number,
  index: number,
  into: Pick<Draw, 'absent' | 'down'>,
): void {
  drawAbsence(ground, seed, index, into.absent);
  drawBreakdowns(ground, seed, index, into.down);
}

/** Who comes and what they need: the part of a draw that machines, hands, water and goods do not change. */
export function drawNeed(
  ground: Ground,
  seed: number,
  index: number,
  into: Omit<Draw, 'absent' | 'down'>,
): void {
  const { spec, problem, slotAt, slotEnd } = ground;
  const { census, bagsByDay, need } = into;
  const { horizon, rules } = problem;
  const slots = ground.slotDay.length;
  const counts = new Uint16Array(problem.baths.length * slots);
  census.fill(0);

  const until = listedUntil(spec, { seed, draw: index }, ground.listed);
  for (let patient = 0; patient < until.length; patient++) {
    const end = until[patient]!;
    countHangs(ground.hangs[patient]!, end, counts);
    countDays(census, ground.listed[patient]!.from, end);
  }

  const bag = toNumber(rules.bagMl);
  const maxHang = toNumber(rules.maxHang);
  newcomers(spec, seed, index, (patient) => {
    const { from, until: end, weight, dose, hoursPerDay } = patient;
    countDays(census, from, end);
    const others = rules.doseMeans === 'dialysate' ? 0 : patient.fluidRemoval + patient.replacement;
    const hourly = dose * weight - others;
    if (hourly <= 0) return;
    const period = Math.min(bag / ((hourly * hoursPerDay) / MINUTES_A_DAY), maxHang);
    const stop = Math.min(end, horizon);
    const steps = ground.baths(patient.u);
    for (let step = 0; step < steps.length; step++) {
      const { at, bath } = steps[step]!;
      const start = from + at;
      const last = step + 1 < steps.length ? Math.min(stop, from + steps[step + 1]!.at) : stop;
      if (start >= last) continue;
      const row = bath * slots;
      // Hang n is in minute floor(start + n x period); so many hang before the slot's end, less those before it.
      let before = 0;
      for (let slot = slotAt[start]!; ; slot++) {
        const end = Math.min(last, slotEnd[slot]!);
        const hung = Math.ceil((end - start - SNAP) / period);
        counts[row + slot]! += hung - before;
        if (end === last) break;
        before = hung;
      }
    }
  });
  foldSlots(ground, counts, bagsByDay, need);
}

/** Counts by slot become counts by day and by round. */
function foldSlots(ground: Ground, counts: Uint16Array, bagsByDay: Int32Array, need: Int32Array): void {
  const { slotDay, slotRound, problem, spec } = ground;
  const slots = slotDay.length;
  bagsByDay.fill(0);
  need.fill(0);
  for (let bath = 0; bath < problem.baths.length; bath++)
    for (let slot = 0; slot < slots; slot++) {
      const bags = counts[bath * slots + slot]!;
      bagsByDay[bath * spec.days + slotDay[slot]!]! += bags;
      need[bath * problem.rounds.length + slotRound[slot]!]! += bags;
    }
}

function countDays(census: Int32Array, from: number, until: number): void {
  const first = Math.max(0, Math.floor(from / MINUTES_A_DAY));
  const last = Math.min(census.length, Math.floor(until / MINUTES_A_DAY));
  for (let day = first; day < last; day++) census[day]! += 1;
}

/** A technician of a shift is absent or not whatever the others do, so one more technician changes nobody else. */
function drawAbsence({ spec, problem }: Ground, seed: number, index: number, absent: Uint8Array): void {
  absent.fill(0);
  if (spec.absence <= 0) return;
  problem.shifts.forEach(({ technicians }, band) => {
    const chance = chanceOf(seed, index, STREAM.absence + band);
    for (let n = 0; n < technicians; n++) if (chance() < spec.absence) absent[band]! += 1;
  });
}

function drawBreakdowns({ spec, problem }: Ground, seed: number, index: number, down: number[][]): void {
  down.forEach((list, machine) => {
    list.length = 0;
    if (!spec.breakdowns) return;
    const { daysBetween, hoursToRepair } = spec.breakdowns;
    const chance: Chance = chanceOf(seed, index, STREAM.breakdown + machine);
    for (let at = 0; ; ) {
      const from = at + exponential(chance) * daysBetween * MINUTES_A_DAY;
      if (from >= problem.horizon) return;
      at = from + exponential(chance) * hoursToRepair * 60;
      list.push(Math.floor(from), Math.ceil(at));
    }
  });
}

/** The same draw as courses that the exact demand, the planner and the audit take. */
export function coursesOf(ground: Ground, seed: number, index: number): Course[] {
  const { spec, problem } = ground;
  const until = listedUntil(spec, { seed, draw: index }, ground.listed);
  const courses = problem.patients.map((course, n): Course => ({ ...course, until: until[n]! }));
  newcomers(spec, seed, index, (patient) => {
    const rate = dialysateRate(patient, problem.rules.doseMeans);
    const { from } = patient;
    courses.push({
      id: `new ${courses.length + 1}`,
      from,
      until: Math.min(patient.until, problem.horizon),
      steps: ground.baths(patient.u).map(({ at, bath }) => ({ at: from + at, bath, rate })),
      sessions: null,
      ward: null,
      priority: null,
    });
  });
  return courses;
}
