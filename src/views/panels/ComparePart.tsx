import { useMemo, useState } from 'react';
import { chiefPage } from '../../reports/chief.ts';
import type { Variant as Compared } from '../../reports/compare.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText } from '../../words/numbers.ts';
import { Compare } from '../pictures/Compare.tsx';
import { useHost } from '../state/hostContext.ts';
import type { Planned } from '../state/planned.ts';
import { searchAlike } from '../state/searchAlike.ts';
import { useStore, type Variant } from '../state/store.ts';
import { ChiefPage } from './ChiefPage.tsx';

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/** Keeps a variant; one of the same name is replaced. */
export function keepVariant(variant: Variant): void {
  const { variants, set } = useStore.getState();
  set({ variants: [...variants.filter(({ name }) => name !== variant.name), variant] });
}

/** Keeps the scenario and its plan of this moment under the next free letter. */
function keep({ scenario, plan }: Planned): void {
  const { variants, history } = useStore.getState();
  const letter = LETTERS.split('').find((one) => !variants.some(({ name }) => name === one));
  const title = history.past.at(-1)?.label ?? 'as opened';
  keepVariant({ name: letter ?? `V${variants.length + 1}`, title, scenario, plan });
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
  return useMemo(() => {
    const sound = variants.filter(({ broken }) => !broken);
    const scenarios = [...sound.map(({ scenario }) => scenario), planned.scenario];
    const alike = scenarios.length > 1 && scenarios.every((scenario) => plans.has(scenario));
    const planOf = (scenario: Scenario, other: Planned['plan'] | null) =>
      alike ? plans.get(scenario)! : other;
    const shown: Compared[] = sound.flatMap(({ name, title, note, scenario, plan: made }) => {
      const plan = planOf(scenario, made);
      const said = { ...(title !== undefined && { title }), ...(note && { note }) };
      return plan ? [{ name, ...said, scenario, problem: compile(scenario), plan }] : [];
    });
    const plan = planOf(planned.scenario, planned.plan)!;
    shown.push({
      name: 'now',
      title: 'on screen',
      scenario: planned.scenario,
      problem: planned.problem,
      plan,
    });
    return { shown, alike, scenarios, unplanned: scenarios.length - shown.length };
  }, [variants, plans, planned]);
}

/** Variants kept side by side with the scenario on screen. */
export function ComparePart({ planned }: { planned: Planned }) {
  const variants = useStore((state) => state.variants);
  const { saveExport, say } = useHost();
  const [share, setShare] = useState<number | null>(null);
  const { shown, alike, scenarios, unplanned } = useShown(planned);
  const page = useMemo(() => chiefPage(shown, alike), [shown, alike]);
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
        {unplanned > 0 && (
          <p className="warn">
            ! {countText(unplanned, 'variant')} of the file without a plan yet: search all with the same
            effort.
          </p>
        )}
        {variants.length === 0 && (
          <p>
            Keep this scenario as a variant, change something, then compare inputs, needs, work and supplies.
            Variants are saved in the file.
          </p>
        )}
      </div>
      {shown.length > 1 && <ChiefPage page={page} />}
      <Compare variants={shown} alike={alike} onExport={saveExport} />
    </>
  );
}
