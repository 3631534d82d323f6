import { useMemo } from 'react';
import { type SupplySeries, supplySeries } from '../../reports/supplySeries.ts';
import { numberText } from '../../words/numbers.ts';
import { Scrolls, Signal } from '../look/Parts.tsx';
import { supplyFate } from '../pictures/SupplyChart.tsx';
import type { Planned } from '../state/planned.ts';
import { isRecorded } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { Shortages } from './Shortages.tsx';

/** The plan of a careful person beside ours; of a recorded day none, for it would be one of the whole scenario beside what is left. */
export function ByHandTable({ planned }: { planned: Planned }) {
  const byHand = useStore((state) => state.byHand);
  const recorded = useStore(isRecorded);
  if (!byHand || recorded) return null;
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

/** How long each supply lasts, whatever runs out first. */
export function Supplies({ planned }: { planned: Planned }) {
  const { problem, plan } = planned;
  const rows = useMemo(
    () =>
      supplySeries(problem, plan.activities)
        .map((series) => ({ ...series, ...supplyFate(problem, series) }))
        .sort((a, b) => soonest(a) - soonest(b)),
    [problem, plan],
  );
  if (rows.length === 0) return <p>No supply is listed yet. Type what is on hand in the sheet Supplies.</p>;
  return (
    <>
      {rows.every(({ bad }) => !bad) && <p>No supply runs out in this plan.</p>}
      <Scrolls label="Supplies, rows">
        <table className="rows">
          <thead>
            <tr>
              <th scope="col">Supply</th>
              <th scope="col" className="number">
                Used
              </th>
              <th scope="col" className="number">
                Left at the end
              </th>
              <th scope="col" className="grows">
                How long
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ item, used, atEnd, text, bad }) => (
              <tr key={item}>
                <th scope="row">{item}</th>
                <td className="number">{numberText(used)}</td>
                <td className="number">{numberText(atEnd)}</td>
                <td className="grows">{bad ? <Signal tone="warn">{text}</Signal> : text}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Scrolls>
    </>
  );
}
/** For an order by time: what runs out within the plan first, then what lasts least after it. */
const soonest = ({ runsOut, firstShort, lastsDays }: SupplySeries): number =>
  runsOut ?? firstShort ?? (lastsDays === null ? Number.POSITIVE_INFINITY : 1e9 + lastsDays);

/** What is short, when, and what would clear it. */
export const Administrator = ({ planned }: { planned: Planned }) => (
  <>
    <Shortages planned={planned} />
    <section>
      <h3>Supplies that run out</h3>
      <Supplies planned={planned} />
    </section>
    <ByHandTable planned={planned} />
  </>
);
