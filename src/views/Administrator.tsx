import { useMemo } from 'react';
import { supplySeries } from '../sheets/supplySeries.ts';
import { numberText, whenText } from '../sheets/words.ts';
import type { Planned } from './planned.ts';
import { useStore } from './store.ts';

/** The plan of a careful person beside ours. */
function ByHandTable({ planned }: { planned: Planned }) {
  const byHand = useStore((state) => state.byHand);
  if (!byHand) return null;
  const count = (kind: string, list: readonly { kind: string }[]) =>
    list.filter((one) => one.kind === kind).length;
  const { plan } = planned;
  const rows: readonly (readonly [string, string, number, number])[] = [
    ['Unmet', 'L', plan.score.unmetLitres, byHand.score.unmetLitres],
    ['Reserve short', 'bags', plan.score.reserveShort, byHand.score.reserveShort],
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
        By hand: earliest need first, a new circuit when the old one ends, no looking ahead.
      </p>
    </section>
  );
}

/** What is short, when, and what would clear it. */
export function Administrator({ planned }: { planned: Planned }) {
  const { problem, plan } = planned;
  const unmet = useMemo(() => plan.needs.filter(({ unmetLitres }) => unmetLitres > 1e-6), [plan]);
  const supplies = useMemo(() => supplySeries(problem, plan.activities), [problem, plan]);
  const out = supplies.filter(({ runsOut, firstShort }) => runsOut !== null || firstShort !== null);
  const fills = problem.rules.fillLitres;
  return (
    <>
      <section>
        <h3>Needs that nothing covers</h3>
        {unmet.length === 0 ? (
          <p className="pill good">✓ Every need of the plan is covered.</p>
        ) : (
          <table className="plain">
            <thead>
              <tr>
                <th scope="col">Round</th>
                <th scope="col">Bath</th>
                <th scope="col" className="number">
                  Bags short
                </th>
              </tr>
            </thead>
            <tbody>
              {unmet.map((need) => (
                <tr key={`${need.bath} ${need.round}`}>
                  <td>{need.round === 0 ? 'at the start' : whenText(problem.clock, need.at)}</td>
                  <td>{need.bath}</td>
                  <td className="number bad">{numberText(need.unmetLitres / fills)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>
      <section>
        <h3>Supplies that run out</h3>
        {out.length === 0 ? (
          <p>None in this plan.</p>
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
