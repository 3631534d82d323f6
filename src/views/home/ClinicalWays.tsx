import { clinicalText, PRESCRIBER } from '../../reports/clinicalWords.ts';
import { canAskClinical } from '../state/clinical.ts';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';

/** What a prescriber could decide against what is unmet, looked for on demand and shown as it comes. */
export function ClinicalWays({ planned }: { planned: Planned }) {
  const may = useStore(canAskClinical);
  const asked = useStore(({ clinical }) => (clinical?.of === planned.plan.activities ? clinical : null));
  const searching = useStore(({ planning }) => planning.state === 'planning');
  const ask = useStore((state) => state.askClinical);
  const stop = useStore((state) => state.stopClinical);
  if (!may || planned.plan.score.unmetLitres <= 1e-6) return null;
  const seen = asked?.ways.filter(({ kind }) => kind === 'substitute').length ?? 0;
  const unseen = asked?.state === 'answered' && seen < (planned.scenario.substitutes?.length ?? 0);
  return (
    <section>
      <h3>Dose, hours, bath, delivery</h3>
      <p className="muted">{PRESCRIBER}</p>
      {asked?.state === 'failed' && (
        <p className="bad" role="alert">
          ✕ {asked.message}
        </p>
      )}
      {asked && asked.ways.length > 0 && (
        <ul className="reliefs">
          {asked.ways.map((way) => {
            const { tone, text, more } = clinicalText(planned.problem, way);
            return (
              <li key={text}>
                {tone === 'good' ? '✓ ' : '– '}
                {text}
                {more.map((line) => (
                  <div className="muted" key={line}>
                    {line}
                  </div>
                ))}
              </li>
            );
          })}
        </ul>
      )}
      {unseen && <p className="muted">The time was up before every substitute was looked at.</p>}
      {asked?.state === 'asking' ? (
        <p role="status">
          Looking for ways out.{' '}
          <button type="button" onClick={stop}>
            Stop
          </button>
        </p>
      ) : (
        (!asked || asked.state === 'failed') && (
          <button
            type="button"
            onClick={ask}
            disabled={searching}
            title={searching ? 'Wait until the search for a plan has ended' : undefined}
          >
            Look for ways out
          </button>
        )
      )}
    </section>
  );
}
