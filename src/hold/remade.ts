import { chanceOf } from '../capacity/draws/random.ts';
import type { Activity } from '../plan/plan.ts';
import { planOn } from '../planner/plan.ts';
import type { Draft, Entry } from '../record/entries.ts';
import { startFrom } from '../record/from.ts';
import { NO_LINE, type Noted } from '../record/journal.ts';
import { overdueIn } from '../record/overdue.ts';
import { stateOf } from '../record/state.ts';
import { compile } from '../scenario/problem/compile.ts';
import type { Scenario } from '../scenario/schema.ts';
import { Day, type DayEvent } from './day.ts';
import { type Held, STREAM, servedOf, type Tried } from './hold.ts';
import type { Variation } from './variation.ts';

/** A plan that is made anew meanwhile: from what the record says, as the app does it. */
interface Remade extends Tried {
  readonly scenario: Scenario;
  /** What was noted before the plan's `now`. */
  readonly noted: readonly Noted[];
}

/** Work that waits so long is a mishap, min; and between two plans so long passes at least (site assumptions). */
const BEHIND = 10;
const APART = 20;
/** Work allowed for each plan, in tries of a whole schedule: people wait for it, and a day has about ten. */
const TRIES = 150;

/**
 * Plays one day on which the plan is made anew at each mishap: a machine down, a technician called away, a failed test,
 * discarded bags, work that waits. The same seed and number give the same mishaps as in `playMany`.
 * @returns of that one day what `playMany` tells of many, and how often it was planned
 */
export async function playRemade(
  remade: Remade,
  variation: Variation,
  { seed, day: number }: { readonly seed: number; readonly day: number },
): Promise<{ readonly held: Held; readonly plans: number }> {
  const { problem, activities, until } = remade;
  const drafts: Draft[] = [];
  let mishap = false;
  const tell = (event: DayEvent) => {
    drafts.push(...draftsOf(remade, drafts, event));
    mishap ||= isMishap(event);
  };
  const chance = chanceOf(seed, number, STREAM);
  const day = new Day({ problem, activities, variation, chance, delay: () => 0, until, tell });
  const away = new Set(day.awayFrom);
  const notesRounds = remade.noted.some(({ entry }) => entry.kind === 'leave');
  let plan: readonly Activity[] = activities;
  let last = Number.NEGATIVE_INFINITY;
  let plans = 0;
  for (let t = problem.now; t < until; t++) {
    if (t > problem.now && t - last >= APART && (mishap || day.isBehind(t, BEHIND))) {
      plan = await planFrom({ remade, drafts, plan, day, variation }, t);
      day.follow(plan, t);
      [mishap, last] = [false, t];
      plans += 1;
    }
    day.minute(t);
    mishap ||= away.has(t);
    if (notesRounds && problem.rounds.some(({ at, index }) => index > 0 && at === t))
      drafts.push(carriedAt(remade, t));
  }
  return { held: servedOf(remade, [day.played().done]), plans };
}

const isMishap = (event: DayEvent): boolean =>
  event.is === 'down' ||
  event.is === 'stop' ||
  (event.is === 'test' && !event.passed) ||
  (event.is === 'off' && !event.good);

/** What somebody notes of an event. */
function draftsOf({ problem }: Remade, noted: readonly Draft[], event: DayEvent): Draft[] {
  const local = (minute: number) => problem.clock.localOf(minute);
  const common = { at: local(event.at), by: '' };
  switch (event.is) {
    case 'fill':
    case 'stop':
      return [{ kind: event.is, machine: event.machine, ...common }];
    case 'off': {
      const { positions } = problem.machines.find(({ id }) => id === event.machine)!;
      const sample = problem.rules.sampleBags;
      const rejected = event.good
        ? sample > 0
          ? [{ reason: 'sample', bags: sample }]
          : []
        : [{ reason: 'mishap', bags: positions }];
      const good = event.good ? positions - sample : 0;
      return [
        { kind: 'off', machine: event.machine, good, rejected, litres: problem.rules.fillLitres, ...common },
      ];
    }
    case 'test':
      return [{ kind: 'test', water: event.water, result: event.passed ? 'pass' : 'fail', ...common }];
    case 'set-up': {
      const { kind, machine, bath } = event.one;
      return [{ kind, machine, bath, began: local(event.at), at: local(event.until), by: '' }];
    }
    case 'cut':
      return [{ kind: 'void', of: lastSetUp(noted, event.machine), why: 'cut off', ...common }];
    case 'down':
      return [{ kind: 'out', machine: event.machine, until: local(event.until), ...common }];
    case 'duty':
      return [{ kind: 'duty', duty: event.duty, place: event.place, ...common }];
  }
}

/** The id of the entry that told a machine's last set-up. */
const lastSetUp = (noted: readonly Draft[], id: string): string =>
  idOf(noted.findLastIndex((one) => (one.kind === 'circuit' || one.kind === 'bath') && one.machine === id));
/** Of an entry played, by its place in their order. */
const idOf = (index: number): string => `played/${index + 1}`;

/** Where rounds are noted, each left as the prescriptions asked. */
function carriedAt({ problem }: Remade, t: number): Draft {
  const at = problem.clock.localOf(t);
  return { kind: 'leave', round: at, loads: [], declared: 'carried', at, by: '' };
}

interface Meanwhile {
  readonly remade: Remade;
  readonly drafts: readonly Draft[];
  readonly plan: readonly Activity[];
  readonly day: Day;
  readonly variation: Variation;
}

/** The plan from minute `t` on, by the planner that the app asks after an entry. */
async function planFrom(
  { remade, drafts, plan, day, variation }: Meanwhile,
  t: number,
): Promise<readonly Activity[]> {
  const { scenario, noted, problem } = remade;
  const entries = drafts.map((draft, index): Noted => {
    const n = index + 1;
    const entry = {
      ...draft,
      n,
      id: idOf(index),
      noted: instantOf(problem.clock.epochOf(t)),
      before: NO_LINE,
    };
    return { entry: entry as Entry, file: 'played.jsonl', line: n };
  });
  const whole = compile(scenario);
  const { minutes } = variation.away;
  // Whoever is called away cannot end what is under way either.
  const away = day.awayFrom
    .filter((from) => from <= t && t < from + minutes)
    .map((from) => ({ shift: '', from: t, to: from + minutes, technicians: -1 }));
  const state = stateOf(scenario, whole, [...noted, ...entries], t);
  const goesOn = day.underWay;
  // Nobody notes that a test or a duty begins, but who plans anew at the machines sees it.
  const tests = goesOn.filter(({ kind }) => kind === 'test');
  const start = startFrom({ ...whole, shifts: [...whole.shifts, ...away] }, state, tests);
  const staff = start.problem.staff.map((count) => Math.max(0, count));
  const made = await planOn(
    { ...start.problem, staff },
    {
      underWay: [...start.underWay, ...goesOn.filter(({ kind }) => kind === 'duty')],
      previous: plan,
      overdue: overdueIn(plan, state),
      tries: TRIES,
    },
  );
  return made.activities;
}

const instantOf = (epoch: number): string => new Date(epoch).toISOString();
