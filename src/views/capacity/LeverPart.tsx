import { useState } from 'react';
import { type LeverForm, leverForms, leversOf, leversTyped } from '../../capacity/answers/leverForms.ts';
import { type Lever, type LeverSaving, together } from '../../capacity/answers/levers.ts';
import type { Study } from '../../capacity/answers/study.ts';
import { withError } from '../../reports/capacityWords.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText, numberText, plural } from '../../words/numbers.ts';
import { LeverTable } from './LeverTable.tsx';

interface LeverPartProps {
  readonly made: Study;
  readonly savings: readonly LeverSaving[];
  readonly busy: boolean;
  readonly change: (levers: readonly Lever[], how: 'each' | 'combined') => void;
  /** Keeps a scenario as a variant beside this one. */
  readonly onKeep?: ((name: string, scenario: Scenario) => void) | undefined;
}

/** An empty one asks nothing. */
const isGood = (form: LeverForm, text: string | undefined): boolean =>
  text === undefined || text.trim() === '' || leversTyped(form, text) !== null;

/** The numbers of the changes, each with its unit; an empty one is not asked about. */
function Numbers({
  forms,
  values,
  onType,
}: {
  readonly forms: readonly LeverForm[];
  readonly values: Readonly<Record<string, string>>;
  readonly onType: (id: string, value: string) => void;
}) {
  return (
    <div className="capacity-levers">
      {forms.map((form) => {
        const { id, label, unit, min, max, usual } = form;
        return (
          <label key={id}>
            {label}{' '}
            <input
              inputMode="decimal"
              size={9}
              value={values[id] ?? String(usual)}
              aria-invalid={!isGood(form, values[id])}
              title={`${min} to ${max} ${unit}, or a range such as 19 to 25`}
              onChange={({ target }) => onType(id, target.value)}
            />{' '}
            {unit}
            {!isGood(form, values[id]) && (
              <span className="bad-text">
                {' '}
                Expected: {numberText(min)} to {numberText(max)} {unit}, or a range such as 19 to 25
              </span>
            )}
          </label>
        );
      })}
    </div>
  );
}

/** What each change saves, the most telling on top; changes can be combined and kept as a variant. */
export function LeverPart({ made, savings, busy, change, onKeep }: LeverPartProps) {
  const { scenario, smallest, own, rows, draws } = made;
  const [values, setValues] = useState<Readonly<Record<string, string>>>({});
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [kept, setKept] = useState<string | null>(null);
  const forms = leverForms(scenario);
  const typed = forms.flatMap((form) => leversTyped(form, values[form.id] ?? String(form.usual)) ?? []);
  const known = [...typed, ...leversOf(scenario)];
  const picked = chosen.flatMap((id) => known.find((lever) => lever.id === id) ?? []);
  const changed = typed.filter(({ id }) => !savings.some((one) => one.id === id));
  const mine = rows[own - 1];
  const tick = (id: string, on: boolean) =>
    setChosen((before) => (on ? [...before, id] : before.filter((one) => one !== id)));
  return (
    <section className="capacity-part">
      <h3>What-if changes: what each would save</h3>
      <p className="muted">
        {made.supplied && 'With unlimited supplies. '}
        {mine && `Now: ${withError(mine.shortageChance, mine.chanceError)} of runs are short. `}
        {smallest !== null &&
          `Now: ${countText(smallest, 'machine')} ${plural(smallest, 'is', 'are')} enough. `}
        The changes are compared on the first {numberText(Math.min(draws, 500))} of the same runs. Doses,
        hours and baths remain the prescriber’s decision.
      </p>
      <details>
        <summary>Type other numbers, or ranges such as 19 to 25</summary>
        <Numbers
          forms={forms}
          values={values}
          onType={(id, value) => setValues((before) => ({ ...before, [id]: value }))}
        />
        <button type="button" disabled={busy || changed.length === 0} onClick={() => change(changed, 'each')}>
          Simulate {countText(changed.length, 'changed number')}
        </button>
      </details>
      <LeverTable
        savings={savings}
        chosen={chosen}
        canTick={(id) => known.some((lever) => lever.id === id)}
        onTick={tick}
      />
      <p className="capacity-actions">
        <button type="button" disabled={busy || picked.length < 2} onClick={() => change(picked, 'combined')}>
          Combine selected ({picked.length})
        </button>
        {onKeep && (
          <button
            type="button"
            disabled={picked.length === 0}
            onClick={() => {
              const all = together(picked);
              onKeep(all.label, all.apply(scenario));
              setKept(all.label);
            }}
          >
            Keep selected as a variant
          </button>
        )}
        {kept !== null && <span role="status">✓ Kept: {kept}. Find it in Compare variants.</span>}
      </p>
    </section>
  );
}
