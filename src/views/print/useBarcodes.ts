import { useEffect, useState } from 'react';
import { type Barcode, dataMatrix } from './barcode.ts';

const drawn = new Map<string, Barcode>();
const TURN_MS = 40;

/**
 * Barcodes of many texts, drawn in short turns so that the page stays alive; each is drawn once.
 * @returns how many are ready, and all of them once they are
 */
export function useBarcodes(texts: readonly string[]): {
  done: number;
  codes: ReadonlyMap<string, Barcode> | null;
} {
  const [done, setDone] = useState(0);
  useEffect(() => {
    let next = 0;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const turn = () => {
      const stop = performance.now() + TURN_MS;
      for (; next < texts.length && performance.now() < stop; next++) {
        const text = texts[next]!;
        if (!drawn.has(text)) drawn.set(text, dataMatrix(text));
      }
      setDone(next);
      if (next < texts.length) timer = setTimeout(turn);
    };
    turn();
    return () => clearTimeout(timer);
  }, [texts]);
  return { done, codes: texts.every((text) => drawn.has(text)) ? drawn : null };
}
