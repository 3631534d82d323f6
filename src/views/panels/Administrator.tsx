import { useMemo } from 'react';
import { supplySeries } from '../../reports/supplySeries.ts';
import { numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import { Shortages } from './Shortages.tsx';

/** The plan of a careful person beside ours. */
function ByHandTable({ planned }: { planned: Planned }) {
  const byHand = useStore((state) => state.byHand);
  if (!byHand) return null;
  const count = (kind: string, list: readonly { kind: string }[]) =>
    list.filter((one) => one.kind === kind).length;
  const { plan } = planned;
  const rows: readonly (readonly [string, string, number, number])[] = [
    ['Unmet', 'L', plan.score.unmetLitres, byHand.score.unmetLitres],
    ['Short of the reserve', 'bags', plan.score.reserveShort, byHand.score.reserveShort],
    ['Hands-on work', 'h', plan.score.handsOnMinutes / 60, byHand.score.handsOnMinutes / 60],
    ['Expired unused', 'bags', plan.score.expiredBags, byHand.score.expiredBags],
    ['Bath changes', '', count('bath', plan.activities), count('bath', byHand.activities)],
    ['New circuits', '', count('circuit', plan.activities), count('circuit', byHand.activities)],
  ];
  return (
    <section>
      <h3>Planned, and by hand</h3>
      <table className="plain">
        <thead>
          <tr>
            <td />
            <th scope="col" className="number">
              Planned
            </th>
            <th scope="col" className="number">
              By hand
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([label, unit, ours, theirs]) => (
            <tr key={label}>
              <th scope="row">
                {label} {unit && <small className="muted">({unit})</small>}
              </th>
              <td className="number">{numberText(ours)}</td>
              <td className="number">{numberText(theirs)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="muted">
        By hand: what a careful person would write. Earliest need first, a new circuit when the old one ends,
        no looking ahead.
      </p>
    </section>
  );
}

/** What is short, when, and what would clear it. */
export function Administrator({ planned }: { planned: Planned }) {
  const { problem, plan } = planned;
  const supplies = useMemo(() => supplySeries(problem, plan.activities), [problem, plan]);
  const out = supplies.filter(({ runsOut, firstShort }) => runsOut !== null || firstShort !== null);
  return (
    <>
      <Shortages planned={planned} />
      <section>
        <h3>Supplies that run out</h3>
        {out.length === 0 ? (
          <p>No supply runs out in this plan.</p>
        ) : (
          <ul className="bare">
            {out.map(({ item, runsOut, firstShort }) => (
              <li key={item}>
                <b>{item}</b>: {whenText(problem.clock, runsOut ?? firstShort ?? 0)}
              </li>
            ))}
          </ul>
        )}
      </section>
      <ByHandTable planned={planned} />
    </>
  );
}
