import { useMemo } from 'react';
import { latestIn } from '../../plan/latest.ts';
import { bathsOf } from '../../plan/plan.ts';
import { withoutTestsDone } from '../../plan/testDone.ts';
import type { Start } from '../../record/from.ts';
import { isAhead } from '../../reports/day/places.ts';
import { workOrder } from '../../words/activities.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { timeText } from '../../words/times.ts';
import { Card, Scrolls, Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';

/** What a task is against the plan that was last read, in a word: a color or a sign alone would be overlooked. */
function ChangeWord({ planned, index }: { planned: Planned; index: number }) {
  const { changes, problem } = planned;
  const word = changes?.marked.get(index);
  if (!changes || !word) return null;
  const shifted = changes.shifted.find((one) => one.index === index);
  const was = shifted && changes.since.activities[shifted.before]?.start;
  const start = planned.plan.activities[index]!.start;
  return (
    <b className="change">
      {word}
      {was !== undefined && was !== start && ` (was ${timeText(problem.clock, was)})`}
    </b>
  );
}

const AHEAD = 720;

/** The next hours in order of time, each with the minute by which it has to begin. */
export function Ahead({ planned, start }: { planned: Planned; start: Start }) {
  const { state } = start;
  const { now } = state;
  const { problem, plan } = planned;
  const { clock } = problem;
  const rows = useMemo(() => {
    const asked = withoutTestsDone(problem, plan.activities);
    const baths = bathsOf(asked);
    const latest = latestIn(problem, asked);
    const number = new Map(plan.activities.map((activity, index) => [activity, index]));
    return asked
      .map((activity, at) => ({ activity, at, index: number.get(activity)!, bath: baths[at]! }))
      .filter(({ activity }) => isAhead(state, activity) && activity.start < now + AHEAD)
      .sort((a, b) => a.activity.start - b.activity.start)
      .map((row) => ({ ...row, latest: latest(row.at) }));
  }, [problem, plan, now, state]);
  const select = useStore((state) => state.select);
  return (
    <Card title="Next 12 hours" about={countText(rows.length, 'task')} className="tall ahead">
      <Scrolls label="Next 12 hours, rows">
        <table className="rows">
          <thead>
            <tr>
              <th scope="col">At</th>
              <th scope="col">No later than</th>
              <th scope="col" className="grows">
                What
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ activity, index, bath, latest }, at) => (
              <tr key={`${index} ${activity.start}`} className={at === 0 ? 'first' : undefined}>
                <td className="number">{timeText(clock, activity.start)}</td>
                <td className="number">{timeText(clock, latest.start)}</td>
                <td className="grows">
                  <button type="button" className="link" onClick={() => select({ activity })}>
                    {workOrder(activity, bath)}
                  </button>{' '}
                  <ChangeWord planned={planned} index={index} />
                  {activity.kind === 'fill' && ` (${lengthText(activity.end - activity.start)})`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Scrolls>
    </Card>
  );
}

/** Until the plan follows from the last entry: a list from before it could lead to a wrong act, so none is shown. */
export function Waiting() {
  const failure = useStore((state) => state.planning.failure);
  return (
    <Card title="Next 12 hours">
      <p role="status">
        {failure ? (
          <Signal tone="bad">
            No plan follows from what was noted: {failure}. Start nothing by an older list.
          </Signal>
        ) : (
          <Signal tone="quiet">Wait: the plan follows from what was noted.</Signal>
        )}
      </p>
    </Card>
  );
}
