import { useLayoutEffect, useRef } from 'react';
import type { Said } from '../../reports/describe.ts';

export interface TipAt {
  /** Pointer, CSS px in the window. */
  readonly x: number;
  readonly y: number;
  readonly said: Said;
}

/** What lies under the pointer. The keyboard gets the same words from the live region of each picture. */
export function Tip({ at }: { at: TipAt | null }) {
  const ref = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const box = ref.current;
    if (!box || !at) return;
    const { width, height } = box.getBoundingClientRect();
    const x = at.x + 14 + width > innerWidth ? Math.max(4, at.x - width - 14) : at.x + 14;
    const y = at.y + 16 + height > innerHeight ? Math.max(4, at.y - height - 10) : at.y + 16;
    box.style.transform = `translate(${x}px, ${y}px)`;
  });
  if (!at) return null;
  return (
    <div ref={ref} className="picture-tip" aria-hidden="true">
      <b>{at.said.title}</b>
      {at.said.lines.map((line) => (
        <div key={line}>{line}</div>
      ))}
    </div>
  );
}
