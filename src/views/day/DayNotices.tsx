import type { Start } from '../../record/from.ts';
import { recallActs } from '../../reports/day/recallText.ts';
import { countText } from '../../words/numbers.ts';
import { namedRound } from '../../words/times.ts';
import { Card, Signal } from '../look/Parts.tsx';
import { note, useStore } from '../state/store.ts';

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
