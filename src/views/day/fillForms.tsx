import { useState } from 'react';
import type { PlaceNow } from '../../reports/day/places.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { freeOf } from '../../words/solutes.ts';
import { amount, type Filled, type FormProps } from './form.ts';
import { CountPick } from './parts.tsx';

/**
 * What is filled where, large enough to be read beside the machine: bath, potassium, bags, concentrates. The app sees no
 * tube: whoever stands there compares.
 */
export function WhatRuns({
  place,
  problem,
  scenario,
  act,
}: Omit<FormProps, 'onFill'> & { act: 'fill' | 'off' }) {
  const bath = scenario.baths.find(({ id }) => id === place.bath);
  const { acid, bicarbonate } = place.lots ?? {};
  const planned = place.next?.activity;
  const other =
    act === 'fill' && planned && 'bath' in planned && planned.bath !== place.bath ? planned.bath : null;
  return (
    <>
      <dl className="what-runs">
        <div>
          <dt>Bath on {place.id}</dt>
          <dd className="big">{place.bath ?? 'not known'}</dd>
        </div>
        <div>
          <dt>Potassium</dt>
          <dd className="big">
            {bath?.potassium == null ? 'not typed' : `${numberText(bath.potassium, 2)} mmol/L`}
          </dd>
        </div>
        <div>
          <dt>Bags</dt>
          <dd className="big">
            {place.positions} × {numberText(problem.rules.fillLitres, 2)} L
          </dd>
        </div>
        <div>
          <dt>Concentrate</dt>
          <dd>
            acid {acid || 'not noted'}, bicarbonate {bicarbonate || 'not noted'}
          </dd>
        </div>
        {act === 'off' && place.lot && (
          <div>
            <dt>Lot</dt>
            <dd>{place.lot}</dd>
          </div>
        )}
      </dl>
      {bath && freeOf(bath).length > 0 && <p className="warn">{freeOf(bath).join(', ')}</p>}
      {other && (
        <p className="warn" role="alert">
          The plan wants {other} here next. {place.bath} runs. Change the bath first, or fill {place.bath}.
        </p>
      )}
      <p className="muted">Compare with the machine and its canisters. Bathtide cannot see them.</p>
    </>
  );
}

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
        Liters in a bag, if weighed{' '}
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
