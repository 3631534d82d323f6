import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import type { GridHandle } from './gridTypes.ts';

/** Goes from cell to cell that holds a text. */
export function FindBar({
  grid,
  found,
  setFound,
  close,
}: {
  grid: () => GridHandle | null;
  found: string;
  setFound: (text: string) => void;
  close: () => void;
}) {
  const [hits, setHits] = useState({ count: 0, at: 0 });
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => input.current?.select(), []);
  const go = (step: 1 | -1 | 0, text = found) => {
    setHits(grid()?.find(text, step) ?? { count: 0, at: 0 });
    input.current?.focus();
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'Enter') go(event.shiftKey ? -1 : 1);
    if (event.key === 'Escape') close();
  };
  return (
    <search className="find">
      <input
        ref={input}
        aria-label="Find in this sheet"
        placeholder="Find"
        value={found}
        onChange={(event) => {
          setFound(event.target.value);
          go(0, event.target.value);
        }}
        onKeyDown={onKeyDown}
      />
      <span className="muted" role="status">
        {found === '' ? '' : hits.count === 0 ? 'not found' : `${hits.at} of ${hits.count}`}
      </span>
      <button type="button" onClick={() => go(-1)} aria-label="Previous hit">
        ↑
      </button>
      <button type="button" onClick={() => go(1)} aria-label="Next hit">
        ↓
      </button>
      <button type="button" onClick={close} aria-label="Close find">
        ✕
      </button>
    </search>
  );
}
