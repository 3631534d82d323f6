import { useMemo, useState } from 'react';
import { type Activity, bathsOf, placeOf } from '../../plan/plan.ts';
import { shiftAt } from '../../reports/runSheet.ts';
import { isTicked, shiftWork, stateOf, type Work, workName } from '../../reports/shiftBoard.ts';
import type { ShiftBand } from '../../scenario/problem/types.ts';
import { workOrder } from '../../words/activities.ts';
import { countText, lengthText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import { Happened } from './Happened.tsx';

const SIGNS = { done: '✓ done', late: '▲ LATE', now: '● now', ahead: '', over: '' } as const;

/** Ticks stay on this computer, apart from the scenario: they say what happened, not what is planned. */
const tickKey = (planned: Planned): string =>
  `bathtide.done.${planned.scenario.title}.${planned.scenario.start}`;
const ticksOf = (planned: Planned): Set<string> =>
  new Set(JSON.parse(localStorage.getItem(tickKey(planned)) ?? '[]') as string[]);

const what = ({ activity, bath }: Work): string => workOrder(activity, bath);

function NowLine({ planned }: { planned: Planned }) {
  const now = useStore((state) => state.now);
  const holdPast = useStore((state) => state.holdPast);
  const { set, replan } = useStore.getState();
  const { clock, horizon } = planned.problem;
  const real = Math.floor((Date.now() - clock.epochOf(0)) / 60_000);
  const to = (minute: number) => set({ now: Math.min(horizon - 1, Math.max(0, minute)) });
  return (
    <section>
      <label className="field">
        Time on the plan: {whenText(clock, now)}
        <input
          type="range"
          min={0}
          max={horizon - 1}
          step={5}
          value={now}
          aria-valuetext={whenText(clock, now)}
          onChange={(event) => to(Number(event.target.value))}
        />
      </label>
      <div className="lever-set">
        <button type="button" onClick={() => to(now - 15)}>
          15 min earlier
        </button>
        <button type="button" onClick={() => to(now + 15)}>
          15 min later
        </button>
        <button type="button" disabled={real < 0 || real >= horizon} onClick={() => to(real)}>
          Set to the clock
        </button>
      </div>
      <label>
        <input
          type="checkbox"
          checked={holdPast}
          onChange={(event) => {
            // What has been done is known by nothing else.
            const forget =
              'Replan everything, as if no work had started? The record of started work is then not kept.';
            if (!event.target.checked && now > 0 && !window.confirm(forget)) return;
            set({ holdPast: event.target.checked });
            replan(false);
          }}
        />{' '}
        Keep what has started; replan the rest
      </label>
    </section>
  );
}

/** What an activity of the list is against the plan before, in a word: a colour or a sign alone would be overlooked. */
function ChangeWord({ planned, activity }: { planned: Planned; activity: Activity }) {
  const { changes, plan, problem } = planned;
  const index = plan.activities.indexOf(activity);
  const word = changes?.marked.get(index);
  if (!changes || !word) return null;
  const shifted = changes.shifted.find((one) => one.index === index);
  const was = shifted && changes.since.activities[shifted.before]!.start;
  return (
    <b className="change">
      {word}
      {was !== undefined && was !== activity.start && ` (was ${timeText(problem.clock, was)})`}
    </b>
  );
}

/** Work of the plan before in this shift that is no longer to be done. */
function GoneWork({ planned, shift }: { planned: Planned; shift: ShiftBand }) {
  const { changes, problem } = planned;
  const baths = useMemo(() => bathsOf(changes?.since.activities ?? []), [changes]);
  const gone = (changes?.gone ?? [])
    .map((index) => ({ activity: changes!.since.activities[index]!, bath: baths[index]! }))
    .filter(({ activity }) => activity.start >= shift.from && activity.start < shift.to);
  if (gone.length === 0) return null;
  return (
    <section className="gone">
      <h4>No longer planned in this shift</h4>
      <ul>
        {gone.map(({ activity, bath }) => (
          <li key={`${placeOf(activity)} ${activity.kind} ${activity.start}`}>
            <s>
              {timeText(problem.clock, activity.start)} {workOrder(activity, bath)}
            </s>
          </li>
        ))}
      </ul>
    </section>
  );
}

function WorkTable({ planned, works, now }: { planned: Planned; works: readonly Work[]; now: number }) {
  const [ticks, setTicks] = useState(() => ticksOf(planned));
  const { clock } = planned.problem;
  const tick = (name: string) => {
    const next = new Set(ticks);
    if (!next.delete(name)) next.add(name);
    localStorage.setItem(tickKey(planned), JSON.stringify([...next]));
    setTicks(next);
  };
  const stated = works.map((work) => ({ work, state: stateOf(work, now, isTicked(work, ticks)) }));
  const late = stated.filter(({ state }) => state === 'late').length;
  const swap = stated.find(
    ({ work, state }) => work.activity.kind === 'swap' && (state === 'now' || state === 'ahead'),
  )?.work;
  return (
    <>
      <section aria-live="polite">
        {swap ? (
          <p className="next">
            Next bag swap: <b>{swap.place}</b> {swap.bath} at <b>{timeText(clock, swap.activity.start)}</b>
            <br />
            <span className="muted">
              {swap.activity.start > now ? `in ${lengthText(swap.activity.start - now)}` : 'under way'}
              {swap.window &&
                `; not before ${timeText(clock, swap.window.from)}, not after ${timeText(clock, swap.window.to)}`}
            </span>
          </p>
        ) : (
          <p className="next">No bag swap is left in this shift.</p>
        )}
        <p className={late > 0 ? 'pill bad' : 'pill good'}>
          {late > 0 ? `▲ ${countText(late, 'task')} late` : '✓ Nothing is late'}
        </p>
      </section>
      <table className="plain works">
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">Work</th>
            <th scope="col">Tech.</th>
            <th scope="col">Done</th>
          </tr>
        </thead>
        <tbody>
          {stated.map(({ work, state }) => (
            <tr key={workName(work)} className={state}>
              <td className="number">{timeText(clock, work.activity.start)}</td>
              <td>
                <button
                  type="button"
                  className="link"
                  onClick={() => useStore.getState().select({ activity: work.activity })}
                >
                  {what(work)}
                </button>{' '}
                {work.activity.kind === 'fill' && work.window && (
                  <span className="muted">
                    swap between {timeText(clock, work.window.from)} and {timeText(clock, work.window.to)}
                  </span>
                )}{' '}
                <span className={state === 'late' ? 'bad' : 'muted'}>{SIGNS[state]}</span>{' '}
                <ChangeWord planned={planned} activity={work.activity} />
              </td>
              <td className="number">{work.technician ?? '–'}</td>
              <td>
                <input
                  type="checkbox"
                  aria-label={`${what(work)} at ${timeText(clock, work.activity.start)} is done`}
                  checked={state === 'done'}
                  onChange={() => tick(workName(work))}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** This shift: who stands where when, which fills start, the next swap, and what is late. */
export function Technician({ planned }: { planned: Planned }) {
  const now = useStore((state) => state.now);
  const shift = useMemo(() => shiftAt(planned.problem, now), [planned, now]);
  const works = useMemo(
    () => (shift ? shiftWork(planned.problem, planned.plan.activities, shift) : []),
    [planned, shift],
  );
  const { clock } = planned.problem;
  return (
    <>
      <NowLine planned={planned} />
      <Happened />
      {shift && (
        <h3>
          {shift.shift}, {whenText(clock, Math.max(0, shift.from))} to {timeText(clock, shift.to)},{' '}
          {countText(shift.technicians, 'technician')}
        </h3>
      )}
      <WorkTable key={tickKey(planned)} planned={planned} works={works} now={now} />
      {shift && <GoneWork planned={planned} shift={shift} />}
    </>
  );
}
