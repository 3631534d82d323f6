import { useMemo } from 'react';
import { type ShortBed, shortText, unnamedText, whoGoesShort } from '../../reports/whoGoesShort.ts';
import { countText } from '../../words/numbers.ts';
import { spanText } from '../../words/times.ts';
import { Card, Scrolls } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';

/** The beds that would go short, a row each, under each way of sharing side by side; nothing where nothing is unmet. */
export function ShortCard({ planned, searching }: { planned: Planned; searching: boolean }) {
  const short = useMemo(() => whoGoesShort(planned), [planned]);
  const { clock } = planned.problem;
  const { ways, rows } = short;
  const more = unnamedText(short.unnamed);
  if (ways.length === 0 && !more) return null;
  const cell = (bed: ShortBed | null) =>
    bed && (
      <span title={bed.rounds.join('\n')}>
        {shortText(bed)}
        <br />
        <small className="muted">{spanText(clock, bed.from, bed.to)}</small>
      </span>
    );
  return (
    <Card
      title="Who would go short"
      about={`${countText(rows.length, 'bed')} under at least one way${searching ? ', so far' : ''}`}
      className="short"
    >
      <p>
        <b>{short.caution}</b>
      </p>
      {more && <p className="bad">✕ {more}</p>}
      {ways.length > 0 && (
        <Scrolls label="Who would go short, rows">
          <table className="rows">
            <caption className="muted">
              Bags missing, hours of therapy without dialysate, first to last such hour. Other bags hang in
              between.
            </caption>
            <thead>
              <tr>
                <th scope="col">Bed</th>
                {ways.map(({ sharing, name, says }) => (
                  <th scope="col" key={sharing} title={says}>
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              <tr>
                <th scope="row">All beds</th>
                {ways.map((way) => (
                  <td key={way.sharing}>
                    <b>{shortText(way)}</b>
                    <br />
                    <small className="muted">{countText(way.beds.length, 'bed')}</small>
                  </td>
                ))}
              </tr>
              {rows.map(({ bed, ward, priority, byWay }) => (
                <tr key={bed}>
                  <th scope="row">
                    {bed}
                    {(ward || priority) && (
                      <>
                        <br />
                        <small className="muted">
                          {[ward, priority && `class ${priority}`].filter(Boolean).join(', ')}
                        </small>
                      </>
                    )}
                  </th>
                  {ways.map(({ sharing }, index) => (
                    <td key={sharing}>{cell(byWay[index]!) ?? <span className="muted">none</span>}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </Scrolls>
      )}
      {ways.length > 0 && (
        <details>
          <summary>What each way does</summary>
          <ul>
            {ways.map(({ sharing, name, says }) => (
              <li key={sharing}>
                {name}: {says}
              </li>
            ))}
          </ul>
        </details>
      )}
    </Card>
  );
}
