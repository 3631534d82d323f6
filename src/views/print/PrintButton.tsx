import { useState } from 'react';
import { countText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';

/** The next frame is on screen: what follows may block the page for seconds. */
const painted = () =>
  new Promise<void>((resolve) => {
    requestAnimationFrame(() => setTimeout(resolve));
  });

/** Prints, and shows that it is at work until the pages are handed over or saved: a hundred of them take seconds. */
export function PrintButton({
  pages,
  disabled,
  onPrint,
}: {
  readonly pages: number;
  readonly disabled: boolean;
  readonly onPrint: () => Promise<void>;
}) {
  const [busy, setBusy] = useState(false);
  const print = async () => {
    setBusy(true);
    // From here on it is on paper: a better one waits to be taken.
    useStore.getState().markUsed();
    await painted();
    await onPrint().finally(() => setBusy(false));
  };
  return (
    <>
      <button type="button" className="main" disabled={disabled || busy} onClick={() => void print()}>
        Print {countText(pages, 'page')}
      </button>
      <span role="status" className="printing">
        {busy && (
          <>
            <progress aria-label="Printing" /> Preparing {countText(pages, 'page')} …
          </>
        )}
      </span>
    </>
  );
}
