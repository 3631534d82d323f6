import { useState } from 'react';
import { isPlainNumber, pointed } from '../../grid/formula.ts';
import { ENOUGH, type Learned, withLearned } from '../../hold/learned.ts';
import { ASSUMED, type Variation } from '../../hold/variation.ts';
import { learnedText } from '../../reports/holdText.ts';
import { countText, numberText } from '../../words/numbers.ts';

interface Field {
  readonly label: string;
  readonly unit: string;
  readonly get: (of: Variation) => number;
  readonly put: (of: Variation, value: number) => Variation;
  readonly most: number;
}
export const FIELDS: readonly Field[] = [
  {
    label: 'Fills take longer by up to',
    unit: '%',
    get: ({ slower }) => slower * 100,
    put: (of, value) => ({ ...of, slower: value / 100 }),
    most: 50,
  },
  {
    label: 'Swaps come late by up to',
    unit: 'min',
    get: ({ swapLate }) => swapLate,
    put: (of, value) => ({ ...of, swapLate: Math.round(value) }),
    most: 120,
  },
  {
    label: 'A technician is called away',
    unit: 'times a day',
    get: ({ away }) => away.perDay,
    put: (of, value) => ({ ...of, away: { ...of.away, perDay: value } }),
    most: 50,
  },
  {
    label: 'away each time for',
    unit: 'min',
    get: ({ away }) => away.minutes,
    put: (of, value) => ({ ...of, away: { ...of.away, minutes: Math.round(value) } }),
    most: 1440,
  },
  {
    label: 'A machine is down',
    unit: 'times a day, each',
    get: ({ down }) => down.perDay,
    put: (of, value) => ({ ...of, down: { ...of.down, perDay: value } }),
    most: 10,
  },
  {
    label: 'down each time for',
    unit: 'min',
    get: ({ down }) => down.minutes,
    put: (of, value) => ({ ...of, down: { ...of.down, minutes: Math.round(value) } }),
    most: 10_080,
  },
  {
    label: 'A total chlorine test fails',
    unit: '% of tests',
    get: ({ testFails }) => testFails * 100,
    put: (of, value) => ({ ...of, testFails: value / 100 }),
    most: 100,
  },
];

/**
 * What was typed into one of the fields: a number, with its unit or without, as the person's locale writes it.
 * @param locale BCP 47; absent: the person's own
 */
export function readAssumed(
  field: Field,
  text: string,
  locale?: string,
): { readonly value: number } | { readonly wrong: string } {
  const { label, unit, get, put, most } = field;
  const typed = text.trim();
  const bare = typed.endsWith(unit) ? typed.slice(0, -unit.length).trim() : typed;
  // One or two digits behind a comma are decimals everywhere; three may be thousands, which would be read a thousand times too small.
  const plain = pointed(bare, locale).replace(/^(\d+),(\d{1,2})$/, '$1.$2');
  const value = isPlainNumber(plain) ? Number(plain) : Number.NaN;
  const whole = get(put(ASSUMED, 0.5)) !== 0.5;
  if (value >= 0 && value <= most && (!whole || Number.isInteger(value))) return { value };
  const why =
    typed === ''
      ? 'nothing is typed'
      : Number.isNaN(value)
        ? `'${typed}' is no number of ${unit}`
        : value < 0
          ? `'${typed}' is less than 0`
          : value > most
            ? `'${typed}' is more than ${numberText(most)}`
            : `'${typed}' is no whole number`;
  const kind = whole ? 'a whole number' : 'a number';
  return {
    wrong: `Will it hold? › ${label}: ${why}. Expected: ${kind} from 0 to ${numberText(most)} (${unit}).`,
  };
}

/** What goes wrong, as typed. A number that cannot be stays as typed, is named, and nothing is played with it. */
export function Assumed({
  of,
  days,
  change,
  play,
}: {
  of: Variation;
  days: number;
  change: (to: (before: Variation) => Variation) => void;
  play: () => void;
}) {
  const [wrong, setWrong] = useState<Readonly<Record<string, string>>>({});
  const told = FIELDS.flatMap((field) => {
    const text = wrong[field.label];
    return text === undefined ? [] : [{ field, text }];
  });
  const read = (field: Field, text: string) => {
    const { [field.label]: _, ...others } = wrong;
    const typed = readAssumed(field, text);
    setWrong('wrong' in typed ? { ...others, [field.label]: typed.wrong } : others);
    if ('value' in typed && typed.value !== field.get(of)) change((before) => field.put(before, typed.value));
  };
  return (
    <>
      <div className="form-line">
        {FIELDS.map((field) => (
          <label key={`${field.label} ${field.get(of)}`}>
            {field.label}, {field.unit}
            <input
              inputMode="decimal"
              size={6}
              defaultValue={field.get(of)}
              aria-invalid={field.label in wrong}
              onBlur={({ target }) => read(field, target.value)}
            />
          </label>
        ))}
        <button
          type="button"
          className="main"
          disabled={told.length > 0}
          title={told.length > 0 ? 'Correct the numbers named below first' : undefined}
          onClick={play}
        >
          Play {countText(days, 'day')}
        </button>
      </div>
      {told.map(({ field, text }) => (
        <p key={field.label} role="alert" className="bad">
          ✕ {text} Nothing is played with it. The last good number was {numberText(field.get(of))}.
        </p>
      ))}
    </>
  );
}

/** What the record shows of these numbers, with how many cases it rests on. */
export function FromRecord({
  learned,
  of,
  change,
}: {
  learned: Learned;
  of: Variation;
  change: (to: (before: Variation) => Variation) => void;
}) {
  const better = withLearned(of, learned);
  const differs = JSON.stringify(better) !== JSON.stringify(of);
  return (
    <>
      <h3>What the record shows</h3>
      <ul>
        {learnedText(learned).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {differs ? (
        <button type="button" onClick={() => change(() => better)}>
          Use the numbers from at least {countText(ENOUGH, 'case')}
        </button>
      ) : (
        <p className="muted">The numbers above stay as typed.</p>
      )}
    </>
  );
}
