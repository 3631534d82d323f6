import { useMemo, useState } from 'react';
import type { Clock } from '../../calendar/clock.ts';
import { certaintyOf } from '../../capacity/answers/certainty.ts';
import type { Study } from '../../capacity/answers/study.ts';
import { specOf } from '../../capacity/forecast/forecast.ts';
import {
  answerLines,
  certaintyLines,
  exceededText,
  fromStartText,
  isReached,
} from '../../reports/capacityWords.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { CAUTION, FORECAST_CAUTION } from '../../words/cautions.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { dateText } from '../../words/times.ts';
import type { OnExport } from '../pictures/Frame.tsx';
import { AgreementTable, LimitList, MachineTables, NeedsTable } from './AnswerTables.tsx';
import { Assumptions } from './Assumptions.tsx';
import { isStale } from './answersState.ts';
import { BoardPage } from './BoardPage.tsx';
import './capacity.css';
import { FanChart } from './FanChart.tsx';
import { HeatMapTable } from './HeatMapTable.tsx';
import { LeverPart } from './LeverPart.tsx';
import { OrderPart } from './OrderPart.tsx';
import { type Capacity, useCapacity } from './useCapacity.ts';
import { type NamedScenario, VariantPart } from './VariantPart.tsx';

interface CapacityViewProps {
  /** Without error faults; null while there are any. */
  readonly scenario: Scenario | null;
  readonly tints?: Tints | undefined;
  /** Keeps a combination of changes as a variant. */
  readonly onKeep?: ((name: string, scenario: Scenario) => void) | undefined;
  /** What is done is noted: a forecast from the start leaves it out. */
  readonly recorded?: boolean;
  /** Goes to where the forecast is typed. */
  readonly onEdit?: (() => void) | undefined;
  /** Goes to where offers and prices are typed. */
  readonly onOffers?: (() => void) | undefined;
  readonly onExport?: OnExport | undefined;
  /** Prints the page for the board. */
  readonly onPrint?: (() => Promise<void>) | undefined;
  /** Kept beside the scenario on screen. */
  readonly variants?: readonly NamedScenario[] | undefined;
}

const FIRST_LOOK = 1000;

/** Asks before what takes long, with the minutes it is expected to take. */
function LongRun({ capacity, scenario }: { capacity: Capacity; scenario: Scenario }) {
  if (!capacity.asking) return null;
  const { draws, seconds } = capacity.asking;
  return (
    <div role="alert" className="notice warn">
      <span>
        {numberText(draws)} runs take about {countText(Math.ceil(seconds / 60), 'minute')} on this computer,
        and more for the parts after them.
      </span>
      <button type="button" onClick={() => capacity.start(scenario, draws, true)}>
        Simulate {numberText(draws)} runs
      </button>
      <button type="button" onClick={capacity.cancel}>
        Cancel
      </button>
    </div>
  );
}

/** What is asked for, and how far it has come. */
function Asking({ capacity, scenario }: { capacity: Capacity; scenario: Scenario }) {
  const { stage, done, failure, study } = capacity;
  const all = specOf(scenario).draws;
  const [isFirstLook, setFirstLook] = useState(false);
  const draws = isFirstLook ? Math.min(all, FIRST_LOOK) : all;
  return (
    <>
      <p className="capacity-actions">
        <label>
          Simulated runs{' '}
          <select
            value={isFirstLook ? 'first' : 'all'}
            onChange={({ target }) => setFirstLook(target.value === 'first')}
          >
            <option value="all">{numberText(all)} (as the forecast says)</option>
            <option value="first">{numberText(Math.min(all, FIRST_LOOK))} (a first look)</option>
          </select>
        </label>
        {stage === null ? (
          <button type="button" className="main" onClick={() => capacity.start(scenario, draws)}>
            {study ? 'Simulate again' : 'Simulate the patients to come'}
          </button>
        ) : (
          <>
            <button type="button" onClick={capacity.cancel}>
              Cancel
            </button>
            <progress value={done} max={1} aria-label={stage} />
            <span role="status">{stage} …</span>
          </>
        )}
      </p>
      <LongRun capacity={capacity} scenario={scenario} />
      {failure && (
        <p role="alert" className="notice bad">
          ✕ The forecast stopped: {failure}. The answer below is the one before.
        </p>
      )}
    </>
  );
}

