import { useMemo } from 'react';
import { compile } from '../../scenario/problem/compile.ts';
import { Compare } from '../pictures/Compare.tsx';
import { useHost } from '../state/hostContext.ts';
import type { Planned } from '../state/planned.ts';
import { useStore, type Variant } from '../state/store.ts';

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

/** Calls a variant what a person typed, in its place among the others; nothing typed leaves the title as it was. */
function entitle(name: string, title: string): void {
  const { variants, set } = useStore.getState();
  if (title.trim() === '') return;
  set({ variants: variants.map((one) => (one.name === name ? { ...one, title: title.trim() } : one)) });
}

/** Variants kept side by side with the scenario on screen. */
export function ComparePart({ planned }: { planned: Planned }) {
  const variants = useStore((state) => state.variants);
  const { saveExport } = useHost();
  const { edit, set } = useStore.getState();
  const shown = useMemo(
    () => [
      ...variants.flatMap(({ name, title, scenario, plan }) =>
        plan
          ? [{ name, ...(title !== undefined && { title }), scenario, problem: compile(scenario), plan }]
          : [],
      ),
      {
        name: 'now',
        title: 'on screen',
        scenario: planned.scenario,
        problem: planned.problem,
        plan: planned.plan,
      },
    ],
    [variants, planned],
  );
  return (
    <>
      <div className="pane-head">
        <button type="button" className="main" onClick={() => keep(planned)}>
          Keep this scenario as a variant
        </button>
        {variants.map(({ name, title, scenario }) => (
          <span key={name} className="group">
            {title !== undefined && (
              <input
                key={title}
                className="variant-title"
                aria-label={`Name of variant ${name}`}
                defaultValue={title}
                onBlur={({ target }) => entitle(name, target.value)}
                onKeyDown={({ key, currentTarget }) => {
                  if (key === 'Enter') currentTarget.blur();
                }}
              />
            )}
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
            <button
              type="button"
              aria-label={`Remove variant ${name}`}
              onClick={() => set({ variants: variants.filter((variant) => variant.name !== name) })}
            >
              ✕
            </button>
          </span>
        ))}
        {variants.length === 0 && (
          <p>
            Keep this scenario as a variant, change something, then compare inputs, needs, work and supplies.
          </p>
        )}
      </div>
      <Compare variants={shown} onExport={saveExport} />
    </>
  );
}
