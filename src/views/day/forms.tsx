import { useState } from 'react';
import { expectedConductivity } from '../../chemistry/conductivity.ts';
import type { Act, PlaceNow } from '../../reports/day/places.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { CountPick } from './parts.tsx';

/** What a form adds to the entry: its own fields, and what its button says. Null: something is still missing. */
export interface Filled {
  readonly fields: Record<string, unknown>;
  readonly says: string;
}
export interface FormProps {
  readonly place: PlaceNow;
  readonly problem: Problem;
  readonly scenario: Scenario;
  readonly onFill: (filled: Filled | null) => void;
}

/** A number as typed, with a point or a comma; NaN for anything else. */
const amount = (text: string): number =>
  text.trim() === '' ? Number.NaN : Number(text.trim().replace(',', '.'));

const REASONS = ['leak', 'label wrong', 'too little in it', 'torn', 'other'];

/** Of a fill that is in doubt no bag is called good: they go on hold. */
const offSays = ({ id, tone }: PlaceNow, bags: number): string =>
  tone === 'bad'
    ? `${countText(bags, 'bag')} off ${id}, on hold`
    : `${countText(bags, 'good bag')} off ${id}`;

/** Bags off the machine: how many are good, what is wrong with the others. */
export function OffForm({ place, problem, onFill }: FormProps) {
  const most = problem.machines.find(({ id }) => id === place.id)?.positions ?? 8;
  const [rejected, setRejected] = useState(0);
  const [reason, setReason] = useState(REASONS[0]!);
  const [litres, setLitres] = useState('');
  const good = most - rejected;
  const tell = (bad: number, why: string, volume: string) =>
    onFill({
      fields: {
        machine: place.id,
        good: most - bad,
        ...(bad > 0 && { rejected: [{ reason: why, bags: bad }] }),
        ...(amount(volume) > 0 && { litres: amount(volume) }),
      },
      says: offSays(place, most - bad),
    });
  return (
    <>
      <p className="big">
        {countText(good, place.tone === 'bad' ? 'bag' : 'good bag')}
        {rejected > 0 && `, ${rejected} rejected`}
      </p>
      <CountPick
        label="Rejected"
        value={rejected}
        most={most}
        onChange={(bad) => {
          setRejected(bad);
          tell(bad, reason, litres);
        }}
      />
      {rejected > 0 && (
        <label>
          Why{' '}
          <select
            value={reason}
            onChange={(event) => {
              setReason(event.target.value);
              tell(rejected, event.target.value, litres);
            }}
          >
            {REASONS.map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
      )}
      <label>
        Litres in a bag, if weighed{' '}
        <input
          inputMode="decimal"
          size={5}
          value={litres}
          onChange={(event) => {
            setLitres(event.target.value);
            tell(rejected, reason, event.target.value);
          }}
        />{' '}
        L
      </label>
    </>
  );
}
export const offDefault = ({ place, problem }: Omit<FormProps, 'onFill'>): Filled => {
  const most = problem.machines.find(({ id }) => id === place.id)?.positions ?? 8;
  return {
    fields: { machine: place.id, good: most },
    says: offSays(place, most),
  };
};

/** A total chlorine test: above the site's limit it failed, whatever is pressed. */
export function TestForm({ place, onFill }: FormProps) {
  const [result, setResult] = useState<'pass' | 'fail' | null>(null);
  const [value, setValue] = useState('');
  const tell = (is: 'pass' | 'fail' | null, measured: string) =>
    onFill(
      is && !(measured.trim() !== '' && Number.isNaN(amount(measured)))
        ? {
            fields: {
              water: place.id,
              result: is,
              ...(measured.trim() !== '' && { totalChlorine: amount(measured) }),
            },
            says: `test of ${place.id}: ${is === 'pass' ? 'passed' : 'FAILED'}`,
          }
        : null,
    );
  return (
    <>
      <div className="choices">
        {(['pass', 'fail'] as const).map((one) => (
          <button
            type="button"
            key={one}
            aria-pressed={result === one}
            onClick={() => {
              setResult(one);
              tell(one, value);
            }}
          >
            {one === 'pass' ? 'Passed' : 'Failed'}
          </button>
        ))}
      </div>
      <label>
        Total chlorine{' '}
        <input
          inputMode="decimal"
          size={6}
          value={value}
          onChange={(event) => {
            setValue(event.target.value);
            tell(result, event.target.value);
          }}
        />{' '}
        mg/L <span className="muted">Above the site’s limit it is a failed test.</span>
      </label>
    </>
  );
}

/** A new circuit, or another bath on it, with the lots it is fed from. */
export function SetUpForm({ place, scenario, onFill, act }: FormProps & { act: 'circuit' | 'bath' }) {
  const planned = place.next?.activity;
  const first =
    (planned && 'bath' in planned ? planned.bath : null) ?? place.bath ?? String(scenario.baths[0]?.id ?? '');
  const [bath, setBath] = useState(first);
  const [lots, setLots] = useState<Readonly<Record<string, string>>>({});
  const tell = (to: string, from: Readonly<Record<string, string>>) =>
    onFill({
      fields: {
        machine: place.id,
        bath: to,
        ...(Object.keys(from).length > 0 && { lots: from }),
      },
      says: act === 'circuit' ? `new circuit for ${to} on ${place.id}` : `${to} runs on ${place.id}`,
    });
  return (
    <>
      <div className="choices">
        {scenario.baths.map(({ id }) => (
          <button
            type="button"
            key={id}
            aria-pressed={bath === id}
            onClick={() => {
              setBath(id);
              tell(id, lots);
            }}
          >
            {id}
          </button>
        ))}
      </div>
      <details>
        <summary>Lots, for tracing</summary>
        {(['filter', 'tubing', 'acid', 'bicarbonate'] as const).map((part) => (
          <label key={part}>
            {part}{' '}
            <input
              value={lots[part] ?? ''}
              maxLength={40}
              onChange={(event) => {
                const next = { ...lots, [part]: event.target.value };
                setLots(next);
                tell(bath, next);
              }}
            />
          </label>
        ))}
      </details>
    </>
  );
}
export const setUpDefault = (
  { place, scenario }: Omit<FormProps, 'onFill'>,
  act: 'circuit' | 'bath',
): Filled => {
  const planned = place.next?.activity;
  const bath =
    (planned && 'bath' in planned ? planned.bath : null) ?? place.bath ?? String(scenario.baths[0]?.id ?? '');
  return {
    fields: { machine: place.id, bath },
    says: act === 'circuit' ? `new circuit for ${bath} on ${place.id}` : `${bath} runs on ${place.id}`,
  };
};

const READ = [
  { field: 'conductivity', unit: 'mS/cm' },
  { field: 'temperature', unit: '°C' },
  { field: 'pH', unit: '' },
  { field: 'potassium', unit: 'mmol/L' },
] as const;

/** What was measured, beside what the composition would give; and what that cannot show. */
export function ReadingForm({ place, scenario, onFill }: FormProps) {
  const [values, setValues] = useState<Readonly<Record<string, string>>>({ temperature: '25' });
  const bath = scenario.baths.find(({ id }) => id === place.bath);
  const expected = bath ? expectedConductivity(bath, amount(values.temperature ?? '25') || 25) : null;
  return (
    <>
      {READ.map(({ field, unit }) => (
        <label key={field}>
          {field === 'pH' ? 'pH' : field.charAt(0).toUpperCase() + field.slice(1)}{' '}
          <input
            inputMode="decimal"
            size={6}
            value={values[field] ?? ''}
            onChange={(event) => {
              const next = { ...values, [field]: event.target.value };
              setValues(next);
              const measured = Object.entries(next).filter(([, text]) => text.trim() !== '');
              const any = measured.some(([name]) => name !== 'temperature');
              onFill(
                any && measured.every(([, text]) => Number.isFinite(amount(text)))
                  ? {
                      fields: {
                        machine: place.id,
                        ...Object.fromEntries(measured.map(([name, text]) => [name, amount(text)])),
                      },
                      says: `reading on ${place.id}`,
                    }
                  : null,
              );
            }}
          />{' '}
          {unit}
        </label>
      ))}
      {expected !== null && (
        <p className="muted">
          The composition of {place.bath} gives about {numberText(expected, 2)} mS/cm. Conductivity never
          shows potassium: baths that differ in it read alike.
        </p>
      )}
    </>
  );
}

/** Why a fill ends without usable bags. */
export function WhyForm({ place, onFill }: FormProps) {
  const [why, setWhy] = useState('');
  return (
    <label>
      Why{' '}
      <input
        value={why}
        maxLength={120}
        onChange={(event) => {
          setWhy(event.target.value);
          onFill({
            fields: { machine: place.id, why: event.target.value },
            says: `fill on ${place.id} stopped`,
          });
        }}
      />
    </label>
  );
}

export const TITLES: Readonly<Record<Act, string>> = {
  fill: 'Start the fill',
  off: 'Swap: bags off',
  circuit: 'New circuit in place',
  bath: 'Bath change done',
  test: 'Total chlorine test',
  reading: 'Reading',
  stop: 'Stop the fill: no usable bags',
  back: 'Back in service',
};
/** The word on a large button. */
export const BUTTONS: Readonly<Record<Act, string>> = {
  fill: 'Start',
  off: 'Swap',
  circuit: 'Circuit',
  bath: 'Bath',
  test: 'Test',
  reading: 'Reading',
  stop: 'Stop',
  back: 'Back',
};

/** What can be noted without a further tap; null: the form asks first. */
export function defaultOf(act: Act, given: Omit<FormProps, 'onFill'>): Filled | null {
  const { place } = given;
  if (act === 'off') return offDefault(given);
  if (act === 'fill') return { fields: { machine: place.id }, says: `filling began on ${place.id}` };
  if (act === 'circuit' || act === 'bath') return setUpDefault(given, act);
  if (act === 'stop') return { fields: { machine: place.id }, says: `fill on ${place.id} stopped` };
  if (act === 'back')
    return {
      fields: place.kind === 'machine' ? { machine: place.id } : { water: place.id },
      says: `${place.id} is back`,
    };
  return null;
}

export function ActForm({ act, ...props }: FormProps & { act: Act }) {
  if (act === 'off') return <OffForm {...props} />;
  if (act === 'test') return <TestForm {...props} />;
  if (act === 'circuit' || act === 'bath') return <SetUpForm {...props} act={act} />;
  if (act === 'reading') return <ReadingForm {...props} />;
  if (act === 'stop') return <WhyForm {...props} />;
  return null;
}
