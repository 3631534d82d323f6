import { useMemo, useState } from 'react';
import { bathsOf } from '../../plan/plan.ts';
import { withoutTestsDone } from '../../plan/testDone.ts';
import type { Start } from '../../record/from.ts';
import { namedOf, peopleOf, personListsOf, type Task } from '../../reports/day/personLists.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { workOrder } from '../../words/activities.ts';
import { lengthText } from '../../words/numbers.ts';
import { timeText } from '../../words/times.ts';
import { Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { StaffDialog } from './StaffDialog.tsx';

interface PeopleProps {
  readonly start: Start;
  readonly planned: Planned;
  /** The scenario compiled, from its start. */
  readonly problem: Problem;
  readonly recorded: boolean;
}

/** min */
const AHEAD = 720;

/** How far off a task is, in words: what should have begun says so. */
const countdown = ({ start, end }: Task, now: number): string =>
  start > now ? `in ${lengthText(start - now)}` : end > now ? 'now' : `since ${lengthText(now - start)}`;

/** One list a person: tasks in order of time, each with how far off it is. */
export function PeoplePart({ start, planned, problem, recorded }: PeopleProps) {
  const [naming, setNaming] = useState(false);
  const { state } = start;
  const { now } = state;
  const { clock } = problem;
  const activities = useMemo(
    () => withoutTestsDone(start.problem, planned.plan.activities),
    [start, planned.plan],
  );
  const orders = useMemo(() => {
    const baths = bathsOf(activities);
    return new Map(activities.map((activity, index) => [activity, workOrder(activity, baths[index]!)]));
  }, [activities]);
  const { lists, nobody } = useMemo(
    () =>
      personListsOf(start.problem, activities, peopleOf(start.problem, namedOf(problem, state.staff)), {
        from: now,
        to: now + AHEAD,
      }),
    [start, activities, problem, state, now],
  );
  const there = lists.filter(
    ({ person, tasks }) => tasks.length > 0 || (person.from <= now && now < person.to),
  );
  return (
    <>
      <p>
        <button type="button" onClick={() => setNaming(true)}>
          Who is on shift …
        </button>
      </p>
      {nobody.length > 0 && (
        <section aria-label="Nobody is free for">
          <p>
            <Signal tone="bad">Nobody is free for these tasks:</Signal>
          </p>
          <ul>
            {nobody.map((task) => (
              <li key={`${task.start} ${orders.get(task.activity)}`}>
                {timeText(clock, task.start)} {orders.get(task.activity)}
              </li>
            ))}
          </ul>
        </section>
      )}
      <div className="people">
        {there.map(({ person, tasks }) => (
          <section key={`${person.name} ${person.from}`} aria-label={`Tasks of ${person.name}`}>
            <h3>
              {person.name}{' '}
              <small className="muted">
                {timeText(clock, Math.max(0, person.from))} to {timeText(clock, person.to)}
              </small>
            </h3>
            {tasks.length === 0 && <p className="muted">No task.</p>}
            <ol className="tasks">
              {tasks.map((task) => (
                <li key={`${task.start} ${orders.get(task.activity)}`}>
                  <span className="number">{timeText(clock, task.start)}</span>{' '}
                  <span>{orders.get(task.activity)}</span>{' '}
                  <span className="muted">
                    {lengthText(task.end - task.start)}, {countdown(task, now)}
                  </span>
                </li>
              ))}
            </ol>
          </section>
        ))}
      </div>
      {naming && (
        <StaffDialog start={start} whole={problem} first={!recorded} onClose={() => setNaming(false)} />
      )}
    </>
  );
}
