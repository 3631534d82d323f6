import { type Activity, inOrder, placeOf } from '../../plan/plan.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { workText } from '../../words/activities.ts';
import { circuitEnd } from '../explain/explainActivity.ts';
import { historyOf } from '../schedule/history.ts';

type Fill = Activity & { readonly kind: 'fill' };
/**
 * The machine is out of service for it, or not there; the bath is not there; nobody can end it, or its water is untested;
 * somebody typed that it is lost.
 */
type Loss = 'service' | 'bath' | 'end' | 'typed';

/** A plan under way, with what has happened to it taken in. */
interface Settled {
  /** Without what is lost; a fill under way may end at another minute of its window. */
  readonly activities: readonly Activity[];
  /** Activities of the plan before, fills with their swaps, and why. */
  readonly lost: ReadonlyMap<Activity, Loss>;
}

/**
 * A plan at minute `now`, as the scenario stands by then. What was begun on a machine that was out of service for part
 * of it (it broke down in the middle of a fill), or on a machine, source or bath that is no longer there, is lost, with a
 * fill its swap, with a set-up what ran on it. A fill under way ends when somebody can take its bags off within its
 * window, as near to its planned minute as may be; where nobody can, it is lost. Of what was begun, what the scenario's
 * `lost` names is lost too. All else stays.
 */
export function settle(problem: Problem, activities: readonly Activity[], now: number): Settled {
  if (now <= 0) return { activities, lost: new Map() };
  const lost = goneOf(problem, activities, now);
  let left = activities.filter((activity) => !lost.has(activity) && !isTestOfNobody(problem, activity, now));
  for (const fill of left.filter((one): one is Fill => isUnderWay(one, now))) {
    const swap = swapOf(left, fill);
    const others = left.filter((one) => one !== fill && one !== swap);
    const end = endOf(problem, others, fill, now);
    if (typeof end === 'string') {
      lost.set(fill, end);
      if (swap) lost.set(swap, end);
      left = others;
      continue;
    }
    const until = end + problem.rules.swapMinutes;
    if (end === fill.end && swap?.end === until) continue;
    left = [...others, { ...fill, end }, { kind: 'swap', machine: fill.machine, start: end, end: until }];
  }
  return { activities: inOrder(left), lost };
}

/** A test to come at which nobody is on shift: what is under way cannot count on it. */
const isTestOfNobody = ({ staff }: Problem, { kind, start, end }: Activity, now: number): boolean =>
  kind === 'test' && start >= now && staff.subarray(start, end).some((count) => count < 1);

/** Its swap, with which it ends, has not begun. */
const isUnderWay = (one: Activity, now: number): boolean =>
  one.kind === 'fill' && one.start < now && one.end >= now;

const swapOf = (
  activities: readonly Activity[],
  { machine, end }: { readonly machine: string; readonly end: number },
): Activity | undefined =>
  activities.find((one) => one.kind === 'swap' && one.machine === machine && one.start === end);

/** In one of its windows, which are cut to the horizon. */
const isAvailable = ({ windows }: Machine, start: number, end: number): boolean =>
  windows.some(({ from, to }) => start >= from && end <= to);

/** It was begun, and somebody typed that it does not count. */
const isTypedLost = ({ lost, clock }: Problem, one: Activity): boolean =>
  lost.length > 0 &&
  one.kind !== 'swap' &&
  lost.some(
    ({ machine, water, at }) =>
      placeOf(one) === (one.kind === 'test' ? water : machine) && at === clock.localOf(one.start),
  );

/** What cannot have been done. Of a fill under way only its beginning is judged. */
function goneOf(problem: Problem, activities: readonly Activity[], now: number): Map<Activity, Loss> {
  const gone = new Map<Activity, Loss>();
  const sources = new Set(problem.water.map(({ id }) => id));
  const machines = new Map(problem.machines.map((machine) => [machine.id, machine]));
  const baths = new Set(problem.baths);
  const possible = (activity: Activity) => {
    if (activity.kind === 'test') return sources.has(activity.water);
    if (activity.kind === 'duty') return true;
    if (activity.kind !== 'swap' && !baths.has(activity.bath)) return false;
    const machine = machines.get(activity.machine);
    const end = isUnderWay(activity, now) ? activity.start : activity.end;
    return machine !== undefined && isAvailable(machine, activity.start, end);
  };
  for (const place of new Set(activities.map(placeOf))) {
    const own = activities.filter((one) => placeOf(one) === place).sort((a, b) => a.start - b.start);
    let setUpLost = false;
    for (const activity of own) {
      // A swap goes or stays with its fill.
      if (activity.start >= now || activity.kind === 'swap') continue;
      const swap = activity.kind === 'fill' ? swapOf(own, activity) : undefined;
      const typed = isTypedLost(problem, activity);
      const done = !typed && possible(activity) && (!swap || isUnderWay(activity, now) || possible(swap));
      if (activity.kind === 'circuit') setUpLost = !done;
      else if (activity.kind === 'bath' && !done) setUpLost = true;
      if (done && !(setUpLost && activity.kind !== 'test')) continue;
      const bathGone = 'bath' in activity && !baths.has(activity.bath);
      const why = typed ? 'typed' : bathGone ? 'bath' : 'service';
      gone.set(activity, why);
      if (swap) gone.set(swap, why);
    }
  }
  return gone;
}

