import { useMemo } from 'react';
import type { Held } from '../../hold/hold.ts';
import { type SlackOffer, servedShare, worthOffering } from '../../hold/offers.ts';
import { slackRows, slackText, slackTold } from '../../reports/holdText.ts';
import { numberText } from '../../words/numbers.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { useStore } from '../state/store.ts';

/** What has been looked for so far. */
export interface Offered {
  readonly offers: readonly SlackOffer[];
  readonly tried: number;
  readonly of: number;
  /** The plan on screen on the same days. */
  readonly base: Held | null;
}

/** How much of each kind of slack the plan keeps now, and the way back. */
export function SlackNow({ planned: { problem } }: { planned: Planned }) {
  const takeSlack = useStore((state) => state.takeSlack);
  if (!problem.slack) return null;
  return (
    <p>
      This plan is made with slack: {slackText(problem.slack)}.{' '}
      <button type="button" onClick={() => takeSlack(null)}>
        Plan without slack
      </button>
    </p>
  );
}

/** Plans that give up some minutes of work to hold on more days: a person picks one. */
export function SlackPart({ planned, offered }: { planned: Planned; offered: Offered }) {
  const takeSlack = useStore((state) => state.takeSlack);
  const current = useStore(isCurrent);
  const { score } = planned.plan;
  const { offers, tried, of, base } = offered;
  const plan = useMemo(() => base && { score, held: base }, [score, base]);
  const worth = useMemo(() => (plan ? worthOffering(plan, offers) : []), [plan, offers]);
  if (!plan || !current) return null;
  const rows = slackRows(plan, worth);
  const share = numberText(100 * servedShare(plan.held));
  return (
    <>
      <h3>Plans with slack</h3>
      <p role="status">{slackTold({ tried, of, rows: rows.length, unmet: score.unmetLitres })}</p>
      {rows.length > 0 && (
        <table className="rows">
          <thead>
            <tr>
              <th>More work</th>
              <th>Served in full, if nobody changes the plan (now {share} %)</th>
              <th>Unmet, and less in reserve</th>
              <th>Slack</th>
              <th />
            </tr>
          </thead>
          <tbody>
            {rows.map(({ work, rounds, unmet, slack }, index) => (
              <tr key={slack}>
                <th scope="row">{work}</th>
                <td>{rounds}</td>
                <td>{unmet}</td>
                <td className="grows">{slack}</td>
                <td>
                  <button type="button" onClick={() => takeSlack(worth[index]!)}>
                    Use this plan
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}
