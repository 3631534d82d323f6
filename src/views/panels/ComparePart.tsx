import { useMemo, useState } from 'react';
import { chiefPage } from '../../reports/chief.ts';
import { countText } from '../../words/numbers.ts';
import { Compare } from '../pictures/Compare.tsx';
import { useHost } from '../state/hostContext.ts';
import type { Planned } from '../state/planned.ts';
import { searchAlike } from '../state/searchAlike.ts';
import { isRecorded } from '../state/session.ts';
import { useStore, type Variant } from '../state/store.ts';
import { ChiefPage } from './ChiefPage.tsx';
import { shownVariants } from './shownVariants.ts';

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/** Keeps a variant; one of the same name is replaced. */
export function keepVariant(variant: Variant): void {
  const { variants, set } = useStore.getState();
  set({ variants: [...variants.filter(({ name }) => name !== variant.name), variant] });
}

/** Keeps the scenario and its plan of this moment under the next free letter. */
function keep({ scenario, plan }: Planned): void {
  const state = useStore.getState();
  const { variants, history } = state;
  const letter = LETTERS.split('').find((one) => !variants.some(({ name }) => name === one));
  const title = history.past.at(-1)?.label ?? 'as opened';
  // Of a recorded day it is a plan of what was left then: no plan of the scenario.
  const own = isRecorded(state) ? null : plan;
  keepVariant({ name: letter ?? `V${variants.length + 1}`, title, scenario, plan: own });
}

/** What a person typed of a variant, in its place among the others; a title that is emptied stays as it was. */
function describe(name: string, part: { readonly title?: string; readonly note?: string }): void {
  const { variants, set } = useStore.getState();
  const said = { ...part, ...(part.title !== undefined && { title: part.title.trim() }) };
  if (said.title === '') return;
  set({ variants: variants.map((one) => (one.name === name ? { ...one, ...said } : one)) });
}

/** One variant: its name, its notes, and what can be done with it. */
function VariantLine({ variant }: { variant: Variant }) {
  const { name, title, note, scenario, broken } = variant;
  const { edit, set } = useStore.getState();
  const typed = (label: string, value: string, key: 'title' | 'note') => (
    <input
      key={value}
      className={`variant-${key}`}
      aria-label={`${label} of variant ${name}`}
      placeholder={key === 'note' ? 'Notes' : undefined}
      defaultValue={value}
      onBlur={({ target }) => target.value !== value && describe(name, { [key]: target.value })}
      onKeyDown={({ key: pressed, currentTarget }) => {
        if (pressed === 'Enter') currentTarget.blur();
      }}
    />
  );
  return (
    <span className="group">
      {title !== undefined && typed('Name', title, 'title')}
      {typed('Notes', note ?? '', 'note')}
      {broken ? (
        <span className="warn">! {name} cannot be read here. It stays in the file.</span>
      ) : (
        <button
          type="button"
          onClick={() =>
            edit(`back to variant ${name}`, (draft) => {
              for (const key of Object.keys(draft)) delete draft[key];
              Object.assign(draft, scenario);
            })
          }
        >
          Take {name}
        </button>
      )}
      <button
        type="button"
        aria-label={`Remove variant ${name}`}
        onClick={() => {
          const { variants } = useStore.getState();
          set({ variants: variants.filter((one) => one.name !== name) });
        }}
      >
        ✕
      </button>
    </span>
  );
}

/** The variants with a plan each, and the scenario on screen; `alike`: plans that were searched with the same effort. */
function useShown(planned: Planned) {
  const variants = useStore((state) => state.variants);
  const plans = useStore((state) => state.alike);
  const whole = useStore((state) => state.problem);
  const recorded = useStore(isRecorded);
  return useMemo(
    () => shownVariants({ variants, plans, planned, whole: recorded ? whole : null }),
    [variants, plans, planned, whole, recorded],
  );
}

/** Variants kept side by side with the scenario on screen. */
export function ComparePart({ planned }: { planned: Planned }) {
  const variants = useStore((state) => state.variants);
  const { saveExport, say } = useHost();
  const [share, setShare] = useState<number | null>(null);
  const { shown, alike, scenarios, unplanned } = useShown(planned);
  const recorded = useStore(isRecorded);
  const page = useMemo(() => (shown.length > 1 ? chiefPage(shown, alike) : null), [shown, alike]);
  const search = async () => {
    setShare(0);
    try {
      const made = await searchAlike(scenarios, (done) =>
        setShare((before) => (before === null ? null : done)),
      );
      useStore.getState().set({ alike: made });
    } catch (error) {
      say({ tone: 'bad', text: error instanceof Error ? error.message : String(error) });
    } finally {
      setShare(null);
    }
  };
  return (
    <>
      <div className="pane-head">
        <button type="button" className="main" onClick={() => keep(planned)}>
          Keep this scenario as a variant
        </button>
        {scenarios.length > 1 && (
          <button type="button" disabled={share !== null || alike} onClick={() => void search()}>
            {alike
              ? 'All searched with the same effort'
              : `Search all ${countText(scenarios.length, 'plan')} with the same effort`}
          </button>
        )}
        {share !== null && <progress aria-label="Search with the same effort" value={share} max={1} />}
        {variants.map((variant) => (
          <VariantLine key={variant.name} variant={variant} />
        ))}
        {recorded && (
          <p className="warn">
            ! The record is left out here. Each plan begins at its scenario’s start, with the stock typed
            there.
          </p>
        )}
        {unplanned > 0 && (scenarios.length > 1 || !recorded) && (
          <p className="warn">
            ! {countText(unplanned, 'variant')} without a plan yet: search all with the same effort.
          </p>
        )}
        {variants.length === 0 && (
          <p>
            Keep this scenario as a variant, change something, then compare inputs, needs, work and supplies.
            Variants are saved in the file.
          </p>
        )}
      </div>
      {page && <ChiefPage page={page} />}
      <Compare variants={shown} alike={alike} onExport={saveExport} />
    </>
  );
}
