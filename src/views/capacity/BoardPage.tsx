import { createPortal } from 'react-dom';
import type { Clock } from '../../calendar/clock.ts';
import { lacksFirst } from '../../capacity/answers/answers.ts';
import { certaintyOf } from '../../capacity/answers/certainty.ts';
import { DEFAULT_NOTES } from '../../capacity/forecast/forecast.ts';
import {
  answerLines,
  causeText,
  certaintyLines,
  chanceText,
  exceededText,
  levelText,
  withError,
} from '../../reports/capacityWords.ts';
import { CAUTION, FORECAST_CAUTION } from '../../words/cautions.ts';
import { countText, listText, numberText } from '../../words/numbers.ts';
import type { Answers } from './answersState.ts';
import { fanSummary } from './FanChart.tsx';
import { FanPicture } from './FanPicture.tsx';
import { HeatMapTable } from './HeatMapTable.tsx';
import { byEffect } from './LeverTable.tsx';
import { OrderPart } from './OrderPart.tsx';
import './board.css';
import { saidValue } from './Assumptions.tsx';

interface BoardProps {
  readonly answers: Answers & { readonly study: NonNullable<Answers['study']> };
  readonly clock: Clock;
  readonly dayText: (day: number) => string;
  /** The scenario has changed since. */
  readonly stale: boolean;
}

function Levers({ answers }: Pick<BoardProps, 'answers'>) {
  const best = byEffect(answers.savings ?? [])
    .filter(({ bagsShort }) => bagsShort > 0.05)
    .slice(0, 3);
  if (best.length === 0) return null;
  return (
    <section>
      <h2>The three what-if changes that save most</h2>
      <ul>
        {best.map((row) => (
          <li key={row.id}>
            {row.label}: {withError(row.chanceAfter, row.chanceError)} of runs are short with it;{' '}
            {numberText(row.bagsShort)} bags fewer are missing on average.
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Each assumption with its source; what the site typed says so. */
function Sources({ answers }: Pick<BoardProps, 'answers'>) {
  const given = answers.study.scenario.forecast ?? {};
  return (
    <section className="board-sources">
      <h2>Assumptions and their sources</h2>
      <table>
        <tbody>
          {DEFAULT_NOTES.map(({ field, name, unit, standsIn, source }) => (
            <tr key={field}>
              <th scope="row">{name}</th>
              <td>{given[field] == null ? standsIn : saidValue(given[field])}</td>
              <td>{unit}</td>
              <td>{given[field] == null ? source : 'typed by the site'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** The page for the board, as it prints: verdict, when and what runs short, what to get, how sure it is. */
export function BoardPage({ answers, clock, dayText, stale }: BoardProps) {
  const { study, heat, ordered } = answers;
  const [head, ...rest] = answerLines(study);
  const mine = study.rows[study.own - 1];
  const lacks = mine ? lacksFirst(mine) : [];
  const bands = study.days.map(({ census }) => census);
  const exceeded = exceededText(study, clock);
  const fan = { bands, unit: 'patients', dayText };
  const page = (
    <div className="paper-print board" aria-hidden="true">
      <header>
        <strong>Capacity: what the forecast needs</strong>
        <span>{study.scenario.title}</span>
        <span>
          {numberText(study.draws)} simulated runs of {countText(study.days.length, 'day')}, seed {study.seed}
        </span>
      </header>
      {stale && <p className="board-stale">OLD ANSWER: the scenario has changed since. Simulate again.</p>}
      <p className="board-verdict">{head}</p>
      {rest.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p>
        <b>First at risk:</b>{' '}
        {exceeded || `No bag round: ${levelText(study.confidence)} with what is listed.`}
      </p>
      <p>
        <b>Runs short first:</b>{' '}
        {lacks.length === 0
          ? 'nothing'
          : listText(lacks.map(({ limit, share }) => `${causeText(limit)} in ${chanceText(share)} of runs`))}
        . Counted: the listed patients and the patients of the forecast.
      </p>
      {ordered && <OrderPart answer={ordered} scenario={study.scenario} runs={study.draws} clock={clock} />}
      <Levers answers={answers} />
      <section>
        <h2>Patients at the end of each day</h2>
        <p>{fanSummary(fan)}</p>
        <FanPicture {...fan} width={640} height={190} scale={1} label="" />
      </section>
      {heat && (
        <HeatMapTable
          heat={heat}
          own={study.own}
          confidence={study.confidence}
          draws={(study.supplied ?? study).draws}
          unlimited={study.supplied !== null}
        />
      )}
      <section>
        <h2>How sure this is</h2>
        {[...certaintyLines(certaintyOf(study, answers.compared ?? []), study.draws), ...study.remarks].map(
          (line) => (
            <p key={line}>{line}</p>
          ),
        )}
      </section>
      <Sources answers={answers} />
      <footer>
        {CAUTION.long} {FORECAST_CAUTION}
      </footer>
    </div>
  );
  return createPortal(page, document.body);
}
