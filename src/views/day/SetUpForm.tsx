import { useState } from 'react';
import type { Filled, FormProps } from './form.ts';

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
