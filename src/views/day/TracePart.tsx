import { useMemo, useState } from 'react';
import type { Demand } from '../../demand/demand.ts';
import type { State } from '../../record/state.ts';
import {
  type LotTrace,
  lotTrace,
  type Traceable,
  traceableOf,
  traceables,
} from '../../reports/day/lotTrace.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText, listText } from '../../words/numbers.ts';
import { Signal } from '../look/Parts.tsx';
import { useStore } from '../state/store.ts';
import { fromLines, leftText, thereText, whereText } from './traceWords.ts';

/** Where the bags of each lot are, and at which beds. */
function Forward({ trace, problem }: { trace: LotTrace; problem: Problem }) {
  const { clock } = problem;
  const there = trace.beds.reduce((sum, bed) => sum + bed.there, 0);
  const left = trace.beds.reduce((sum, { bags }) => sum + bags, 0);
  return (
    <>
      <h3>Where did it go?</h3>
      {trace.filling.length > 0 && (
        <p>
          <Signal tone="bad">
            {listText(trace.filling)} {trace.filling.length === 1 ? 'is' : 'are'} filling with it now. These
            bags are in no lot yet.
          </Signal>
        </p>
      )}
      {trace.lots.length === 0 && <p>It went into no lot of bags that is off a machine.</p>}
      {trace.lots.map((lot) => (
        <p key={lot.lot}>
          <b>{lot.lot}</b> {lot.bath ?? 'bath not known'}. {whereText(lot)}.
        </p>
      ))}
      {left > 0 && (
        <>
          <p>
            <Signal tone={there > 0 ? 'bad' : 'warn'}>
              {countText(left, 'bag')} left for the bedside. By the prescription up to{' '}
              {countText(there, 'bag')} may hang or wait there now. Nobody notes what hangs: look at each bed.
            </Signal>
          </p>
          <div className="scrolls">
            <table className="rows">
              <thead>
                <tr>
                  <th scope="col">Ward</th>
                  <th scope="col">Bed</th>
                  <th scope="col">Lot</th>
                  <th scope="col" className="number">
                    Bags
                  </th>
                  <th scope="col">Bag round</th>
                  <th scope="col" className="grows">
                    Still there
                  </th>
                </tr>
              </thead>
              <tbody>
                {trace.beds.map((bed) => (
                  <tr key={`${bed.lot} ${bed.leftAt} ${bed.ward} ${bed.bed}`}>
                    <td>{bed.ward ?? 'not noted'}</td>
                    <th scope="row">{bed.bed ?? 'not noted'}</th>
                    <td>{bed.lot}</td>
                    <td className="number">{bed.bags}</td>
                    <td>{leftText(clock, bed)}</td>
                    <td className="grows">{thereText(bed)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
      {left === 0 && trace.lots.length > 0 && <p>No bag of it is noted as left.</p>}
    </>
  );
}

const Backward = ({ trace, problem }: { trace: LotTrace; problem: Problem }) => (
  <>
    <h3>What was it made from?</h3>
    {trace.from.length === 0 && <p>It was not filled here, or it is not off the machine yet.</p>}
    {trace.from.map((from) => (
      <section key={from.lot.lot} aria-label={`What ${from.lot.lot} was made from`}>
        <h4>{from.lot.lot}</h4>
        <ul>
          {fromLines(problem.clock, from).map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      </section>
    ))}
  </>
);

interface TraceProps {
  readonly state: State;
  /** The scenario compiled, from its start, and its need. */
  readonly problem: Problem;
  readonly demand: Demand;
  readonly onPrint: () => void;
}

const GROUPS = ['Lot', 'Machine', 'Water', 'Concentrate', 'Filter', 'Tubing', 'Circuit'] as const;

function Ask({ list, onAsk }: { list: readonly Traceable[]; onAsk: (name: string) => void }) {
  const asked = useStore((state) => state.suspect);
  const [typed, setTyped] = useState(asked);
  return (
    <form
      className="form-line"
      onSubmit={(event) => {
        event.preventDefault();
        onAsk(typed);
      }}
    >
      <label>
        Scan a bag, or type a lot{' '}
        <input
          value={typed}
          size={30}
          placeholder="e.g. M1 2031-02-03 08:00"
          onChange={(event) => setTyped(event.target.value)}
        />
      </label>
      <button type="submit" className="main">
        Trace
      </button>
      <label>
        or choose{' '}
        <select
          value={list.some(({ name }) => name === asked) ? asked : ''}
          onChange={(event) => {
            setTyped(event.target.value);
            onAsk(event.target.value);
          }}
        >
          <option value="">what is in doubt</option>
          {GROUPS.map((group) => {
            const names = list.filter((one) => one.group === group);
            return (
              names.length > 0 && (
                <optgroup key={group} label={group}>
                  {names.map(({ name }) => (
                    <option key={name}>{name}</option>
                  ))}
                </optgroup>
              )
            );
          })}
        </select>
      </label>
    </form>
  );
}

/** A lot, bag, machine, source, concentrate or circuit in doubt: forward to the beds, backward to all that it was made from. */
export function TracePart({ state, problem, demand, onPrint }: TraceProps) {
  const asked = useStore((session) => session.suspect);
  const set = useStore((session) => session.set);
  const list = useMemo(() => traceables(problem, state), [problem, state]);
  const one = traceableOf(list, asked);
  const trace = useMemo(
    () => one && lotTrace({ problem, demand, state }, one),
    [one, problem, demand, state],
  );
  return (
    <div className="trace-part">
      <Ask list={list} onAsk={(name) => set({ suspect: name })} />
      {asked.trim() !== '' && !trace && (
        <p role="alert">
          <Signal tone="bad">
            Nothing in this record is called {asked}. Expected: a lot, a bag’s code, a machine, a water
            source, a concentrate or a circuit of this record.
          </Signal>
        </p>
      )}
      {trace && (
        <div role="status" aria-label={`Trace of ${trace.asked.name}`}>
          <p>
            <b>{trace.asked.name}</b>{' '}
            <button type="button" onClick={onPrint}>
              Print this trace …
            </button>
          </p>
          <Forward trace={trace} problem={problem} />
          <Backward trace={trace} problem={problem} />
        </div>
      )}
    </div>
  );
}
