import { useMemo } from 'react';
import { SHEETS } from '../../grid/sheets.ts';
import { placeOfFault } from '../../grid/where.ts';
import { plural } from '../../words/numbers.ts';
import { PARTS } from '../panels/parts.tsx';
import { useStore } from '../state/store.ts';

/** Share of the height that what was asked for has at least: the sheet, or the picture. */
const ASKED = 0.6;

/** Every sheet and every picture, with how many rows and faults each sheet has. */
export function SheetTabs() {
  const scenario = useStore((state) => state.scenario);
  const faults = useStore((state) => state.faults);
  const { place, sheet, part } = useStore((state) => state.view);
  const show = useStore((state) => state.show);
  const counts = useMemo(() => {
    const found = new Map<string, { error: number; warning: number }>();
    for (const fault of faults) {
      const id = placeOfFault(scenario, fault.path).sheet;
      const count = found.get(id) ?? { error: 0, warning: 0 };
      count[fault.level] += 1;
      found.set(id, count);
    }
    return found;
  }, [scenario, faults]);
  return (
    <nav className="tabs" aria-label="Sheets and pictures">
      <button type="button" aria-current={place === 'home'} onClick={() => show({ place: 'home' })}>
        <span>Home</span>
      </button>
      <h2>Sheets</h2>
      {SHEETS.map(({ id, title, nested, list, rows }) => {
        const { error = 0, warning = 0 } = counts.get(id) ?? {};
        return (
          <button
            key={id}
            type="button"
            className={nested ? 'nested' : undefined}
            aria-current={place === 'sheets' && sheet === id}
            onClick={() => show({ sheet: id, split: Math.max(ASKED, useStore.getState().view.split) })}
          >
            <span>{title}</span>
            {error > 0 && (
              <span className="badge bad">
                ✕ {error}
                <span className="sr-only"> {plural(error, 'error')}</span>
              </span>
            )}
            {error === 0 && warning > 0 && (
              <span className="badge warn">
                ! {warning}
                <span className="sr-only"> {plural(warning, 'warning')}</span>
              </span>
            )}
            {list && <span className="badge">{rows(scenario).length}</span>}
          </button>
        );
      })}
      <h2>Plan</h2>
      {PARTS.map(({ id, title }) => (
        <button
          key={id}
          type="button"
          aria-current={place === 'sheets' && part === id}
          onClick={() => show({ part: id, split: Math.min(1 - ASKED, useStore.getState().view.split) })}
        >
          <span>{title}</span>
        </button>
      ))}
    </nav>
  );
}