/** When a fill under way ends: the minute of its window nearest to the planned one at which it can; else why it cannot. */
function endOf(problem: Problem, others: readonly Activity[], fill: Fill, now: number): number | Loss {
  const { rules, staff, water } = problem;
  const machine = problem.machines.find(({ id }) => id === fill.machine)!;
  const source = water[machine.water]!;
  // Hands of what is history too; whatever else was planned for then can be planned anew.
  const history = historyOf(others, now);
  const hands = (minute: number) =>
    history.filter((one) => one.kind !== 'fill' && one.start <= minute && minute < one.end).length;
  const tests = history.flatMap((one) => (one.kind === 'test' && one.water === source.id ? one.end : []));
  if (source.lastTest !== null) tests.push(source.lastTest);
  const circuit = circuitEnd(problem, others, fill);
  const serviced = (end: number) =>
    circuit !== null &&
    end + rules.swapMinutes <= circuit &&
    isAvailable(machine, fill.start, end) &&
    isAvailable(machine, end, end + rules.swapMinutes);
  const minutes = (from: number, to: number) =>
    Array.from({ length: Math.max(0, to - from) }, (_, n) => from + n);
  const ended = (end: number) =>
    minutes(end, end + rules.swapMinutes).every((minute) => staff[minute]! > hands(minute)) &&
    minutes(Math.max(now, fill.start), end).every((minute) =>
      tests.some((done) => done <= minute && minute <= done + source.testEvery),
    );
  const ends = minutes(
    Math.max(now, fill.start + machine.shortest),
    Math.max(fill.end, fill.start + machine.longest) + 1,
  )
    .filter(serviced)
    .sort((a, b) => Math.abs(a - fill.end) - Math.abs(b - fill.end) || a - b);
  return ends.find(ended) ?? (ends.length === 0 ? 'service' : 'end');
}

const WHY: Readonly<Record<Loss, string>> = {
  service: 'is unavailable',
  bath: 'ran a bath that is no longer listed',
  end: 'has nobody to swap the bags in time, or no valid total chlorine test',
  typed: 'has discarded bags',
};

/** What a reader should know of it: one sentence for each machine that lost fills, and why; one for each set-up lost. */
export function lostRemarks({ clock }: Problem, lost: Settled['lost']): string[] {
  const begun = ({ start }: Activity) => clock.localOf(start).replace('T', ' ');
  // What runs after a change that was cut off, nobody can know from here.
  const setUps = [...lost.keys()].flatMap((one) =>
    one.kind === 'circuit' || one.kind === 'bath'
      ? `${one.machine}: the ${workText({ kind: one.kind, bath: one.bath })} that began ${begun(one)} counts as not done: the circuit and bath before it count. Check what runs before the next fill.`
      : [],
  );
  const fills = [...lost].flatMap(([one, why]) => (one.kind === 'fill' ? { ...one, why } : []));
  const groups = new Map<string, typeof fills>();
  for (const fill of fills) {
    const key = `${fill.machine} ${WHY[fill.why]}`;
    groups.set(key, [...(groups.get(key) ?? []), fill]);
  }
  const fillsLost = [...groups].map(([what, [first, ...more]]) => {
    const which =
      more.length > 0
        ? `${more.length + 1} fills do not count, the first of ${first!.bath} that began ${begun(first!)}`
        : `the fill of ${first!.bath} that began ${begun(first!)} does not count`;
    const counts = first!.why === 'typed' ? 'What is left is in the stock' : 'Do not use its bags';
    return `${what}: ${which}. ${counts}. Supplies it used are not deducted: correct what is on hand.`;
  });
  return [...fillsLost, ...setUps];
}
