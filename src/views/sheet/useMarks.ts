import { useMemo, useRef } from 'react';
import { placeOfFault } from '../../grid/where.ts';
import { useStore } from '../state/store.ts';
import type { Mark } from './gridTypes.ts';

/** Marks of one sheet's cells, by 'row key/field key'; an error goes before a warning. */
export function useMarks(sheet: string): ReadonlyMap<string, Mark> {
  const scenario = useStore((state) => state.scenario);
  const faults = useStore((state) => state.faults);
  const last = useRef<ReadonlyMap<string, Mark>>(new Map());
  return useMemo(() => {
    const marks = new Map<string, Mark>();
    for (const fault of faults) {
      const place = placeOfFault(scenario, fault.path);
      if (place?.sheet !== sheet) continue;
      const key = `${place.row}/${place.field}`;
      const text = `${fault.message}. Expected: ${fault.hint}${fault.source ? ` (${fault.source})` : ''}`;
      const before = marks.get(key);
      marks.set(key, {
        level: before?.level === 'error' ? 'error' : fault.level,
        text: before ? `${before.text}\n${text}` : text,
      });
    }
    const before = last.current;
    const same =
      before.size === marks.size &&
      [...marks].every(
        ([key, { level, text }]) => before.get(key)?.level === level && before.get(key)?.text === text,
      );
    // The same map as long as nothing in it changes, so that an edit repaints its own cell only.
    if (!same) last.current = marks;
    return last.current;
  }, [scenario, faults, sheet]);
}
