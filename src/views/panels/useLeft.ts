import { useEffect, useRef, useState } from 'react';

/** A share below this says nothing of the rest yet. */
const LEAST = 0.05;

/**
 * Time that long work still takes, from how far it has come.
 * @param done share of the work, 0 to 1 @param elapsed ms
 * @returns s; null: too early to say
 */
export const secondsLeft = (done: number, elapsed: number): number | null =>
  done < LEAST || done >= 1 ? null : ((elapsed / done) * (1 - done)) / 1000;

/** 'about 40 s left', 'about 2 min left'; rounded, so that it does not flicker; '' where nothing can be said. */
export function leftText(seconds: number | null): string {
  if (seconds === null) return '';
  if (seconds < 5) return 'a few seconds left';
  if (seconds < 55) return `about ${5 * Math.ceil(seconds / 5)} s left`;
  return `about ${Math.max(1, Math.round(seconds / 60))} min left`;
}

/** How long the work that is `done` by a share still takes. @param run another number: another piece of work */
export function useLeft(run: number | null, done: number): string {
  const began = useRef(0);
  const [text, setText] = useState('');
  // biome-ignore lint/correctness/useExhaustiveDependencies: each run has a beginning of its own
  useEffect(() => {
    began.current = performance.now();
    setText('');
  }, [run]);
  useEffect(() => {
    if (run !== null) setText(leftText(secondsLeft(done, performance.now() - began.current)));
  }, [run, done]);
  return run === null ? '' : text;
}
