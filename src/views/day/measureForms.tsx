import { useState } from 'react';
import { expectedConductivity } from '../../chemistry/conductivity.ts';
import { type Judged, judgeReading } from '../../record/judge/reading.ts';
import { limitsOf } from '../../record/limits.ts';
import { numberText } from '../../words/numbers.ts';
import { Signal } from '../look/Parts.tsx';
import { amount, type FormProps } from './form.ts';

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

const READ = [
  { field: 'conductivity', unit: 'mS/cm' },
  { field: 'temperature', unit: '°C' },
  { field: 'pH', unit: '' },
  { field: 'potassium', unit: 'mmol/L' },
] as const;

type Numbers = Partial<Record<(typeof READ)[number]['field'], number>>;
/** What is typed and is a number. */
const numbersOf = (values: Readonly<Record<string, string>>): Numbers =>
  Object.fromEntries(
    Object.entries(values).flatMap(([name, text]) =>
      text.trim() !== '' && Number.isFinite(amount(text)) ? [[name, amount(text)]] : [],
    ),
  );
const readingSays = (id: string, judged: readonly Judged[]): string =>
  judged.some(({ within }) => !within) ? `reading OUT OF LIMITS on ${id}` : `reading on ${id}`;

/** What was measured, beside what the composition would give; and what that cannot show. */
export function ReadingForm({ place, scenario, onFill }: FormProps) {
  const [values, setValues] = useState<Readonly<Record<string, string>>>({ temperature: '25' });
  const bath = scenario.baths.find(({ id }) => id === place.bath) ?? null;
  const limits = limitsOf(scenario);
  const judge = (numbers: Numbers) => judgeReading(numbers, bath, limits).judged;
  const out = judge(numbersOf(values)).filter(({ within }) => !within);
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
              const numbers = numbersOf(next);
              onFill(
                any && measured.every(([, text]) => Number.isFinite(amount(text)))
                  ? { fields: { machine: place.id, ...numbers }, says: readingSays(place.id, judge(numbers)) }
                  : null,
              );
            }}
          />{' '}
          {unit}
        </label>
      ))}
      {out.length > 0 && (
        <p role="alert">
          <Signal tone="bad">
            Out of limits:{' '}
            {out
              .map(({ quantity, low, high }) => `${quantity} ${numberText(low, 2)} to ${numberText(high, 2)}`)
              .join(', ')}
            . Once noted, what filled here since the last reading within limits goes on hold.
          </Signal>
        </p>
      )}
      {expected !== null && (
        <p className="muted">
          The composition of {place.bath} gives about {numberText(expected, 2)} mS/cm at this temperature,
          give or take {numberText(100 * limits.conductivity)} %. Conductivity never shows potassium: baths
          that differ in it read alike.
        </p>
      )}
    </>
  );
}
