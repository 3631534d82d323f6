import { useState } from 'react';
import type { Draft } from '../../record/entries.ts';
import type { Start } from '../../record/from.ts';
import { note, useStore } from '../state/store.ts';
import { Dialog } from './Dialog.tsx';
import { entryTime } from './NoteDialog.tsx';
import { CountPick, InitialsPick } from './parts.tsx';

const KINDS = {
  hold: 'Put bags on hold',
  release: 'Note that bags were released',
  discard: 'Discard bags',
  out: 'Machine or water out of service',
  staff: 'Fewer or more technicians',
  note: 'A note for the handover',
} as const;
type More = keyof typeof KINDS;

/** What happens beside the machines' own work: one entry each. */
export function MoreDialog({ start, onClose }: { start: Start; onClose: () => void }) {
  const { problem, state } = start;
  const { clock } = problem;
  const by = useStore((session) => session.by);
  const set = useStore((session) => session.set);
  const [kind, setKind] = useState<More>('hold');
  const [lot, setLot] = useState('');
  const [bags, setBags] = useState<number | null>(null);
  const [place, setPlace] = useState('');
  const [hours, setHours] = useState(0);
  const [text, setText] = useState('');
  const [count, setCount] = useState(1);
  const shift = problem.shifts.find(({ from, to }) => from <= state.now && to > state.now);
  const lots = state.lots.filter((one) => one.good + one.held > 0);
  const common = { by, ...entryTime(clock, state.now) };
  const isMachine = problem.machines.some(({ id }) => id === place);
  const draft = ((): unknown => {
    if (kind === 'note') return text.trim() === '' ? null : { kind, ...common, text: text.trim() };
    if (kind === 'staff')
      return shift
        ? {
            kind,
            ...common,
            shift: shift.shift,
            date: clock.localOf(Math.max(0, shift.from)).slice(0, 10),
            technicians: count,
          }
        : null;
    if (kind === 'out')
      return place === ''
        ? null
        : {
            kind,
            ...common,
            ...(isMachine ? { machine: place } : { water: place }),
            ...(hours > 0 && { until: clock.localOf(state.now + 60 * hours) }),
          };
    return lot === ''
      ? null
      : { kind, ...common, lot, ...(bags !== null && { bags }), ...(text && { why: text }) };
  })();
  const chosen = lots.find((one) => one.lot === lot);
  return (
    <Dialog title="Note something else" onClose={onClose}>
      <label>
        What{' '}
        <select value={kind} onChange={(event) => setKind(event.target.value as More)}>
          {Object.entries(KINDS).map(([key, says]) => (
            <option key={key} value={key}>
              {says}
            </option>
          ))}
        </select>
      </label>
      {kind === 'release' && (
        <p className="warn">
          Bathtide releases nothing. Note here only what the person responsible has released by the site’s
          procedure.
        </p>
      )}
      {(kind === 'hold' || kind === 'release' || kind === 'discard') && (
        <>
          <label>
            Lot{' '}
            <input
              list="lots-here"
              value={lot}
              placeholder="scan or choose"
              onChange={(event) => {
                setLot(event.target.value);
                setBags(null);
              }}
            />
            <datalist id="lots-here">
              {lots.map((one) => (
                <option key={one.lot} value={one.lot}>
                  {`${one.bath ?? 'bath not known'}, ${one.good} good, ${one.held} on hold`}
                </option>
              ))}
            </datalist>
          </label>
          {chosen && (
            <CountPick
              label={bags === null ? 'All bags; fewer' : 'Bags'}
              value={bags ?? chosen.good + chosen.held}
              most={chosen.good + chosen.held}
              onChange={setBags}
            />
          )}
        </>
      )}
      {kind === 'out' && (
        <>
          <label>
            Which{' '}
            <select value={place} onChange={(event) => setPlace(event.target.value)}>
              <option value="">choose</option>
              {[...problem.machines, ...problem.water].map(({ id }) => (
                <option key={id}>{id}</option>
              ))}
            </select>
          </label>
          <CountPick label="Back in (h); 0: not known" value={hours} most={168} onChange={setHours} />
        </>
      )}
      {kind === 'staff' &&
        (shift ? (
          <CountPick
            label={`Technicians from now to the end of ${shift.shift}`}
            value={count}
            most={20}
            onChange={setCount}
          />
        ) : (
          <p>No shift is on now.</p>
        ))}
      {kind !== 'staff' && kind !== 'out' && (
        <label>
          {kind === 'note' ? 'Words' : 'Why'}{' '}
          <input value={text} maxLength={300} size={40} onChange={(event) => setText(event.target.value)} />
        </label>
      )}
      <InitialsPick value={by} onChange={(initials) => set({ by: initials })} />
      <div className="actions">
        <button type="button" onClick={onClose}>
          Cancel
        </button>
        <button
          type="button"
          className="main"
          disabled={!draft || by === ''}
          onClick={() => {
            note([draft as Draft]);
            onClose();
          }}
        >
          Note it
        </button>
      </div>
    </Dialog>
  );
}
