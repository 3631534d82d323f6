import { useMemo, useState } from 'react';
import { amount, type CellRef, type Trace } from '../../reports/trace.ts';
import './pictures.css';

interface TracePanelProps {
  readonly trace: Trace;
  /** What these sums are of, where they are not of what is typed now. */
  readonly note?: string | undefined;
  /** Jumps to a typed cell. */
  readonly onCell?: ((cell: CellRef) => void) | undefined;
  readonly onClose?: (() => void) | undefined;
}

const SHOWN = 25;

function Branch({
  trace,
  onCell,
  open: first,
}: { trace: Trace; open: boolean } & Pick<TracePanelProps, 'onCell'>) {
  const [open, setOpen] = useState(first);
  const [all, setAll] = useState(false);
  // Of this trace, not of the one before an edit.
  const parts = useMemo(() => (open ? trace.parts() : []), [open, trace]);
  const { cell } = trace;
  return (
    <li>
      <div className="trace-line">
        {cell ? (
          <span className="trace-leaf" aria-hidden="true">
            ▪
          </span>
        ) : (
          <button
            type="button"
            className="trace-open"
            aria-expanded={open}
            aria-label={`${open ? 'Close' : 'From what'}: ${trace.label}`}
            onClick={() => setOpen(!open)}
          >
            {open ? '−' : '+'}
          </button>
        )}
        <span className="trace-label">{trace.label}</span>
        <b className="trace-value">{amount(trace.value, trace.unit)}</b>
        {cell && (
          <>
            <span className="trace-how">{trace.filled}</span>
            {onCell && (
              <button
                type="button"
                onClick={() => onCell(cell)}
                aria-label={`Go to the cell of ${trace.label}`}
              >
                go to cell
              </button>
            )}
          </>
        )}
      </div>
      {trace.formula && (
        <div className="trace-how">
          = {trace.formula}
          {trace.filled && <div className="trace-filled">{trace.filled}</div>}
        </div>
      )}
      {parts.length > 0 && (
        <ul>
          {(all ? parts : parts.slice(0, SHOWN)).map((part, index) => (
            // An edit may put another part in this place, so what is open goes with the label; labels may repeat.
            // biome-ignore lint/suspicious/noArrayIndexKey: index and label together
            <Branch key={`${index} ${part.label}`} trace={part} onCell={onCell} open={false} />
          ))}
          {!all && parts.length > SHOWN && (
            <li>
              <button type="button" onClick={() => setAll(true)}>
                show {parts.length - SHOWN} more
              </button>
            </li>
          )}
        </ul>
      )}
    </li>
  );
}

/** "From what?" of one number: its formula with values and units, opened step by step down to the typed cells. */
export function TracePanel({ trace, note, onCell, onClose }: TracePanelProps) {
  return (
    <section className="picture trace" aria-label={`Where ${trace.label} comes from`}>
      <div className="picture-head">
        <h2>From what?</h2>
        <p className="picture-summary">Each + shows what a number comes from, down to the cells you typed.</p>
        {onClose && (
          <button type="button" onClick={onClose}>
            Close
          </button>
        )}
      </div>
      {note && (
        <p className="warn" role="status">
          {note}
        </p>
      )}
      <ul>
        <Branch key={trace.label} trace={trace} onCell={onCell} open />
      </ul>
    </section>
  );
}
