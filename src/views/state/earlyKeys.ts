/** ms; a cell that is not there by then does not come. */
const WAIT_MS = 5000;

let typed: string | null = null;
let since = 0;

/** A cell is gone to: what is typed until it has the focus is meant for it. */
export function expectKeys(): void {
  typed = '';
  since = performance.now();
}

/** Whether something was typed meanwhile. */
export const hasKeys = (): boolean => typed !== null && typed !== '';

/** What was typed meanwhile, '' for nothing; from here on keys go where the focus is. */
export function takeKeys(): string {
  const text = typed ?? '';
  typed = null;
  return text;
}

/**
 * Keeps what is typed between a press on a name and the moment its cell has the focus. Without it the first key of a number
 * would be lost on a slow computer, and '32' become '2'. Returns how to stop.
 */
export function keepEarlyKeys(): () => void {
  const onKey = (event: KeyboardEvent) => {
    if (typed !== null && performance.now() - since > WAIT_MS) typed = null;
    if (typed === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const { key } = event;
    if (key === 'Backspace') typed = typed.slice(0, -1);
    else if (key === 'Escape') typed = '';
    else if (key.length === 1) typed += key;
    // What was typed stays in the open cell, to be read and then kept.
    else if (typed === '' || key !== 'Enter') return;
    event.preventDefault();
    event.stopImmediatePropagation();
  };
  window.addEventListener('keydown', onKey, true);
  return () => window.removeEventListener('keydown', onKey, true);
}
