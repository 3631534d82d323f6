import { useMemo } from 'react';
import { placeOfFault } from '../../grid/where.ts';
import { whereOnScreen } from '../../scenario/fields.ts';
import { pathText } from '../../scenario/read.ts';
import { jumpTo, useStore } from '../state/store.ts';

/** All faults, errors first; each leads to its cell. */
export function FaultList() {
  const faults = useStore((state) => state.faults);
  const scenario = useStore((state) => state.scenario);
  const sorted = useMemo(() => [...faults].sort((a, b) => a.level.localeCompare(b.level)), [faults]);
  return (
    <ul className="faults" aria-label="Errors and warnings">
      {sorted.slice(0, 300).map((fault, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a fault has no name of its own
        <li key={index}>
          <button
            type="button"
            onClick={() => {
              jumpTo(placeOfFault(scenario, fault.path));
            }}
          >
            <span className={fault.level === 'error' ? 'bad' : 'warn'}>
              {fault.level === 'error' ? '✕ Error' : '! Warning'}
            </span>
            <span>{whereOnScreen(fault.path, fault.row) || pathText(fault)}</span>
            <span>
              {fault.message}. Expected: {fault.hint}
              {fault.source ? ` (${fault.source})` : ''}
            </span>
          </button>
        </li>
      ))}
      {sorted.length > 300 && <li className="muted">{sorted.length - 300} more</li>}
    </ul>
  );
}
