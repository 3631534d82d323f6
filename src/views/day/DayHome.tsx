import { useEffect, useMemo, useState } from 'react';
import { latestIn } from '../../plan/latest.ts';
import { bathsOf } from '../../plan/plan.ts';
import { type Start, startAt } from '../../record/from.ts';
import { isAhead } from '../../reports/day/places.ts';
import { workOrder } from '../../words/activities.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';
import { Card, Signal } from '../look/Parts.tsx';
import { useTints } from '../look/useTints.ts';
import { partOf } from '../panels/parts.tsx';
import { startOf } from '../state/dayRecord.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent, isRecorded } from '../state/session.ts';
import { continueFromNow, note, useShallow, useStore, watchRecord } from '../state/store.ts';
import { Journal } from './Journal.tsx';
import { MoreDialog } from './MoreDialog.tsx';
import { PlaceCards } from './PlaceCards.tsx';
import { InitialsPick } from './parts.tsx';
import { RoundCard } from './RoundCard.tsx';
import './day.css';

const STATION = 'bathtide.station';
const WATCH_MS = 4000;
const TICK_MS = 15_000;

/** The minute of the scenario that it is by this computer's clock; null outside it. */
const clockMinute = (planned: Planned): number | null => {
  const { clock, horizon } = planned.problem;
  const minute = Math.floor((Date.now() - clock.epochOf(0)) / 60_000);
  return minute >= 0 && minute < horizon ? minute : null;
};

/** Looks what other stations note, and goes along with the clock as long as the scenario's time is now. */
function useDay(planned: Planned): void {
  useEffect(() => {
    const timer = setInterval(watchRecord, WATCH_MS);
    return () => clearInterval(timer);
  }, []);
  useEffect(() => {
    const follow = () => {
      const minute = clockMinute(planned);
      const { now, record, set } = useStore.getState();
      if (minute !== null && record.noted.length > 0 && minute !== now) set({ now: minute });
    };
    const timer = setInterval(follow, TICK_MS);
    return () => clearInterval(timer);
  }, [planned]);
  useEffect(() => {
    const known = localStorage.getItem(STATION);
    if (known && useStore.getState().station === '') useStore.getState().set({ station: known });
  }, []);
}

/** Which minute it is, and who notes at which computer. */
function NowBar({ planned, onMore }: { planned: Planned; onMore: () => void }) {
  const recorded = useStore(isRecorded);
  const { now, by, station, set } = useStore(
    useShallow(({ now, by, station, set }) => ({ now, by, station, set })),
  );
  const [typed, setTyped] = useState(station);
  const { clock, horizon } = planned.problem;
  const real = clockMinute(planned);
  const to = (minute: number) => set({ now: Math.min(horizon - 1, Math.max(0, minute)) });
  return (
    <div className="now-bar">
      <span className="big">{whenText(clock, now)}</span>
      {real === null ? (
        <span className="minute-pick">
          {[-60, -15, -1, 1, 15, 60].map((by) => (
            <button
              type="button"
              key={by}
              onClick={() => to(now + by)}
              aria-label={`${Math.abs(by)} min ${by < 0 ? 'back' : 'on'}`}
            >
              {by < 0 ? '−' : '+'}
              {Math.abs(by)} min
            </button>
          ))}
        </span>
      ) : (
        real !== now && (
          <button type="button" onClick={() => to(real)}>
            Clock time {timeText(clock, real)}
          </button>
        )
      )}
      {station === '' ? (
        <form
          className="form-line"
          onSubmit={(event) => {
            event.preventDefault();
            const name = typed.trim();
            if (name === '') return;
            localStorage.setItem(STATION, name);
            set({ station: name });
          }}
        >
          <label>
            Name of this computer
            <input
              value={typed}
              maxLength={40}
              placeholder="e.g. icu-desk"
              onChange={(event) => setTyped(event.target.value)}
            />
          </label>
          <button type="submit">Keep</button>
        </form>
      ) : (
        <span className="muted">{station}</span>
      )}
      <InitialsPick value={by} onChange={(initials) => set({ by: initials })} />
      <span className="spacer" />
      {recorded && (
        <button
          type="button"
          onClick={continueFromNow}
          title="A new scenario from now on, with stock, circuits, tests, prescriptions and what is on hold"
        >
          Continue in a new scenario …
        </button>
      )}
      <button type="button" onClick={onMore}>
        Note something else …
      </button>
    </div>
  );
}

