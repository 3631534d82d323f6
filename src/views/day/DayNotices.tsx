import type { Start } from '../../record/from.ts';
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
            {recall.map(({ lot, bags: count, round, ward, bed }) => (
              <li key={`${lot} ${round} ${bed ?? ''}`}>
                {countText(count, 'bag')} of {lot}
                {ward ? `, ${ward}` : ''}
                {bed ? `, ${bed}` : ''} (bag round: {problem ? namedRound(problem, round) : round})
              </li>
            ))}
          </ul>
          <p>
            <b>Carry other bags in their place.</b> The plan counts those that are still to be hung.
          </p>
        </Card>
      )}
    </>
  );
}
