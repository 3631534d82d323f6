import { Fragment, useMemo } from 'react';
import { bedsServed } from '../../plan/short.ts';
import type { Relief, Shortage } from '../../planner/plan.ts';
import { countText, missingText } from '../../words/numbers.ts';
import { roundHead } from '../../words/times.ts';
import { Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { isRecorded } from '../state/session.ts';
import { useStore } from '../state/store.ts';

/** What clears or reduces a shortage, each limit alone; what did not help can be unfolded. */
function Reliefs({ reliefs }: Pick<Shortage, 'reliefs'>) {
  const not = reliefs.filter(({ effect }) => effect === 'does not help');
  const cannot = not.filter(({ proven }) => proven);
  const idle = not.filter(({ proven }) => !proven);
  const list = (shown: readonly Relief[]) => (
    <ul className="reliefs">
      {shown.map(({ sentence, effect }) => (
        <li key={sentence} className={effect === 'does not help' ? 'muted' : undefined}>
          {effect === 'clears' ? '✓ ' : effect === 'reduces' ? '▼ ' : '– '}
          {sentence}
        </li>
      ))}
    </ul>
  );
  return (
    <>
      {list(reliefs.filter(({ effect }) => effect !== 'does not help'))}
      {cannot.length > 0 && (
        <details>
          <summary>Proven: {countText(cannot.length, 'limit')} cannot help alone</summary>
          {list(cannot)}
        </details>
      )}
      {idle.length > 0 && (
        <details>
          <summary>{countText(idle.length, 'limit')} did not help alone in a short search</summary>
          {list(idle)}
        </details>
      )}
    </>
  );
}

/** What several shortages ask for alike. */
const sharedBy = (shortages: readonly Shortage[]): boolean => {
  const changes = shortages.flatMap(({ reliefs }) =>
    reliefs.flatMap(({ limit, effect, change }) =>
      limit !== 'stock' && effect !== 'does not help' ? change : [],
    ),
  );
  return new Set(changes).size < changes.length;
};

/** What would have covered the unmet needs, limit by limit. Asked for on demand: it plans many times. */
function Why({ planned }: { planned: Planned }) {
  const asked = useStore(({ explained }) => (explained?.of === planned.plan.activities ? explained : null));
  const explain = useStore((state) => state.explain);
  const stop = useStore((state) => state.stopExplaining);
  const recorded = useStore(isRecorded);
  if (recorded)
    return (
      <p className="muted">
        What would help is looked for from a scenario’s start only. For an answer from now on, continue in a
        new scenario.
      </p>
    );
  if (asked && asked.state !== 'failed')
    return (
      <>
        {asked.state === 'asking' && (
          <p role="status">
            Trying one limit at a time. Plans made: {asked.replans}.{' '}
            <button type="button" onClick={stop}>
              Stop
            </button>
          </p>
        )}
        {sharedBy(asked.shortages) && (
          <p className="muted">A change named for more than one shortage is needed only once.</p>
        )}
        {asked.shortages.map((shortage) => (
          <section key={`${shortage.bath} ${shortage.firstRound}`} className="chosen">
            <p>
              <b>{shortage.sentence}</b>
            </p>
            <Reliefs reliefs={shortage.reliefs} />
          </section>
        ))}
      </>
    );
  return (
    <>
      {asked && (
        <p className="bad" role="alert">
          ✕ {asked.message}
        </p>
      )}
      <button type="button" className="main" onClick={explain}>
        What would help?
      </button>
    </>
  );
}

/** Which rounds miss bags, and what would clear that. */
export function Shortages({ planned }: { planned: Planned }) {
  const { problem, plan, demand } = planned;
  const served = useMemo(() => bedsServed(problem, demand), [problem, demand]);
  const unmet = useMemo(() => plan.needs.filter(({ unmetLitres }) => unmetLitres > 1e-6), [plan]);
  const bedsOf = ({ bath, round }: (typeof unmet)[number]) =>
    served(problem.baths.indexOf(bath), round).map((patient) => problem.patients[patient]!.id);
  const fills = problem.rules.fillLitres;
  return (
    <section>
      <h3>Unmet need</h3>
      {unmet.length === 0 ? (
        <p>
          <Signal tone="good">Every need of the plan is met.</Signal>
        </p>
      ) : (
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Bag round</th>
              <th scope="col">Bath</th>
              <th scope="col" className="number">
                Unmet
              </th>
            </tr>
          </thead>
          <tbody>
            {unmet.map((need) => (
              <Fragment key={`${need.bath} ${need.round}`}>
                <tr>
                  <td>{roundHead(problem.clock, need)}</td>
                  <td>{need.bath}</td>
                  <td className="number bad">{missingText(need.unmetLitres, fills)}</td>
                </tr>
                <tr>
                  <td colSpan={3} className="muted">
                    Beds that wait for these bags: {bedsOf(need).join(', ') || 'not known'}
                  </td>
                </tr>
              </Fragment>
            ))}
          </tbody>
        </table>
      )}
      {unmet.length > 0 && <Why planned={planned} />}
    </section>
  );
}
