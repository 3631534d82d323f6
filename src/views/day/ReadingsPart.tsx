import { useMemo } from 'react';
import type { Start } from '../../record/from.ts';
import { controlCharts, notShown } from '../../reports/day/readings.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { Signal } from '../look/Parts.tsx';
import { useRoom } from '../pictures/useRoom.ts';
import { ControlPlot, chartSummary, chartTitle, judgedWord } from './ControlPlot.tsx';

/** Readings over time, a chart for each machine and quantity, each with its table; and what conductivity does not show. */
export function ReadingsPart({ start, scenario }: { start: Start; scenario: Scenario }) {
  const [wrap, { width }] = useRoom(900);
  const { clock } = start.problem;
  const charts = useMemo(() => controlCharts(start.state), [start]);
  const told = useMemo(() => notShown(scenario.baths, start.state.limits), [scenario, start]);
  const wide = width > 860 ? (width - 24) / 2 : width;
  return (
    <div ref={wrap} className="readings">
      {told.map((text) => (
        <p key={text}>
          <Signal tone="warn">{text}</Signal>
        </p>
      ))}
      {charts.length === 0 && <p>No reading is noted yet.</p>}
      {charts.length > 0 && (
        <p className="muted">
          The band shows the limits, the dashed line the expected value. ● within limits, ✕ out of limits, ○
          not judged.
        </p>
      )}
      <div className="charts">
        {charts.map((chart) => (
          <figure key={chartTitle(chart)} style={{ width: wide }}>
            <figcaption>
              <b>{chartTitle(chart)}</b> <span className="muted">{chartSummary(chart)}</span>
            </figcaption>
            <ControlPlot clock={clock} chart={chart} width={wide} />
            <details>
              <summary>Values of {chartTitle(chart)}</summary>
              <table className="rows">
                <thead>
                  <tr>
                    <th scope="col">At</th>
                    <th scope="col">Bath</th>
                    <th scope="col" className="number">
                      Measured
                    </th>
                    <th scope="col" className="number">
                      Expected
                    </th>
                    <th scope="col" className="number">
                      Limits
                    </th>
                    <th scope="col">Judged</th>
                    <th scope="col">By</th>
                  </tr>
                </thead>
                <tbody>
                  {chart.points.map((point) => (
                    <tr key={point.entry}>
                      <th scope="row">{whenText(clock, point.at)}</th>
                      <td>{point.bath ?? 'not known'}</td>
                      <td className="number">
                        {numberText(point.value, 2)} {chart.unit}
                      </td>
                      <td className="number">
                        {point.expected === null ? '' : numberText(point.expected, 2)}
                      </td>
                      <td className="number">
                        {point.low === null || point.high === null
                          ? 'none'
                          : `${numberText(point.low, 2)} to ${numberText(point.high, 2)}`}
                      </td>
                      <td>{judgedWord(point)}</td>
                      <td>{point.by}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </details>
          </figure>
        ))}
      </div>
    </div>
  );
}
