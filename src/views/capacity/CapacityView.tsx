import { useMemo, useState } from 'react';
import { specOf } from '../../capacity/forecast/forecast.ts';
import { answerLines, exceededText } from '../../reports/capacityWords.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { numberText } from '../../words/numbers.ts';
import { dateText } from '../../words/times.ts';
import type { OnExport } from '../pictures/Frame.tsx';
import { AgreementTable, LimitList, MachineTables, NeedsTable } from './AnswerTables.tsx';
import { Assumptions } from './Assumptions.tsx';
import './capacity.css';
import { CAUTION, FORECAST_CAUTION } from '../../words/cautions.ts';
import { FanChart } from './FanChart.tsx';
import { HeatMapTable } from './HeatMapTable.tsx';
import { LeverPart } from './LeverPart.tsx';
import { useCapacity } from './useCapacity.ts';

export interface CapacityViewProps {
  /** Without error faults; null while there are any. */
  readonly scenario: Scenario | null;
  readonly tints?: Tints | undefined;
  /** Keeps a combination of levers as a variant. */
  readonly onKeep?: ((name: string, scenario: Scenario) => void) | undefined;
  /** Goes to where the forecast is typed. */
  readonly onEdit?: (() => void) | undefined;
  readonly onExport?: OnExport | undefined;
}

const QUICK = 1000;

/** The administrator's question: how many machines, technicians and supplies the patients to come will need. */
export function CapacityView({ scenario, tints, onKeep, onEdit, onExport }: CapacityViewProps) {
  const capacity = useCapacity();
  const { study: made, stage, done, failure, heat, needs, savings, compared } = capacity;
  const [draws, setDraws] = useState<'quick' | 'all'>('all');
  const clock = useMemo(() => (made ? compile(made.scenario).clock : null), [made]);
  const looks = useMemo(
    () =>
      made
        ? bathLooks(
            made.scenario.baths.map(({ id }) => id),
            tints,
          )
        : [],
    [made, tints],
  );
  if (!scenario)
    return (
      <section className="capacity">
        <h2>Forecast</h2>
        <p>The scenario has errors: the forecast waits until they are mended.</p>
      </section>
    );
  const all = specOf(scenario).draws;
  const dayText = (day: number) => (clock ? dateText(clock.localOf(day * 1440).slice(0, 10)) : '');
  const said = made && clock ? [...answerLines(made), exceededText(made, clock)].filter((line) => line) : [];
  const litres = made?.scenario.rules?.fillLitres ?? 6.5;
  return (
    <section className="capacity" aria-label="Forecast: how many machines">
      <header className="capacity-head">
        <h2>How many machines do the patients to come need?</h2>
        <p className="capacity-actions">
          <label>
            Draws{' '}
            <select value={draws} onChange={({ target }) => setDraws(target.value as 'quick' | 'all')}>
              <option value="all">{numberText(all)} (as the forecast says)</option>
              <option value="quick">{numberText(Math.min(all, QUICK))} (a first look)</option>
            </select>
          </label>
          {stage === null ? (
            <button
              type="button"
              className="main"
              onClick={() => capacity.start(scenario, draws === 'quick' ? Math.min(all, QUICK) : all)}
            >
              {made ? 'Draw again' : 'Draw the patients to come'}
            </button>
          ) : (
            <button type="button" onClick={capacity.cancel}>
              Cancel
            </button>
          )}
          {stage !== null && (
            <>
              <progress value={done} max={1} aria-label={stage} />
              <span>{stage} …</span>
            </>
          )}
        </p>
        {failure && (
          <p role="alert" className="notice bad">
            ✕ The forecast stopped: {failure}
          </p>
        )}
        {made && made.scenario !== scenario && (
          <p className="notice" role="status">
            ! The scenario has changed since: these answers are for the one before. Draw again.
          </p>
        )}
      </header>
      {made && clock && (
        <>
          <p className={`capacity-answer ${made.smallest === null ? 'bad' : 'good'}`} role="status">
            {made.smallest === null ? '✕' : '✓'} {said[0]}
          </p>
          {said.slice(1).map((line) => (
            <p key={line}>{line}</p>
          ))}
          <p className="muted">
            {numberText(made.draws)} draws of {made.days.length} days, seed {made.seed}; mean patients at the
            end known to +/- {numberText(2 * (made.days.at(-1)?.censusError ?? 0), 2)}.{' '}
            {made.remarks.join(' ')}
          </p>
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
                title={`Bags of ${bath} a day (${numberText(litres)} L each)`}
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
          <MachineTables made={made} />
          {heat && <HeatMapTable heat={heat} own={made.own} confidence={made.confidence} />}
          <NeedsTable made={made} needs={needs} />
          <LimitList made={made} />
          {savings && (
            <LeverPart
              made={made}
              savings={savings}
              busy={stage !== null}
              combine={capacity.combine}
              onKeep={onKeep}
            />
          )}
          {compared && compared.length > 0 && <AgreementTable compared={compared} />}
        </>
      )}
      <Assumptions scenario={scenario} onEdit={onEdit} />
      <p className="muted">
        {FORECAST_CAUTION} {CAUTION.long}
      </p>
    </section>
  );
}
