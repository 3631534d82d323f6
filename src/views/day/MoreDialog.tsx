import { useState } from 'react';
import type { Start } from '../../record/from.ts';
import { note, useStore } from '../state/store.ts';
import { Dialog } from './Dialog.tsx';
import { BLANK, draftOf, KINDS, type Kind, type More } from './moreDraft.ts';
import { ArriveFields, CountFields, DutyFields, LotFields, OutFields } from './moreFields.tsx';
import { InitialsPick, MinutePick } from './parts.tsx';

const FIELDS = {
  hold: LotFields,
  release: LotFields,
  discard: LotFields,
  arrive: ArriveFields,
  count: CountFields,
  out: OutFields,
  duty: DutyFields,
} as const;
/** What else is written: why, or the note itself. */
const TEXTS: Partial<Record<Kind, string>> = { hold: 'Why', release: 'Why', discard: 'Why', note: 'Words' };

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
  const { now } = start.state;
  const draft = draftOf(more, start, by);
  const Fields = kind in FIELDS ? FIELDS[kind as keyof typeof FIELDS] : null;
  const words = TEXTS[kind];
  const kinds = Object.entries(KINDS).filter(([key]) => key !== 'duty' || start.problem.duties.length > 0);
  return (
    <Dialog title="Note something else" onClose={onClose}>
      <label>
        What{' '}
        <select
          value={kind}
          onChange={(event) =>
            event.target.value === 'staff'
              ? onStaff()
              : setMore({ ...BLANK, kind: event.target.value as Kind })
          }
        >
          {kinds.map(([key, says]) => (
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
      {Fields && <Fields more={more} start={start} onChange={change} />}
      {(kind === 'duty' || kind === 'out') && (
        <>
          <p>{kind === 'duty' ? 'Done at' : 'Unavailable from'}</p>
          <MinutePick
            clock={start.problem.clock}
            value={now - more.ago}
            latest={now}
            onChange={(minute) => change({ ago: now - minute })}
          />
        </>
      )}
      {words && (
        <label>
          {words}{' '}
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
            if (draft) note([draft]);
            onClose();
          }}
        >
          Note it
        </button>
      </div>
    </Dialog>
  );
}
