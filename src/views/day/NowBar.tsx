import { useEffect, useState } from 'react';
import { timeText, whenText } from '../../words/times.ts';
import type { Planned } from '../state/planned.ts';
import { isRecorded } from '../state/session.ts';
import { continueFromNow, useShallow, useStore, watchRecord } from '../state/store.ts';
import { InitialsPick } from './parts.tsx';
import { keepRinging, ring, ringsHere } from './useSwapCall.ts';

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
export function useDay(planned: Planned): void {
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
    useStore.getState().set({ sound: ringsHere() });
    if (known && useStore.getState().station === '') useStore.getState().set({ station: known });
  }, []);
}

/** Which minute it is, and who notes at which computer. */
export function NowBar({ planned, onMore }: { planned: Planned; onMore: () => void }) {
  const recorded = useStore(isRecorded);
  const { now, by, station, sound, set } = useStore(
    useShallow(({ now, by, station, sound, set }) => ({ now, by, station, sound, set })),
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
      <span className="spacer" />
      <button
        type="button"
        aria-pressed={sound}
        title="A short sound 5 min before a swap window opens, as it opens, and 5 min before it closes"
        onClick={() => {
          set({ sound: !sound });
          keepRinging(!sound);
          if (!sound) ring();
        }}
      >
        Sound {sound ? 'on' : 'off'}
      </button>
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
      <div className="who">
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
      </div>
    </div>
  );
}
