import { useState } from 'react';
import type { Draft } from '../../record/entries.ts';
import { entryTime } from '../../record/minuteOf.ts';
import type { Act, PlaceNow } from '../../reports/day/places.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { timeText } from '../../words/times.ts';
import { note, useStore } from '../state/store.ts';
import { Dialog } from './Dialog.tsx';
import type { Filled } from './form.ts';
import { ActForm, BUTTONS, defaultOf, TITLES } from './forms.tsx';
import { InitialsPick, MinutePick } from './parts.tsx';

interface NoteProps {
  readonly place: PlaceNow;
  readonly first: Act;
  readonly problem: Problem;
  readonly scenario: Scenario;
  readonly now: number;
  readonly onClose: () => void;
}

/** Notes one thing done at one place: what, when, who. The button says all of it before it is pressed. */
export function NoteDialog({ place, first, problem, scenario, now, onClose }: NoteProps) {
  const [act, setAct] = useState<Act>(first);
  const [minute, setMinute] = useState(now);
  const by = useStore((state) => state.by);
  const set = useStore((state) => state.set);
  const given = { place, problem, scenario };
  const [filled, setFilled] = useState<Filled | null>(() => defaultOf(first, given));
  const { clock } = problem;
  const early = act === 'off' && place.window !== null && minute < place.window.from;
  const write = () => {
    if (!filled) return;
    note([{ kind: act, by, ...entryTime(clock, minute), ...filled.fields } as unknown as Draft]);
    onClose();
  };
  return (
    <Dialog title={`${place.id}: ${TITLES[act]}`} onClose={onClose}>
      <div className="choices acts">
        {place.acts.map((one) => (
          <button
            type="button"
            key={one}
            aria-pressed={one === act}
            onClick={() => {
              setAct(one);
              setFilled(defaultOf(one, given));
            }}
          >
            {BUTTONS[one]}
          </button>
        ))}
      </div>
      <ActForm key={act} act={act} {...given} onFill={setFilled} />
      <MinutePick clock={clock} value={minute} latest={now} onChange={setMinute} />
      {early && (
        <p className="warn">
          Before {timeText(clock, place.window!.from)} a bag may be too empty. Such bags go on hold.
        </p>
      )}
      <InitialsPick value={by} onChange={(initials) => set({ by: initials })} />
      <div className="actions">
        <button type="button" onClick={onClose}>
          Cancel
        </button>
        <button type="button" className="main big-button" disabled={!filled || by === ''} onClick={write}>
          {filled ? `Note: ${filled.says}, ${timeText(clock, minute)}` : 'Fill in what was measured'}
          {by === '' ? ' (initials first)' : ''}
        </button>
      </div>
    </Dialog>
  );
}
