import { useEffect, useRef, useState } from 'react';
import { bedsIn, type Prescribed, type PrescriptionChange } from '../../grid/prescriptions.ts';
import { NO_PRESCRIBING } from '../../words/cautions.ts';
import { countText, listText, numberText } from '../../words/numbers.ts';
import { dateText } from '../../words/times.ts';
import type { Answered } from '../state/events.ts';
import type { Review } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import './review.css';

const COLUMNS: readonly (readonly [head: string, of: (one: Prescribed) => string | number | undefined])[] = [
  ['Dose (prescribed), mL/kg/h', ({ dose }) => dose],
  ['Therapy, hours per day', ({ hoursPerDay }) => hoursPerDay],
  ['Delivered, mL/kg/h', ({ delivered }) => delivered],
  ['Bath', ({ bath }) => bath],
  ['Potassium, mmol/L', ({ potassium }) => potassium],
  ['Calcium, mEq/L', ({ calcium }) => calcium],
];
const said = (value: string | number | undefined): string =>
  value === undefined ? '–' : typeof value === 'number' ? numberText(value, 2) : value;

/** A value before and after; one that stays is said once, and quietly. */
function BeforeAfter({ before, after }: { before: string; after: string | null }) {
  if (after === null) return <td className="number">{before}</td>;
  if (before === after) return <td className="number muted">{before}</td>;
  return (
    <td className="number">
      {before} → <b>{after}</b>
    </td>
  );
}

const other = ({ before, after }: PrescriptionChange): string =>
  after === null
    ? 'taken out of the list'
    : [
        before.weight !== after.weight && `weight ${said(before.weight)} → ${said(after.weight)} kg`,
        before.fluidRemoval !== after.fluidRemoval &&
          `net fluid removal ${said(before.fluidRemoval)} → ${said(after.fluidRemoval)} mL/h`,
        before.replacement !== after.replacement &&
          `replacement fluid ${said(before.replacement)} → ${said(after.replacement)} mL/h`,
        before.citrateFlow !== after.citrateFlow &&
          `citrate flow ${said(before.citrateFlow)} → ${said(after.citrateFlow)} mL/h`,
        before.anticoagulation !== after.anticoagulation &&
          `anticoagulation ${said(before.anticoagulation)} → ${said(after.anticoagulation)}`,
      ]
        .filter(Boolean)
        .join(', ');

