import { useState } from 'react';
import {
  bagsLost,
  type Filled,
  filledBefore,
  inDoubt,
  waterFailed,
  waterFailure,
} from '../../grid/happened.ts';
import type { Recipe } from '../../grid/history.ts';
import type { Activity } from '../../plan/plan.ts';
import { countText, plural } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import type { Planned } from '../state/planned.ts';

interface Props {
  readonly planned: Planned;
  readonly now: number;
  readonly happen: (label: string, recipe: Recipe) => void;
}

/** Bags that were made and cannot be hung: some of one fill, or all that ran on water whose test failed. */
export function Losses({ planned, now, happen }: Props) {
  const { problem, plan, covered } = planned;
  const filled = filledBefore(problem, plan.activities, covered, now);
  return (
    <>
      <BagsLost {...{ planned, filled, happen }} />
      <WaterFailed {...{ planned, filled, now, happen }} />
    </>
  );
}

function BagsLost({ planned, filled, happen }: Omit<Props, 'now'> & { readonly filled: readonly Filled[] }) {
  const { problem } = planned;
  const [chosen, choose] = useState('');
  const [typed, type] = useState('');
  // The latest first: what is noticed is mostly what was just done.
  const rows = filled.filter(({ here }) => here > 0).reverse();
  const keyOf = ({ fill }: Filled) => `${fill.machine}\n${String(fill.start)}`;
  const row = rows.find((one) => keyOf(one) === chosen) ?? rows[0];
  if (!row) return null;
  const most = inDoubt(row);
  const bags = row.done && typed !== '' ? Number(typed) : most;
  const good = Number.isInteger(bags) && bags >= 1 && bags <= most;
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        type('');
        happen(
          `discard ${countText(bags, 'bag')} of ${row.fill.machine}`,
          bagsLost(problem, [{ filled: row, bags }]),
        );
      }}
    >
      <label className="field">
        Discard bags of the fill
        <select value={keyOf(row)} onChange={(event) => choose(event.target.value)}>
          {rows.map((one) => (
            <option key={keyOf(one)} value={keyOf(one)}>
              {one.fill.machine} · {one.fill.bath} · {whenText(problem.clock, one.fill.start)} ·{' '}
              {one.done ? `${countText(one.here, 'bag')} here` : 'under way'}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        how many ({row.done ? 'empty' : 'under way'}: all {most})
        <input
          type="number"
          min={1}
          max={most}
          value={row.done ? typed : ''}
          disabled={!row.done}
          onChange={(event) => type(event.target.value)}
        />
      </label>
      <button type="submit" disabled={!good}>
        {good ? `Discard ${countText(bags, 'bag')}` : `Type 1 to ${countText(most, 'bag')}`}
      </button>
    </form>
  );
}

type Test = Activity & { readonly kind: 'test' };

function WaterFailed({ planned, filled, now, happen }: Props & { readonly filled: readonly Filled[] }) {
  const { problem, plan } = planned;
  const { clock, horizon } = problem;
  const [chosen, choose] = useState('');
  const [last, setLast] = useState('');
  const [until, setUntil] = useState('');
  const tests = plan.activities.filter((one): one is Test => one.kind === 'test' && one.start < now);
  const sources = problem.water.filter(({ id }) => tests.some(({ water }) => water === id));
  const source = sources.find(({ id }) => id === chosen) ?? sources[0];
  if (!source) return null;
  const before = source.lastTest === null ? [] : [source.lastTest];
  const ends = [
    ...before,
    ...tests.flatMap(({ water, end }) => (water === source.id && end <= now ? end : [])),
  ].reverse();
  // The latest one is the one that failed, unless somebody says otherwise.
  const passed =
    last === 'none' ? -Infinity : (ends.find((end) => String(end) === last) ?? ends[1] ?? -Infinity);
  const end = until ? clock.minuteOf(until) : now;
  const failure = waterFailure(problem, plan.activities, filled, source.id, passed, now);
  const all = failure.fills.reduce((sum, { lot }) => sum + lot.bags, 0);
  const here = failure.fills.reduce((sum, one) => sum + inDoubt(one), 0);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        setLast('');
        setUntil('');
        happen(`total chlorine test of ${source.id} failed`, waterFailed(problem, failure, now, end));
      }}
    >
      <label className="field">
        Total chlorine test failed at
        <select value={source.id} onChange={(event) => choose(event.target.value)}>
          {sources.map(({ id }) => (
            <option key={id}>{id}</option>
          ))}
        </select>
      </label>
      <label className="field">
        Last test that passed ended
        <select
          value={Number.isFinite(passed) ? String(passed) : 'none'}
          onChange={(event) => setLast(event.target.value)}
        >
          {ends.map((one) => (
            <option key={one} value={String(one)}>
              {whenText(clock, one)}
            </option>
          ))}
          <option value="none">none is known</option>
        </select>
      </label>
      <label className="field">
        No water before (empty: until the next test passes)
        <input
          type="datetime-local"
          value={until}
          min={clock.localOf(now)}
          max={clock.localOf(horizon)}
          onChange={(event) => setUntil(event.target.value)}
        />
      </label>
      <p className="hint">
        {countText(failure.fills.length, 'fill')} ran since: {countText(here, 'bag')} still here{' '}
        {plural(here, 'is', 'are')} discarded
        {all > here &&
          `; ${countText(all - here, 'bag')} left with a bag round. Call them back as your procedure says. The need does not include their replacements`}
        . Circuits and bath changes still count. Your procedure says whether they may.
      </p>
      <button type="submit">Discard and replan</button>
    </form>
  );
}
