import { roundDeclared } from '../../record/declare.ts';
import type { Start } from '../../record/from.ts';
import { roundsAttention, roundsToAsk } from '../../reports/attention.ts';
import { recallActs } from '../../reports/day/recallText.ts';
import { countText } from '../../words/numbers.ts';
import { namedRound } from '../../words/times.ts';
import { Card, Signal } from '../look/Parts.tsx';
import { note, useStore } from '../state/store.ts';

/** Bag rounds that are over, and an opening one, that nobody noted: the record must know whether their bags left. */
function UnnotedRounds({ start }: { start: Start }) {
  const scenario = useStore((state) => state.scenario);
  const by = useStore((state) => state.by);
  const problem = useStore((state) => state.problem);
  const { openingAssumed } = start.state;
  const unnotedRounds = roundsToAsk(start.state);
  const asked = problem && roundsAttention(problem, start.state);
  if (!asked || !problem) return null;
  return (
    <Card
      title={`Not noted: ${countText(unnotedRounds.length, 'bag round')}`}
      about={
        openingAssumed
          ? 'until you say so, its bags count as carried, and as gone from stock'
          : 'until you say so, their bags count as not carried, and as still here'
      }
    >
      <p role="alert">
        <Signal tone={asked.tone}>{asked.text}</Signal>
      </p>
      <ul className="bare">
        {unnotedRounds.map((round) => (
          <li key={round} className="form-line">
            <b>{namedRound(problem, round)}</b>
            {(['carried', 'not carried'] as const).map((declared) => (
              <button
                key={declared}
                type="button"
                disabled={by === ''}
                title={by === '' ? 'Initials first' : undefined}
                onClick={() => note([roundDeclared(scenario, round, declared, by)])}
              >
                {declared === 'carried' ? 'Its bags were carried' : 'They were not carried'}
              </button>
            ))}
          </li>
        ))}
      </ul>
      <p>If only some were carried, note them with Bags have left.</p>
    </Card>
  );
}

/** What of the record asks for somebody at once: bags to carry, bags to call back, entries that are not noted. */
export function DayNotices({ start }: { start: Start | null }) {
  const problem = useStore((state) => state.problem);
  const { failure, failed, noting } = useStore((state) => state.record);
  const recall = start?.state.recall ?? [];
  const bags = recall.reduce((sum, one) => sum + one.bags, 0);
  return (
    <>
      {failure && (
        <p role="alert">
          <Signal tone="bad">{failure}</Signal>{' '}
          {failed.length > 0 && (
            <button type="button" onClick={() => note(failed)}>
              Note {countText(failed.length, 'entry', 'entries')} again
            </button>
          )}
        </p>
      )}
      {noting.length > 0 && (
        <p role="status">
          <Signal tone="now">Noting {countText(noting.length, 'entry', 'entries')} …</Signal>
        </p>
      )}
      {start && <UnnotedRounds start={start} />}
      {bags > 0 && (
        <Card
          title={`CALL BACK ${countText(bags, 'bag')}`}
          about="do not hang; take down by the site’s procedure"
          className="alarm"
        >
          <ul>
            {recall.map((one) => (
              <li key={`${one.lot} ${one.round} ${one.at} ${one.bed ?? ''}`}>
                <b>{[one.ward, one.bed ?? 'bed not noted'].filter(Boolean).join(', ')}</b>:{' '}
                {countText(one.bags, 'bag')} of {one.lot} (bag round:{' '}
                {problem ? namedRound(problem, one.round) : one.round}). {recallActs(one).join('; ')}.
              </li>
            ))}
          </ul>
          <p>
            What hangs is not noted: this is by the prescription. Look at each bed. What takes their place is
            due now.
          </p>
        </Card>
      )}
    </>
  );
}
