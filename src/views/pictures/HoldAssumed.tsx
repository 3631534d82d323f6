import { ENOUGH, type Learned, withLearned } from '../../hold/learned.ts';
import type { Variation } from '../../hold/variation.ts';
import { learnedText } from '../../reports/holdText.ts';
import { countText } from '../../words/numbers.ts';

const FIELDS: readonly {
  readonly label: string;
  readonly unit: string;
  readonly get: (of: Variation) => number;
  readonly put: (of: Variation, value: number) => Variation;
  readonly most: number;
}[] = [
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

/** What goes wrong, as typed; a number that cannot be goes back to the one before. */
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
  return (
    <div className="form-line">
      {FIELDS.map(({ label, unit, get, put, most }) => (
        <label key={`${label} ${get(of)}`}>
          {label}, {unit}
          <input
            inputMode="decimal"
            size={6}
            defaultValue={get(of)}
            onBlur={({ target }) => {
              const value = Number(target.value.replace(',', '.'));
              const good = target.value.trim() !== '' && value >= 0 && value <= most;
              if (good && value !== get(of)) change((before) => put(before, value));
              if (!good) target.value = String(get(of));
            }}
          />
        </label>
      ))}
      <button type="button" className="main" onClick={play}>
        Play {countText(days, 'day')}
      </button>
    </div>
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