/** The answer in sentences; one of another scenario is marked, and no longer green. */
function Verdict({ made, clock, stale }: { made: Study; clock: Clock; stale: boolean }) {
  const said = [...answerLines(made), exceededText(made, clock)].filter((line) => line);
  const tone = stale ? 'stale' : isReached(made) ? 'good' : 'bad';
  return (
    <>
      {stale && (
        <p className="notice warn" role="status">
          ! Old answer: the scenario has changed since. Simulate again before you use it.
        </p>
      )}
      <p className={`capacity-answer ${tone}`} role="status">
        {stale ? '! Old answer: ' : isReached(made) ? '✓ ' : '✕ '}
        {said[0]}
      </p>
      {said.slice(1).map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p className="muted">
        Counted: the listed patients and the patients of the forecast. {numberText(made.draws)} simulated runs
        of {countText(made.days.length, 'day')}, seed {made.seed}. {made.remarks.join(' ')}
      </p>
    </>
  );
}

type DayText = (day: number) => string;

/** Patients, and bags of each bath, as fans over the days. */
function Fans({
  made,
  tints,
  dayText,
  onExport,
}: { made: Study; dayText: DayText } & Pick<CapacityViewProps, 'tints' | 'onExport'>) {
  const looks = useMemo(
    () =>
      bathLooks(
        made.scenario.baths.map(({ id }) => id),
        tints,
      ),
    [made, tints],
  );
  const litres = made.scenario.rules?.fillLitres ?? 6.5;
  return (
    <>
      <FanChart
        title="Patients under therapy at the end of each day"
        name="forecast-patients"
        unit="patients"
        bands={made.days.map(({ census }) => census)}
        dayText={dayText}
        onExport={onExport}
      />
      <div className="capacity-fans">
        {looks.map(({ bath, tint }, index) => (
          <FanChart
            key={bath}
            title={`Bags of ${bath} per day (${numberText(litres)} L each)`}
            name={`forecast-bags-${bath}`}
            unit="bags"
            bands={made.days.map(({ bags }) => bags[index]!)}
            dayText={dayText}
            tint={tint}
            height={160}
            onExport={onExport}
          />
        ))}
      </div>
    </>
  );
}

/** All parts of one answer. */
function Answer({
  capacity,
  made,
  stale,
  props,
}: {
  capacity: Capacity;
  made: Study;
  stale: boolean;
  props: CapacityViewProps;
}) {
  const { heat, needs, savings, compared, ordered, stage } = capacity;
  const { tints, onKeep, onExport, onPrint, recorded = false } = props;
  const clock = useMemo(() => compile(made.scenario).clock, [made]);
  const dayText: DayText = (day) => dateText(clock.localOf(day * 1440).slice(0, 10));
  return (
    <>
      {recorded && <p className="notice warn">▲ {fromStartText(clock)}</p>}
      <Verdict made={made} clock={clock} stale={stale} />
      {onPrint && (
        <p className="capacity-actions">
          <button type="button" onClick={() => void onPrint()}>
            Print the page for the board
          </button>
        </p>
      )}
      <section className="capacity-part">
        <h3>How sure this is</h3>
        <ul>
          {certaintyLines(certaintyOf(made, compared ?? []), made.draws).map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </section>
      {ordered && (
        <OrderPart
          answer={ordered}
          scenario={made.scenario}
          runs={made.draws}
          clock={clock}
          onEdit={props.onOffers}
        />
      )}
      <Fans made={made} tints={tints} dayText={dayText} onExport={onExport} />
      <MachineTables made={made} />
      {heat && (
        <HeatMapTable
          heat={heat}
          own={made.own}
          confidence={made.confidence}
          draws={(made.supplied ?? made).draws}
          unlimited={made.supplied !== null}
        />
      )}
      <NeedsTable made={made} needs={needs} />
      <LimitList made={made} />
      {savings && (
        <LeverPart
          made={made}
          savings={savings}
          busy={stage !== null}
          change={capacity.change}
          onKeep={onKeep}
        />
      )}
      <VariantPart
        variants={props.variants ?? []}
        scenario={made.scenario}
        answers={capacity.variants}
        busy={stage !== null}
        compare={capacity.compare}
      />
      {compared && compared.length > 0 && <AgreementTable compared={compared} />}
      <BoardPage
        answers={{ ...capacity, study: made }}
        clock={clock}
        dayText={dayText}
        stale={stale}
        recorded={recorded}
      />
    </>
  );
}

/** The administrator's question: how many machines, technicians and supplies the patients to come will need. */
export function CapacityView(props: CapacityViewProps) {
  const { scenario, onEdit } = props;
  const capacity = useCapacity();
  const { study: made } = capacity;
  return (
    <section className="capacity" aria-label="Forecast: how many machines">
      <header className="capacity-head">
        <h2>How many machines do the patients to come need?</h2>
        {scenario ? (
          <Asking capacity={capacity} scenario={scenario} />
        ) : (
          <p>The scenario has errors. Correct them first; the forecast waits.</p>
        )}
      </header>
      {made && <Answer capacity={capacity} made={made} stale={isStale(capacity, scenario)} props={props} />}
      {scenario && <Assumptions scenario={scenario} onEdit={onEdit} />}
      <p className="muted">
        {FORECAST_CAUTION} {CAUTION.short}
      </p>
    </section>
  );
}
