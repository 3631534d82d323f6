import { createPortal } from 'react-dom';
import type { Clock } from '../../calendar/clock.ts';
import { lacksFirst } from '../../capacity/answers/answers.ts';
import { certaintyOf } from '../../capacity/answers/certainty.ts';
import { bestSavings } from '../../capacity/answers/leverForms.ts';
import type { LeverSaving } from '../../capacity/answers/levers.ts';
import type { Order } from '../../capacity/answers/orders.ts';
import type { Study } from '../../capacity/answers/study.ts';
import { DEFAULT_NOTES } from '../../capacity/forecast/forecast.ts';
import {
  answerLines,
  causeText,
  certaintyLines,
  chanceText,
  exceededText,
  fromStartText,
  itemText,
  levelText,
  orderNote,
  orderText,
  pricingText,
  withError,
} from '../../reports/capacityWords.ts';
import { CAUTION, FORECAST_CAUTION } from '../../words/cautions.ts';
import { countText, listText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { saidValue } from './Assumptions.tsx';
import type { Answers } from './answersState.ts';
import { fanSummary } from './FanChart.tsx';
import { FanPicture } from './FanPicture.tsx';
import { HeatMapTable } from './HeatMapTable.tsx';
import { OrderTable } from './OrderPart.tsx';
import './board.css';

interface BoardProps {
  readonly answers: Answers & { readonly study: NonNullable<Answers['study']> };
  readonly clock: Clock;
  readonly dayText: (day: number) => string;
  /** The scenario has changed since. */
  readonly stale: boolean;
  /** See `fromStartText`. */
  readonly recorded: boolean;
}

/** A list in one paragraph: what to get and by when to order it. */
function OrderLine({ order, clock }: { readonly order: Order; readonly clock: Clock }) {
  const items = order.items.map(
    (item) => `${itemText(item)}, order by ${whenText(clock, clock.minuteOf(item.orderBy))}`,
  );
  return (
    <p>
      {orderText(order)} {items.join('; ')}.
    </p>
  );
}

/** The first list in full, the other ways in a line each: a page has no room for three tables. */
function Orders({ answers: { ordered, study }, clock }: Pick<BoardProps, 'answers' | 'clock'>) {
  if (!ordered) return null;
  const [first, ...others] = ordered.orders;
  return (
    <section>
      <h2>What to get to reach the service level</h2>
      {first && <OrderTable order={first} clock={clock} />}
      {others.map((order) => (
        <OrderLine key={order.way} order={order} clock={clock} />
      ))}
      {ordered.remarks.map((remark) => (
        <p key={remark}>{remark}</p>
      ))}
      {first && first.items.length > 0 && (
        <p className="muted">
          {pricingText(study.scenario)} {orderNote(study.draws)}
        </p>
      )}
    </section>
  );
}

function Levers({
  savings,
  study,
}: {
  readonly savings: readonly LeverSaving[] | null;
  readonly study: Study;
}) {
  const best = bestSavings(study.scenario, savings ?? [], 3);
  return (
    <section>
      <h2>The three what-if changes that save most</h2>
      <p>
        {study.supplied && 'With unlimited supplies. '}
        {best.length === 0 && (savings ? 'None saves a bag.' : 'Not asked yet.')}
      </p>
      <ol>
        {best.map((row) => (
          <li key={row.id}>
            {row.label}: {withError(row.chanceAfter, row.chanceError)} of runs are short with it. On average{' '}
            {countText(row.bagsShort, 'bag')} fewer missing.
          </li>
        ))}
      </ol>
    </section>
  );
}

/** Each assumption with its source; what the site typed says so. */
function Sources({ scenario }: Pick<Study, 'scenario'>) {
  const given = scenario.forecast ?? {};
  return (
    <section className="board-sources">
      <h2>Assumptions and their sources</h2>
      <ul>
        {DEFAULT_NOTES.map(({ field, name, unit, standsIn, source }) => (
          <li key={field}>
            <b>{name}:</b> {given[field] == null ? standsIn : saidValue(given[field])} {unit} (
            {given[field] == null ? source : 'typed by the site'})
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Verdict, first evening at risk, and what lacks first. */
function Verdict({ study, clock, stale }: { readonly study: Study } & Pick<BoardProps, 'clock' | 'stale'>) {
  const [head, ...rest] = answerLines(study);
  const mine = study.rows[study.own - 1];
  const lacks = mine ? lacksFirst(mine) : [];
  return (
    <>
      {stale && <p className="board-stale">OLD ANSWER: the scenario has changed since. Simulate again.</p>}
      <p className="board-verdict">{head}</p>
      <p>{rest.join(' ')}</p>
      <p>
        <b>First at risk:</b>{' '}
        {exceededText(study, clock) || `No bag round: ${levelText(study.confidence)} with what is listed.`}
      </p>
      <p>
        <b>Runs short first:</b>{' '}
        {lacks.length === 0
          ? 'nothing'
          : listText(lacks.map(({ limit, share }) => `${causeText(limit)} in ${chanceText(share)} of runs`))}
        . Counted: the listed patients and the patients of the forecast.
      </p>
    </>
  );
}

function Board({ answers, clock, dayText, stale, recorded }: BoardProps) {
  const { study, heat, savings, compared, ordered } = answers;
  const fan = { bands: study.days.map(({ census }) => census), unit: 'patients', dayText };
  const [judged, ...why] = certaintyLines(certaintyOf(study, compared ?? []), study.draws);
  return (
    <>
      <header>
        <strong>Capacity: what the forecast needs</strong>
        <span>
          {study.scenario.title}. {numberText(study.draws)} simulated runs of{' '}
          {countText(study.days.length, 'day')}, seed {study.seed}.
        </span>
        <span>
          {CAUTION.short} {FORECAST_CAUTION}
        </span>
      </header>
      {recorded && <p className="board-stale">{fromStartText(clock)}</p>}
      <Verdict study={study} clock={clock} stale={stale} />
      {study.smallest === null && ordered && ordered.orders.length > 0 && (
        <p>
          <b>It can be reached all the same:</b> with the list below.
        </p>
      )}
      <Orders answers={answers} clock={clock} />
      <div className="board-pair">
        <section>
          <h2>Patients at the end of each day</h2>
          <p>{fanSummary(fan)}</p>
          <FanPicture {...fan} width={340} height={100} scale={1} label="" />
        </section>
        <Levers savings={savings} study={study} />
      </div>
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
        <p>
          <b>{judged}</b> {[...why, ...study.remarks].join(' ')}
        </p>
      </section>
      <Sources scenario={study.scenario} />
      <footer>{CAUTION.long}</footer>
    </>
  );
}

/** The page for the board: as it prints, and unfolded on screen. */
export function BoardPage(props: BoardProps) {
  const paper = (
    <div className="paper-print board" aria-hidden="true">
      <Board {...props} />
    </div>
  );
  return (
    <>
      <details className="capacity-part">
        <summary>The page for the board</summary>
        <div className="board board-on-screen">
          <Board {...props} />
        </div>
      </details>
      {createPortal(paper, document.body)}
    </>
  );
}
