import { DEFAULT_NOTES } from '../../capacity/forecast/forecast.ts';
import type { Forecast, Scenario } from '../../scenario/schema.ts';

/** Parts of a forecast's values, by their field, as a person calls them; baths go by their own names. */
const PARTS: Readonly<Record<string, string>> = {
  doublingDays: 'doubles in days',
  halvingDays: 'halves in days',
  peakDay: 'peak on day',
  fromDay: 'from day',
  daysBetween: 'days between',
  hoursToRepair: 'hours to repair',
  sd: 'SD',
  min: 'at least',
  max: 'at most',
  value: '',
  values: '',
};

/** A value of the forecast as a person would say it. */
export function saidValue(value: unknown): string {
  if (typeof value === 'number') return value.toLocaleString('en-US');
  if (typeof value === 'string') return value;
  if (Array.isArray(value)) return value.map(saidValue).join('; ');
  if (value && typeof value === 'object')
    return Object.entries(value)
      .filter(([, part]) => part != null)
      .map(([name, part]) =>
        name === 'law' ? String(part) : `${PARTS[name] ?? name} ${saidValue(part)}`.trim(),
      )
      .join(', ');
  return '';
}

/** Every assumption with its value, unit and source; the sheet "Forecast" is where they are typed. */
export function Assumptions({ scenario, onEdit }: { scenario: Scenario; onEdit?: (() => void) | undefined }) {
  const given: Forecast = scenario.forecast ?? {};
  return (
    <details className="capacity-part">
      <summary>Assumptions, with their sources</summary>
      {onEdit && (
        <p>
          <button type="button" onClick={onEdit}>
            Edit them in the sheet Forecast
          </button>
        </p>
      )}
      <div className="capacity-scroll">
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Assumption</th>
              <th scope="col">Value</th>
              <th scope="col">Unit</th>
              <th scope="col">Source</th>
            </tr>
          </thead>
          <tbody>
            {DEFAULT_NOTES.map(({ field, name, unit, standsIn, source }) => {
              const own = given[field];
              return (
                <tr key={field}>
                  <th scope="row">{name}</th>
                  <td>{own == null ? `${standsIn} (default)` : saidValue(own)}</td>
                  <td>{unit}</td>
                  <td>{own == null ? source : "typed in the site's scenario"}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </details>
  );
}
