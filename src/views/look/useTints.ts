import { useMemo } from 'react';
import type { Tints } from '../../reports/palette.ts';
import { useStore } from '../state/store.ts';

/** The site's own bath tints, by bath. */
export function useTints(): Tints {
  const baths = useStore((state) => state.scenario.baths);
  return useMemo(
    () => Object.fromEntries(baths.flatMap(({ id, tint }) => (typeof tint === 'string' ? [[id, tint]] : []))),
    [baths],
  );
}
