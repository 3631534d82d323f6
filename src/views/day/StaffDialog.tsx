import { useState } from 'react';
import type { Draft } from '../../record/entries.ts';
import type { Start } from '../../record/from.ts';
import { entryTime } from '../../record/minuteOf.ts';
import { namedOf } from '../../reports/day/personLists.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import { spanText } from '../../words/times.ts';
import { note, useStore } from '../state/store.ts';
import { Dialog } from './Dialog.tsx';
import { CountPick, InitialsPick } from './parts.tsx';

interface StaffProps {
  readonly start: Start;
  /** The scenario compiled, from its start. */
  readonly whole: Problem;
  /** Nothing is noted yet: this would be the first entry. */
  readonly first: boolean;
  readonly onClose: () => void;
}

/** min; a shift that begins later is named when its day comes. */
const AHEAD = 1440;

/** The last part of a shift that has begun by now, or all of it: how many are there, and who. */
const partAt = ({ problem, state }: Start, band: ShiftBand): ShiftBand =>
  problem.shifts.findLast(
    ({ shift, from, to }) =>
      shift === band.shift && from >= band.from && to <= band.to && from <= Math.max(state.now, band.from),
  ) ?? band;

/** Who is on a shift, by initials or roles: how many from now on, and what their lists are called. */
export function StaffDialog({ start, whole, first, onClose }: StaffProps) {
  const by = useStore((session) => session.by);
  const set = useStore((session) => session.set);
  const { now, staff } = start.state;
  const { clock } = whole;
  const bands = whole.shifts.filter(({ from, to }) => to > now && from < now + AHEAD);
  const of = (index: number) => {
    const band = bands[index];
    if (!band) return { technicians: 0, names: [] as string[] };
    const part = partAt(start, band);
    return {
      technicians: part.technicians,
      names: [...namedOf(whole, staff)({ ...part, from: Math.max(now, part.from) })],
    };
  };
  const [chosen, setChosen] = useState(0);
  const [{ technicians, names }, setFilled] = useState(() => of(0));
  const band = bands[chosen];
  const write = () => {
    if (!band) return;
    const all = Array.from({ length: technicians }, (_, index) => names[index]?.trim() ?? '');
    const named = all.some((name) => name !== '');
    note([
      {
        kind: 'staff',
        by,
        ...entryTime(clock, now),
        shift: band.shift,
        date: clock.localOf(band.from).slice(0, 10),
        technicians,
        ...(named && { names: all.map((name, index) => name || `${band.shift} ${index + 1}`) }),
      } as unknown as Draft,
    ]);
    onClose();
  };
  return (
    <Dialog title="Who is on shift" onClose={onClose}>
      {bands.length === 0 ? (
        <p>No shift is on in the next 24 hours.</p>
      ) : (
        <>
          <div className="choices">
            {bands.map((one, index) => (
              <button
                type="button"
                key={`${one.shift} ${one.from}`}
                aria-pressed={index === chosen}
                onClick={() => {
                  setChosen(index);
                  setFilled(of(index));
                }}
              >
                {one.shift}, {spanText(clock, Math.max(0, one.from), one.to)}
              </button>
            ))}
          </div>
          <CountPick
            label={now >= band!.from ? 'Technicians from now to the end of the shift' : 'Technicians'}
            value={technicians}
            most={20}
            onChange={(count) => setFilled({ technicians: count, names })}
          />
          <p className="muted">Initials, a label or a role. Type no full names.</p>
          <div className="names">
            {Array.from({ length: technicians }, (_, index) => (
              <input
                // biome-ignore lint/suspicious/noArrayIndexKey: the place in the list is what it is
                key={index}
                aria-label={`Technician ${index + 1}`}
                placeholder={`${band!.shift} ${index + 1}`}
                maxLength={12}
                size={10}
                value={names[index] ?? ''}
                onChange={(event) => {
                  const next = Array.from({ length: technicians }, (_, at) => names[at] ?? '');
                  next[index] = event.target.value;
                  setFilled({ technicians, names: next });
                }}
              />
            ))}
          </div>
          {first && (
            <p className="warn">This begins the record. From then on the plan goes on from what is noted.</p>
          )}
        </>
      )}
      <InitialsPick value={by} onChange={(initials) => set({ by: initials })} />
      <div className="actions">
        <button type="button" onClick={onClose}>
          Cancel
        </button>
        <button type="button" className="main big-button" disabled={!band || by === ''} onClick={write}>
          {band ? `Note: ${countText(technicians, 'technician')}, ${band.shift}` : 'No shift'}
          {by === '' ? ' (initials first)' : ''}
        </button>
      </div>
    </Dialog>
  );
}
