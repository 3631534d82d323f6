import { useState } from 'react';
import { machineOut, shiftDates, technicianMissing } from '../../grid/happened.ts';
import type { Recipe } from '../../grid/history.ts';
import { isOnDate, shiftSpan } from '../../scenario/problem/shifts.ts';
import { dateText } from '../../words/times.ts';
import { useStore } from '../state/store.ts';
import { Losses } from './Losses.tsx';

/** A machine breaks down, somebody is ill, bags leak, a water test fails: typed where it is noticed, planned on from now. */
export function Happened() {
  const problem = useStore((state) => state.problem);
  const machines = useStore((state) => state.scenario.machines);
  const shifts = useStore((state) => state.scenario.shifts);
  const now = useStore((state) => state.now);
  const planned = useStore((state) => state.planned);
  const { edit, set } = useStore.getState();
  const [machine, setMachine] = useState('');
  const [until, setUntil] = useState('');
  const [shift, setShift] = useState('');
  const [date, setDate] = useState('');
  if (!problem) return null;
  const { clock, horizon } = problem;
  const happen = (label: string, recipe: Recipe) => {
    // What was done until now stands, whatever has happened.
    if (now > 0) set({ holdPast: true });
    edit(label, recipe);
  };
  const out = machines.some(({ id }) => id === machine) ? machine : machines[0]?.id;
  const end = until ? clock.minuteOf(until) : horizon;
  const row = shifts[Number(shift)] ?? shifts[0];
  const index = row ? shifts.indexOf(row) : -1;
  // What is over cannot be missed any more.
  const dates = row
    ? shiftDates(clock, horizon).filter((one) => isOnDate(row, one) && shiftSpan(clock, row, one).to > now)
    : [];
  // A date once chosen stays, also where nobody of the shift is left on it.
  const day = date || dates[0] || '';
  const nobody = !row || row.technicians < 1 || !dates.includes(day);
  return (
    <details className="happened">
      <summary>Something happened</summary>
      {out !== undefined && (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            setUntil('');
            happen(`${out} unavailable`, machineOut(clock, horizon, out, now, end));
          }}
        >
          <label className="field">
            Machine unavailable from now
            <select value={out} onChange={(event) => setMachine(event.target.value)}>
              {machines.map(({ id }) => (
                <option key={id}>{id}</option>
              ))}
            </select>
          </label>
          <label className="field">
            Until (empty: to the end)
            <input
              type="datetime-local"
              value={until}
              min={clock.localOf(now)}
              max={clock.localOf(horizon)}
              onChange={(event) => setUntil(event.target.value)}
            />
          </label>
          <button type="submit" disabled={end <= now}>
            Take {out} out
          </button>
        </form>
      )}
      {row && (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            setDate(day);
            happen(`${row.id} of ${day}: one fewer`, technicianMissing(clock, horizon, index, day, now));
          }}
        >
          <label className="field">
            Technician absent from shift
            <select value={String(index)} onChange={(event) => setShift(event.target.value)}>
              {shifts.map(({ id, technicians }, n) => (
                <option key={`${id} ${String(n)}`} value={String(n)}>
                  {id} ({technicians})
                </option>
              ))}
            </select>
          </label>
          <label className="field">
            That begins on
            <select value={day} onChange={(event) => setDate(event.target.value)}>
              {!dates.includes(day) && <option value={day}>{day ? dateText(day) : 'no date'}</option>}
              {dates.map((one) => (
                <option key={one} value={one}>
                  {dateText(one)}
                </option>
              ))}
            </select>
          </label>
          <button type="submit" disabled={nobody}>
            {nobody
              ? `No technician of ${row.id} is on duty then`
              : `One technician fewer on ${dateText(day)}`}
          </button>
        </form>
      )}
      {planned && now > 0 && <Losses {...{ planned, now, happen }} />}
    </details>
  );
}