/** What of the record asks for somebody at once: bags to carry, bags to call back, entries that are not noted. */
function DayNotices({ start }: { start: Start | null }) {
  const { failure, failed, noting } = useStore((state) => state.record);
  const recall = start?.state.recall ?? [];
  const bags = recall.reduce((sum, one) => sum + one.bags, 0);
  return (
    <>
      {failure && (
        <p role="alert">
          <Signal tone="bad">{failure}</Signal>{' '}
          {failed.length > 0 && (
            <button type="button" onClick={() => note(failed)}>
              Note {countText(failed.length, 'entry', 'entries')} again
            </button>
          )}
        </p>
      )}
      {noting.length > 0 && (
        <p role="status">
          <Signal tone="now">Noting {countText(noting.length, 'entry', 'entries')} …</Signal>
        </p>
      )}
      {bags > 0 && (
        <Card
          title={`CALL BACK ${countText(bags, 'bag')}`}
          about="do not hang; take down by the site’s procedure"
          className="alarm"
        >
          <ul>
            {recall.map(({ lot, bags: count, round, ward, bed }) => (
              <li key={`${lot} ${round} ${bed ?? ''}`}>
                {countText(count, 'bag')} of {lot}
                {ward ? `, ${ward}` : ''}
                {bed ? `, ${bed}` : ''} (bag round {round})
              </li>
            ))}
          </ul>
          <p>
            <b>Carry other bags in their place.</b> The plan counts those that are still to be hung.
          </p>
        </Card>
      )}
    </>
  );
}

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
function Ahead({ planned, start }: { planned: Planned; start: Start }) {
  const { state } = start;
  const { now } = state;
  const { problem, plan } = planned;
  const { clock } = problem;
  const rows = useMemo(() => {
    const baths = bathsOf(plan.activities);
    const latest = latestIn(problem, plan.activities);
    return plan.activities
      .map((activity, index) => ({ activity, index, bath: baths[index]! }))
      .filter(({ activity }) => isAhead(state, activity) && activity.start < now + AHEAD)
      .sort((a, b) => a.activity.start - b.activity.start)
      .map((row) => ({ ...row, latest: latest(row.index) }));
  }, [problem, plan, now, state]);
  const select = useStore((state) => state.select);
  return (
    <Card title="Next 12 hours" about={countText(rows.length, 'task')} className="tall">
      <div className="scrolls">
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
            {rows.map(({ activity, index, bath, latest }) => (
              <tr key={`${index} ${activity.start}`}>
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
      </div>
    </Card>
  );
}

/** Until the plan follows from the last entry: a list from before it could lead to a wrong act, so none is shown. */
function Waiting() {
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

/** The technician lead's home: the machines as they are, what to do next, what leaves, what was noted. */
export function DayHome({ planned }: { planned: Planned }) {
  const { scenario, problem, record, now } = useStore(
    useShallow(({ scenario, problem, record, now }) => ({ scenario, problem, record, now })),
  );
  const [more, setMore] = useState(false);
  const tints = useTints();
  useDay(planned);
  // Without an entry yet, the scenario as it stands: whoever notes the first one begins the record from here.
  const start = useMemo(
    () => (problem ? (startOf({ scenario, record, now }) ?? startAt(scenario, [], now)) : null),
    [scenario, problem, record, now],
  );
  const recorded = record.noted.length > 0;
  const current = useStore(isCurrent);
  return (
    <div className="home day">
      <NowBar planned={planned} onMore={() => setMore(true)} />
      <DayNotices start={recorded ? start : null} />
      {!recorded && (
        <p className="muted">
          Nothing is noted yet. Note what is done as it is done: the plan then goes on from what was done, not
          from what was planned.
        </p>
      )}
      {start && <PlaceCards start={start} planned={planned} tints={tints} current={current} />}
      <div className="columns">
        {current && start ? <Ahead planned={planned} start={start} /> : <Waiting />}
        <div className="stack">
          {current && <RoundCard start={recorded ? start : null} planned={planned} />}
          {start && recorded && <Journal start={start} />}
        </div>
      </div>
      <Card title="Timeline">{partOf('timeline').draw(planned)}</Card>
      {more && start && <MoreDialog start={start} onClose={() => setMore(false)} />}
    </div>
  );
}
