import { useState } from 'react';
import type { Start } from '../../record/from.ts';
import { entryTime } from '../../record/minuteOf.ts';
import { entryText } from '../../reports/day/entryText.ts';
import { countText } from '../../words/numbers.ts';
import { Card, Signal } from '../look/Parts.tsx';
import { note, useStore } from '../state/store.ts';

const SHOWN = 40;
/** Of what does not fit: the rest is counted, and told in full on the handover page. */
const ODD_SHOWN = 8;

/** What was noted, the latest first. Nothing is changed or removed: an entry that is wrong is said not to count. */
export function Journal({ start }: { start: Start }) {
  const record = useStore((state) => state.record);
  const by = useStore((state) => state.by);
  const whole = useStore((state) => state.problem);
  const [asked, setAsked] = useState<string | null>(null);
  const { clock } = start.problem;
  const void_ = new Set(record.noted.flatMap(({ entry }) => (entry.kind === 'void' ? [entry.of] : [])));
  const latest = [...record.noted]
    .sort((a, b) => (a.entry.noted < b.entry.noted ? 1 : a.entry.noted > b.entry.noted ? -1 : 0))
    .slice(0, SHOWN);
  return (
    <Card title="Noted" about={`${countText(record.noted.length, 'entry', 'entries')}, the latest first`}>
      {record.faults.slice(0, 5).map((fault) => (
        <p key={fault}>
          <Signal tone="bad">{fault}</Signal>
        </p>
      ))}
      {start.state.doubts.slice(0, ODD_SHOWN).map(({ entry, wrong, expected }) => (
        <p key={`${entry} ${wrong}`}>
          <Signal tone="warn">
            {entry ? `${entry}: ` : ''}
            {wrong}. Expected: {expected}.
          </Signal>
        </p>
      ))}
      {start.state.doubts.length > ODD_SHOWN && (
        <p>
          <Signal tone="warn">
            {countText(start.state.doubts.length - ODD_SHOWN, 'more thing', 'more things')} to correct. Print
            the handover: it has all of them.
          </Signal>
        </p>
      )}
      <ol className="journal">
        {latest.map(({ entry }) => (
          <li key={entry.id} className={void_.has(entry.id) ? 'void' : undefined}>
            <span className="number">{(entry.at ?? entry.noted).slice(11, 16)}</span>{' '}
            {entryText(entry, whole ?? start.problem, start.state.lots)}{' '}
            <small className="muted">
              {entry.by}, {entry.id}
            </small>{' '}
            {entry.kind !== 'void' && !void_.has(entry.id) && (
              <button
                type="button"
                className="link"
                disabled={by === ''}
                onClick={() => {
                  if (asked !== entry.id) return setAsked(entry.id);
                  setAsked(null);
                  note([
                    {
                      kind: 'void',
                      by,
                      ...entryTime(clock, start.state.now),
                      of: entry.id,
                      why: 'noted wrongly',
                    },
                  ]);
                }}
              >
                {asked === entry.id ? 'Tap again: it does not count' : 'Wrong entry'}
              </button>
            )}
          </li>
        ))}
      </ol>
    </Card>
  );
}