interface TableProps {
  readonly changes: readonly PrescriptionChange[];
  readonly leftOut: ReadonlySet<number>;
  readonly toggle: (patient: number) => void;
}
function ChangeTable({ changes, leftOut, toggle }: TableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus
    <section className="preview" tabIndex={0} aria-label="Each prescription before and after">
      <table className="plain review">
        <thead>
          <tr>
            <th scope="col">Change it</th>
            <th scope="col">Bed</th>
            <th scope="col">From</th>
            {COLUMNS.map(([head]) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
            <th scope="col">Look at</th>
          </tr>
        </thead>
        <tbody>
          {changes.map((change) => {
            const { patient, bed, from, before, after, risks, shared } = change;
            return (
              <tr key={`${patient} ${from}`} className={leftOut.has(patient) ? 'left-out' : undefined}>
                <td>
                  <input
                    type="checkbox"
                    checked={!leftOut.has(patient)}
                    disabled={shared}
                    title={shared ? 'The bath changes for all beds on it' : undefined}
                    aria-label={`Change ${bed}`}
                    onChange={() => toggle(patient)}
                  />
                </td>
                <th scope="row">{bed}</th>
                <td>{from === null ? 'the start' : from.slice(0, 16).replace('T', ' ')}</td>
                {COLUMNS.map(([head, of]) => (
                  <BeforeAfter key={head} before={said(of(before))} after={after && said(of(after))} />
                ))}
                <td>
                  {risks.length > 0 && <b className="warn">▲ {risks.join('; ')}</b>} {other(change)}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

const NAMED = 8;
const namesOf = (names: readonly string[]): string =>
  names.length > NAMED
    ? `${names.slice(0, NAMED).join(', ')} and ${names.length - NAMED} more`
    : listText(names);

interface GoingProps {
  readonly review: Review;
  /** What the act does, e.g. 'Change 2 prescriptions'. */
  readonly go: string;
  /** From when on it may be done in place of from the start; null: it changes nothing that hung already. */
  readonly since: string | null;
  readonly leftOut: ReadonlySet<number>;
  readonly answer: (said: Answered) => void;
  readonly off: boolean;
}
/** The ways to go on. */
const Going = ({ review, go, since, leftOut, answer, off }: GoingProps) => (
  <>
    {review.instead && review.overwrites.length > 0 && (
      <button type="button" onClick={() => answer({ go: 'instead' })}>
        Insert {countText(review.instead.rows, 'row')} at the end instead
      </button>
    )}
    <button
      type="button"
      className={since ? undefined : 'main'}
      disabled={off && review.changes.length > 0}
      onClick={() => answer({ go: 'on', leftOut })}
    >
      {since ? `${go} from the start` : go}
    </button>
    {since && (
      <button
        type="button"
        className="main"
        disabled={off}
        onClick={() => answer({ go: 'fromNow', leftOut })}
      >
        {go} from {since} on
      </button>
    )}
  </>
);

/** What an act would do to prescriptions and typed rows, row by row; it is done only when a person says so. */
function Reviewed({ review }: { review: Review }) {
  const { label, changes, overwrites, leftOut: columns, fromNow } = review;
  const since = fromNow && `${dateText(fromNow.at.slice(0, 10))}, ${fromNow.at.slice(11, 16)}`;
  const dialog = useRef<HTMLDialogElement>(null);
  const reviewed = useStore((state) => state.reviewed);
  const [leftOut, setLeftOut] = useState<ReadonlySet<number>>(new Set());
  const cancel = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
    cancel.current?.focus();
  }, []);
  // Closed, not taken away: so the focus goes back to where it was.
  const answer = (said: Answered) => {
    dialog.current?.close();
    reviewed(said);
  };
  const kept = changes.filter(({ patient }) => !leftOut.has(patient));
  const beds = bedsIn(kept);
  const risky = bedsIn(kept.filter(({ risks }) => risks.length > 0));
  const toggle = (patient: number) => {
    const next = new Set(leftOut);
    if (!next.delete(patient)) next.add(patient);
    setLeftOut(next);
  };
  const go =
    beds > 0
      ? `Change ${countText(beds, 'prescription')}`
      : overwrites.length > 0
        ? `Write over ${countText(overwrites.length, 'row')}`
        : 'Paste the rest';
  return (
    <dialog
      ref={dialog}
      className="wide"
      aria-labelledby="review-title"
      onCancel={(event) => {
        event.preventDefault();
        answer({ go: 'back' });
      }}
    >
      <h2 id="review-title">Nothing is changed yet: {label}</h2>
      {overwrites.length > 0 && (
        <p>
          This writes over typed cells in <b>{countText(overwrites.length, 'row')}</b>: {namesOf(overwrites)}.
        </p>
      )}
      {columns.length > 0 && (
        <p>
          These columns have no place here, so they are left out:{' '}
          {listText(columns.map(({ heading, values }) => `${heading} (${countText(values, 'value')})`))}.
        </p>
      )}
      {changes.length > 0 && (
        <>
          <p role="status">
            <b>{countText(beds, 'prescription')}</b> would change
            {kept.length !== beds && `: ${countText(kept.length, 'value')}, one in each row below`}.{' '}
            {risky > 0 && (
              <span className="warn">
                ▲ Look at {countText(risky, 'bed')} again: potassium, calcium or dose.
              </span>
            )}
          </p>
          {since && (
            <p className="warn">
              ▲ From the start means: also for bags that hung already. Did the prescription change now? Then
              change it from {since} on.
            </p>
          )}
          <ChangeTable changes={changes} leftOut={leftOut} toggle={toggle} />
          <p className="muted">The marks are a caution. The prescriber decides. {NO_PRESCRIBING}</p>
        </>
      )}
      <div className="actions">
        <button ref={cancel} type="button" onClick={() => answer({ go: 'back' })}>
          Cancel
        </button>
        <Going {...{ review, go, since, leftOut, answer }} off={beds === 0} />
      </div>
    </dialog>
  );
}

/** The question of an act that asks, while there is one. */
export function ReviewDialog() {
  const review = useStore((state) => state.review);
  return review && <Reviewed key={review.label} review={review} />;
}
