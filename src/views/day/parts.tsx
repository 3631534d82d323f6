import { useState } from 'react';
import type { Clock } from '../../calendar/clock.ts';
import { countText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';

interface MinuteProps {
  readonly clock: Clock;
  readonly value: number;
  readonly onChange: (minute: number) => void;
  /** Not later than now: what is noted was done. */
  readonly latest: number;
}

/** The minute at which something was done: now, or some minutes before; typed times are not needed. */
export function MinutePick({ clock, value, onChange, latest }: MinuteProps) {
  const by = (minutes: number) => onChange(Math.min(latest, value + minutes));
  return (
    <div className="minute-pick">
      {[-15, -5, -1].map((step) => (
        <button
          type="button"
          key={step}
          onClick={() => by(step)}
          aria-label={`${countText(-step, 'minute')} earlier`}
        >
          −{-step}
        </button>
      ))}
      <output aria-live="polite" title={whenText(clock, value)}>
        {timeText(clock, value)}
      </output>
      {[1, 5].map((step) => (
        <button
          type="button"
          key={step}
          disabled={value + step > latest}
          onClick={() => by(step)}
          aria-label={`${countText(step, 'minute')} later`}
        >
          +{step}
        </button>
      ))}
    </div>
  );
}

interface CountProps {
  readonly label: string;
  readonly value: number;
  readonly most: number;
  readonly onChange: (count: number) => void;
}

/** A count of bags by taps. */
export const CountPick = ({ label, value, most, onChange }: CountProps) => (
  <div className="count-pick">
    <span>{label}</span>
    <button
      type="button"
      aria-label={`${label}: one less`}
      disabled={value <= 0}
      onClick={() => onChange(value - 1)}
    >
      −
    </button>
    <output aria-live="polite">{value}</output>
    <button
      type="button"
      aria-label={`${label}: one more`}
      disabled={value >= most}
      onClick={() => onChange(value + 1)}
    >
      +
    </button>
  </div>
);

const KNOWN = 'bathtide.initials';
const knownInitials = (): string[] => {
  try {
    const list: unknown = JSON.parse(localStorage.getItem(KNOWN) ?? '[]');
    return Array.isArray(list) ? list.filter((one) => typeof one === 'string') : [];
  } catch {
    return [];
  }
};

/** Who notes: one tap for those who have noted on this computer before. */
export function InitialsPick({ value, onChange }: { value: string; onChange: (by: string) => void }) {
  const [known, setKnown] = useState(knownInitials);
  const [typed, setTyped] = useState('');
  const add = () => {
    const by = typed.trim().slice(0, 12);
    if (by === '') return;
    const next = [by, ...known.filter((one) => one !== by)].slice(0, 12);
    localStorage.setItem(KNOWN, JSON.stringify(next));
    setKnown(next);
    setTyped('');
    onChange(by);
  };
  return (
    <fieldset className="initials">
      <legend>Initials</legend>
      {known.map((one) => (
        <button type="button" key={one} aria-pressed={one === value} onClick={() => onChange(one)}>
          {one}
        </button>
      ))}
      <input
        value={typed}
        aria-label="Other initials or staff code"
        placeholder="e.g. AB"
        maxLength={12}
        size={6}
        onChange={(event) => setTyped(event.target.value)}
        onKeyDown={(event) => {
          if (event.key === 'Enter') {
            event.preventDefault();
            add();
          }
        }}
      />
      <button type="button" onClick={add} disabled={typed.trim() === ''}>
        Add
      </button>
    </fieldset>
  );
}
