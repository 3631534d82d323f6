import { type SwapWindow, swapWindowsIn } from '../../plan/latest.ts';
import { type Activity, placeOf } from '../../plan/plan.ts';
import type { State } from '../../record/state.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';

/** Somebody who is there, by label or initials. Minutes from the scenario's start, [from, to). */
interface Person {
  readonly name: string;
  readonly from: number;
  readonly to: number;
}
/** What one person does of one activity: all of it, or the part until or from a change of shift. */
export interface Task {
  readonly activity: Activity;
  readonly start: number;
  readonly end: number;
  /** Of a swap: between which minutes it has to begin (see `swapWindowsIn`). */
  readonly window?: SwapWindow;
}
interface PersonList {
  readonly person: Person;
  /** In order of time. */
  readonly tasks: readonly Task[];
}
export interface PersonLists {
  readonly lists: readonly PersonList[];
  /** For which nobody is free: the plan has more work than people. */
  readonly nobody: readonly Task[];
}

/** Technicians at work on an activity, and the minutes of it that take them. A fill whose start takes none is a start of 0 min. */
function work({ rules, duties }: Problem, one: Activity): { hands: number; from: number; to: number } {
  if (one.kind === 'fill') return { hands: 1, from: one.start, to: one.start + rules.fillStartMinutes };
  if (one.kind === 'duty')
    return {
      hands: duties.find(({ id }) => id === one.duty)?.technicians ?? 0,
      from: one.start,
      to: one.end,
    };
  return { hands: rules.hands[one.kind], from: one.start, to: one.end };
}

/** Told a swap, the window of its fill: from the fill's real begin where it is under way. */
function swapWindowOf(
  problem: Problem,
  activities: readonly Activity[],
): (activity: Activity) => SwapWindow | null {
  const windows = swapWindowsIn(problem, activities);
  return (swap) =>
    swap.kind === 'swap'
      ? windows(
          activities.findIndex(
            (one) => one.kind === 'fill' && one.machine === swap.machine && one.end === swap.start,
          ),
        )
      : null;
}

/** People of the shifts; numbered where nobody is named: day 1, day 2. @param namesOf initials or roles of a shift, or of a part of it */
export const peopleOf = (
  { shifts }: Pick<Problem, 'shifts'>,
  namesOf: (band: ShiftBand) => readonly string[] = () => [],
): Person[] =>
  shifts.flatMap((band) => {
    const names = namesOf(band);
    return Array.from({ length: band.technicians }, (_, index) => ({
      name: names[index] ?? `${band.shift} ${index + 1}`,
      from: band.from,
      to: band.to,
    }));
  });

/**
 * Who is noted as on shift: of the last entry that holds for a shift, or for a part of it. None where that entry names
 * nobody: who went home is then not known.
 * @param whole the scenario compiled, from its start
 */
export const namedOf =
  ({ clock, shifts }: Pick<Problem, 'clock' | 'shifts'>, staff: State['staff']) =>
  (part: ShiftBand): readonly string[] => {
    const band = shifts.find(
      ({ shift, from, to }) => shift === part.shift && from <= part.from && part.from < to,
    );
    if (!band) return [];
    const date = clock.localOf(band.from).slice(0, 10);
    const own = staff.filter((one) => one.shift === band.shift && one.date === date && one.at <= part.from);
    return own.at(-1)?.names ?? [];
  };

/**
 * Gives the work of minutes from..to to people, so that each minute of it is held by one who is there. Whoever is at the
 * place goes on there, then whoever has been free longest; a break (a duty without place) goes to whoever has had the
 * fewest. Work that goes on over a change of shift is parted there. As long as there are people for each minute, nobody is
 * wanted twice.
 */
export function personListsOf(
  problem: Problem,
  activities: readonly Activity[],
  people: readonly Person[],
  { from, to }: { readonly from: number; readonly to: number },
): PersonLists {
  const cuts = [...new Set(people.flatMap((person) => [person.from, person.to]))].sort((a, b) => a - b);
  const pieces = activities
    .flatMap((activity) => {
      const { hands, from: begin, to: end } = work(problem, activity);
      if (hands === 0 || end < from || (end === from && begin < from) || begin >= to) return [];
      const at = [begin, ...cuts.filter((cut) => cut > begin && cut < end), end];
      return at
        .slice(1)
        .flatMap((stop, index) =>
          Array.from({ length: hands }, (_, hand) => ({ activity, hand, start: at[index]!, end: stop })),
        );
    })
    .sort((a, b) => a.start - b.start || a.end - b.end);
  const desks = people.map((person) => ({
    person,
    tasks: [] as Task[],
    free: person.from,
    place: '',
    breaks: 0,
  }));
  const nobody: Task[] = [];
  const windowOf = swapWindowOf(problem, activities);
  for (const { activity, start, end } of pieces) {
    const window = windowOf(activity);
    const task: Task = { activity, start, end, ...(window && start === activity.start ? { window } : {}) };
    const isBreak = activity.kind === 'duty' && placeOf(activity) === '';
    const own = (desk: (typeof desks)[number]) => (desk.tasks.at(-1)?.activity === activity ? 0 : 1);
    const near = (desk: (typeof desks)[number]) => (!isBreak && desk.place === placeOf(activity) ? 0 : 1);
    const passing = start === end;
    const there = desks.filter(({ person }) => person.from <= start && end <= person.to && start < person.to);
    const free = there.filter((one) => one.free <= start);
    // A start that takes no minute is done in passing, also by somebody who is at work.
    const [desk] = (passing && free.length === 0 ? there : free).sort(
      (a, b) =>
        own(a) - own(b) || (isBreak ? a.breaks - b.breaks : 0) || near(a) - near(b) || a.free - b.free,
    );
    if (!desk) {
      nobody.push(task);
      continue;
    }
    desk.tasks.push(task);
    if (passing) continue;
    desk.free = end;
    if (isBreak) desk.breaks += 1;
    else desk.place = placeOf(activity);
  }
  return { lists: desks.map(({ person, tasks }) => ({ person, tasks })), nobody };
}
