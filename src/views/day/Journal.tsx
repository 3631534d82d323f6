import { useState } from 'react';
import type { Entry } from '../../record/entries.ts';
import type { Start } from '../../record/from.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import { namedRound } from '../../words/times.ts';
import { Card, Signal } from '../look/Parts.tsx';
import { note, useStore } from '../state/store.ts';
import { entryTime } from './NoteDialog.tsx';

/** What an entry says, in a line. */
function entryText(entry: Entry, whole: Pick<Problem, 'clock' | 'rounds'>): string {
  switch (entry.kind) {
    case 'test':
      return `${entry.water}: total chlorine test ${entry.result === 'pass' ? 'passed' : 'FAILED'}${entry.totalChlorine == null ? '' : `, ${entry.totalChlorine} mg/L`}`;
    case 'circuit':
      return `${entry.machine}: new circuit for ${entry.bath}`;
    case 'bath':
      return `${entry.machine}: ${entry.bath} runs`;
    case 'fill':
      return `${entry.machine}: filling began`;
    case 'off':
      return `${entry.machine}: ${countText(entry.good, 'good bag')} off${(entry.rejected ?? []).map(({ bags, reason }) => `, ${bags} rejected (${reason})`).join('')}`;
    case 'stop':
      return `${entry.machine}: fill stopped, no usable bags${entry.why ? ` (${entry.why})` : ''}`;
    case 'reading':
      return `${entry.machine}: reading${entry.conductivity == null ? '' : ` ${entry.conductivity} mS/cm`}${entry.pH == null ? '' : `, pH ${entry.pH}`}${entry.potassium == null ? '' : `, potassium ${entry.potassium} mmol/L`}`;
    case 'hold':
    case 'release':
    case 'discard':
      return `${entry.lot}: ${entry.bags == null ? 'all bags' : countText(entry.bags, 'bag')} ${entry.kind === 'hold' ? 'on hold' : entry.kind === 'release' ? `released, noted by ${entry.by}` : 'discarded'}${entry.why ? ` (${entry.why})` : ''}`;
    case 'leave':
      return `Bag round ${namedRound(whole, entry.round)}: ${countText(
        entry.loads.reduce((sum, { bags }) => sum + bags, 0),
        'bag',
      )} left`;
    case 'arrive':
      return `${entry.lot}: ${countText(entry.bags, 'bag')} arrived`;
    case 'count':
      return `${entry.lot}: ${countText(entry.bags, 'bag')} counted`;
    case 'out':
      return `${entry.machine ?? entry.water}: unavailable${entry.until ? ` until ${entry.until.replace('T', ' ')}` : ''}`;
    case 'back':
      return `${entry.machine ?? entry.water}: available again`;
    case 'staff':
      return `${entry.shift}: ${countText(entry.technicians, 'technician')} from now on${entry.names?.length ? ` (${entry.names.join(', ')})` : ''}`;
    case 'duty':
      return `${entry.duty}: done`;
    case 'note':
      return entry.text;
    case 'void':
      return `Entry ${entry.of} does not count${entry.why ? `: ${entry.why}` : ''}`;
  }
}

const SHOWN = 40;

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
      {start.state.doubts.slice(0, 8).map(({ entry, wrong, expected }) => (
        <p key={`${entry} ${wrong}`}>
          <Signal tone="warn">
            {entry ? `${entry}: ` : ''}
            {wrong}. Expected: {expected}.
          </Signal>
        </p>
      ))}
      <ol className="journal">
        {latest.map(({ entry }) => (
          <li key={entry.id} className={void_.has(entry.id) ? 'void' : undefined}>
            <span className="number">{(entry.at ?? entry.noted).slice(11, 16)}</span>{' '}
            {entryText(entry, whole ?? start.problem)}{' '}
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
