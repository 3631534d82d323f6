import { useMemo } from 'react';
import { compile } from '../scenario/problem.ts';
import { useHost } from './hostContext.ts';
import { Compare } from './pictures/Compare.tsx';
import type { Planned } from './planned.ts';
import { useStore, type Variant } from './store.ts';

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/** Keeps a variant; one of the same name is replaced. */
export function keepVariant(variant: Variant): void {
  const { variants, set } = useStore.getState();
  set({ variants: [...variants.filter(({ name }) => name !== variant.name), variant] });
}

/** Keeps the scenario and its plan of this moment under the next free letter. */
function keep({ scenario, plan }: Planned): void {
  const { variants } = useStore.getState();
  const letter = LETTERS.split('').find((one) => !variants.some(({ name }) => name === one));
  keepVariant({ name: letter ?? `V${variants.length + 1}`, scenario, plan });
}

/** Variants kept side by side with the scenario on screen. */
export function ComparePart({ planned }: { planned: Planned }) {
  const variants = useStore((state) => state.variants);
  const { saveExport } = useHost();
  const { edit, set } = useStore.getState();
  const shown = useMemo(
    () => [
      ...variants.flatMap(({ name, scenario, plan }) =>
        plan ? [{ name, scenario, problem: compile(scenario), plan }] : [],
      ),
      { name: 'now', scenario: planned.scenario, problem: planned.problem, plan: planned.plan },
    ],
    [variants, planned],
  );
  return (
    <>
      <div className="pane-head">
        <button type="button" className="main" onClick={() => keep(planned)}>
          Keep this scenario as a variant
        </button>
        {variants.map(({ name, scenario }) => (
          <span key={name} className="group">
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
              aria-label={`Forget variant ${name}`}
              onClick={() => set({ variants: variants.filter((variant) => variant.name !== name) })}
            >
              ✕
            </button>
          </span>
        ))}
        {variants.length === 0 && (
          <p>Keep one, change something, and compare: inputs that differ, needs, work, supplies.</p>
        )}
      </div>
      <Compare variants={shown} onExport={saveExport} />
    </>
  );
}
