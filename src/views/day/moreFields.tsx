import type { ReactNode } from 'react';
import type { Start } from '../../record/from.ts';
import { countText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { useStore } from '../state/store.ts';
import { isKnownLot, listedAs, lotIn, type More } from './moreDraft.ts';
import { CountPick } from './parts.tsx';

interface FieldsProps {
  readonly more: More;
  readonly start: Start;
  readonly onChange: (part: Partial<More>) => void;
}

/** Bags of a lot that nobody knows would be noted in vain. */
const UnknownLot = ({ more, start }: Pick<FieldsProps, 'more' | 'start'>) =>
  more.lot.trim() === '' || isKnownLot(more.lot, start.state) ? null : (
    <p role="alert" className="warn">
      No lot here is called {lotIn(more.lot)}. Choose one from the list, or scan its label again.
    </p>
  );

/** A lot, scanned or typed, or one of those listed. */
const LotField = ({
  more,
  onChange,
  list,
  children,
}: FieldsProps & { readonly list: string; readonly children: ReactNode }) => (
  <label>
    Lot{' '}
    <input
      list={list}
      value={more.lot}
      placeholder="scan or choose"
      onChange={(event) => onChange({ lot: event.target.value })}
    />
    <datalist id={list}>{children}</datalist>
  </label>
);

/** Which bags: a scanner types the lot's name, or it is chosen. */
export function LotFields({ more, start, onChange }: FieldsProps) {
  const lots = start.state.lots.filter((one) => one.good + one.held > 0);
  const chosen = lots.find((one) => one.lot === lotIn(more.lot));
  return (
    <>
      <LotField {...{ more, start }} list="lots-here" onChange={(part) => onChange({ ...part, bags: null })}>
        {lots.map((one) => (
          <option key={one.lot} value={one.lot}>
            {`${one.bath ?? 'bath not known'}, ${one.good} good, ${one.held} on hold`}
          </option>
        ))}
      </LotField>
      <UnknownLot {...{ more, start }} />
      {chosen && (
        <CountPick
          label={more.bags === null ? 'All bags; fewer' : 'Bags'}
          value={more.bags ?? chosen.good + chosen.held}
          most={chosen.good + chosen.held}
          onChange={(bags) => onChange({ bags })}
        />
      )}
    </>
  );
}

export function OutFields({ more, start, onChange }: FieldsProps) {
  const { machines, water } = start.problem;
  return (
    <>
      <label>
        Which{' '}
        <select value={more.place} onChange={(event) => onChange({ place: event.target.value })}>
          <option value="">choose</option>
          {[...machines, ...water].map(({ id }) => (
            <option key={id}>{id}</option>
          ))}
        </select>
      </label>
      <CountPick
        label="Back in (h); 0: not known"
        value={more.hours}
        most={168}
        onChange={(hours) => onChange({ hours })}
      />
    </>
  );
}

const BagsField = ({ more, onChange, label }: FieldsProps & { readonly label: string }) => (
  <label>
    {label}{' '}
    <input
      inputMode="numeric"
      size={6}
      value={more.count}
      onChange={(event) => onChange({ count: event.target.value })}
    />
  </label>
);

/** Bags that came: of a listed delivery as it was listed, or of another lot with what its label says. */
export function ArriveFields(props: FieldsProps) {
  const { more, start, onChange } = props;
  const { problem, state } = start;
  const whole = useStore((session) => session.problem);
  const awaited = (whole?.lots ?? []).filter(({ origin }) => origin === 'delivery');
  const known = listedAs(more.lot, state);
  return (
    <>
      <LotField {...props} list="lots-awaited">
        {awaited.map(({ id, bath, bags }) => (
          <option key={id} value={id}>
            {`${problem.baths[bath]}, ${countText(bags, 'bag')} listed`}
          </option>
        ))}
      </LotField>
      <BagsField {...props} label="Bags that came" />
      {known ? (
        <p>
          {`Listed: ${known.bath}, ${known.litres} L a bag, ${known.expires === null ? 'no expiry' : `expires ${whenText(problem.clock, known.expires)}`}. Does the label say the same? If not, note it as another lot.`}
        </p>
      ) : (
        more.lot.trim() !== '' && (
          <>
            <label>
              Bath{' '}
              <select value={more.bath} onChange={(event) => onChange({ bath: event.target.value })}>
                <option value="">choose</option>
                {problem.baths.map((bath) => (
                  <option key={bath}>{bath}</option>
                ))}
              </select>
            </label>
            <label>
              Volume of a bag{' '}
              <input
                inputMode="decimal"
                size={6}
                value={more.litres}
                onChange={(event) => onChange({ litres: event.target.value })}
              />{' '}
              L
            </label>
            <label>
              Expires{' '}
              <input
                type="datetime-local"
                value={more.expires}
                onChange={(event) => onChange({ expires: event.target.value })}
              />
            </label>
          </>
        )
      )}
    </>
  );
}

/** How many bags of a lot are here, good and on hold together. */
export function CountFields(props: FieldsProps) {
  const { more, start } = props;
  const here = listedAs(more.lot, start.state);
  return (
    <>
      <LotField {...props} list="lots-counted">
        {start.state.lots.map(({ lot, bath }) => (
          <option key={lot} value={lot}>
            {bath ?? 'bath not known'}
          </option>
        ))}
      </LotField>
      <BagsField {...props} label="Bags here, good and on hold" />
      <UnknownLot {...{ more, start }} />
      {here && <p>By the record: {countText(here.good + here.held, 'bag')}.</p>}
    </>
  );
}

export function DutyFields({ more, start, onChange }: FieldsProps) {
  return (
    <label>
      Which{' '}
      <select value={more.place} onChange={(event) => onChange({ place: event.target.value })}>
        <option value="">choose</option>
        {start.problem.duties.map(({ id }) => (
          <option key={id}>{id}</option>
        ))}
      </select>
    </label>
  );
}
