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
  out: 'Machine or water unavailable',
  staff: 'Who is on shift, fewer or more technicians',
  note: 'A note for the handover',
} as const;
type Kind = keyof typeof KINDS;
const NO_TEXT: readonly Kind[] = ['staff', 'out'];

/** What a person has filled in so far. */
interface More {
  readonly kind: Kind;
  readonly lot: string;
  /** null: all of the lot. */
  readonly bags: number | null;
  readonly place: string;
  /** h; 0: nobody knows. */
  readonly hours: number;
  readonly text: string;
}
const BLANK: More = { kind: 'hold', lot: '', bags: null, place: '', hours: 0, text: '' };

/** The entry that is filled in, or null while something is missing. */
function draftOf({ kind, lot, bags, place, hours, text }: More, start: Start, by: string) {
  const { problem, state } = start;
  const { clock } = problem;
  const common = { kind, by, ...entryTime(clock, state.now) };
  if (kind === 'note') return text.trim() === '' ? null : { ...common, text: text.trim() };
  if (kind === 'out') {
    if (place === '') return null;
    const which = problem.machines.some(({ id }) => id === place) ? { machine: place } : { water: place };
    return { ...common, ...which, ...(hours > 0 && { until: clock.localOf(state.now + 60 * hours) }) };
  }
  return lot === '' ? null : { ...common, lot, ...(bags !== null && { bags }), ...(text && { why: text }) };
}

interface FieldsProps {
  readonly more: More;
  readonly start: Start;
  readonly onChange: (part: Partial<More>) => void;
}

/** Which bags: a scanner types the lot's name, or it is chosen. */
function LotFields({ more, start, onChange }: FieldsProps) {
  const lots = start.state.lots.filter((one) => one.good + one.held > 0);
  const chosen = lots.find((one) => one.lot === more.lot);
  return (
    <>
      <label>
        Lot{' '}
        <input
          list="lots-here"
          value={more.lot}
          placeholder="scan or choose"
          onChange={(event) => onChange({ lot: event.target.value, bags: null })}
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
          label={more.bags === null ? 'All bags; fewer' : 'Bags'}
          value={more.bags ?? chosen.good + chosen.held}
          most={chosen.good + chosen.held}
          onChange={(bags) => onChange({ bags })}
        />
      )}
    </>
  );
}

function OutFields({ more, start, onChange }: FieldsProps) {
  const { machines, water } = start.problem;
  return (
    <>
      <label>
        Which{' '}
        <select value={more.place} onChange={(event) => onChange({ place: event.target.value })}>
          <option value="">choose</option>
          {[...machines, ...water].map(({ id }) => (
            <option key={id}>{id}</option>
          ))}
        </select>
      </label>
      <CountPick
        label="Back in (h); 0: not known"
        value={more.hours}
        most={168}
        onChange={(hours) => onChange({ hours })}
      />
    </>
  );
}

interface MoreProps {
  readonly start: Start;
  /** Who is on shift has a form of its own. */
  readonly onStaff: () => void;
  readonly onClose: () => void;
}

/** What happens beside the machines' own work: one entry each. */
export function MoreDialog({ start, onStaff, onClose }: MoreProps) {
  const by = useStore((session) => session.by);
  const set = useStore((session) => session.set);
  const [more, setMore] = useState(BLANK);
  const change = (part: Partial<More>) => setMore({ ...more, ...part });
  const { kind } = more;
  const draft = draftOf(more, start, by);
  const fields = { more, start, onChange: change };
  return (
    <Dialog title="Note something else" onClose={onClose}>
      <label>
        What{' '}
        <select
          value={kind}
          onChange={(event) =>
            event.target.value === 'staff' ? onStaff() : change({ kind: event.target.value as Kind })
          }
        >
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
      {(kind === 'hold' || kind === 'release' || kind === 'discard') && <LotFields {...fields} />}
      {kind === 'out' && <OutFields {...fields} />}
      {!NO_TEXT.includes(kind) && (
        <label>
          {kind === 'note' ? 'Words' : 'Why'}{' '}
          <input
            value={more.text}
            maxLength={300}
            size={40}
            onChange={(event) => change({ text: event.target.value })}
          />
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
            note([draft as unknown as Draft]);
            onClose();
          }}
        >
          Note it
        </button>
      </div>
    </Dialog>
  );
}
