import { useState } from 'react';
import { amount, type CellRef, type Trace } from '../../sheets/trace.ts';
import './pictures.css';

export interface TracePanelProps {
  readonly trace: Trace;
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
  // Opened once, kept: closing must not lose what was open inside.
  const [parts, setParts] = useState<readonly Trace[] | null>(first ? trace.parts() : null);
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
            onClick={() => {
              setParts(parts ?? trace.parts());
              setOpen(!open);
            }}
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
      {open && parts && parts.length > 0 && (
        <ul>
          {(all ? parts : parts.slice(0, SHOWN)).map((part, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: parts of a trace never change places
            <Branch key={index} trace={part} onCell={onCell} open={false} />
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
export function TracePanel({ trace, onCell, onClose }: TracePanelProps) {
  return (
    <section className="picture trace" aria-label={`Where ${trace.label} comes from`}>
      <div className="picture-head">
        <h2>From what?</h2>
        <p className="picture-summary">Each + shows what a number comes from, down to the typed cells.</p>
        {onClose && (
          <button type="button" onClick={onClose}>
            Close
          </button>
        )}
      </div>
      <ul>
        <Branch key={trace.label} trace={trace} onCell={onCell} open />
      </ul>
    </section>
  );
}
