import type { KeyboardEvent, PointerEvent } from 'react';

interface DividerProps {
  /** row: moves up and down, between two panes above each other. */
  readonly kind: 'row' | 'column';
  readonly label: string;
  /** Share of the first pane, 0..1. */
  readonly value: number;
  readonly onChange: (value: number) => void;
}

const clamp = (value: number): number => Math.min(1, Math.max(0, value));

/** A bar that sizes two panes, by mouse or by arrow keys. */
export function Divider({ kind, label, value, onChange }: DividerProps) {
  const move = (event: PointerEvent<HTMLElement>) => {
    if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const box = event.currentTarget.parentElement!.getBoundingClientRect();
    onChange(
      clamp(kind === 'row' ? (event.clientY - box.top) / box.height : (event.clientX - box.left) / box.width),
    );
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const less = kind === 'row' ? 'ArrowUp' : 'ArrowLeft';
    const more = kind === 'row' ? 'ArrowDown' : 'ArrowRight';
    if (event.key !== less && event.key !== more) return;
    event.preventDefault();
    onChange(clamp(value + (event.key === more ? 0.04 : -0.04)));
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: hr takes no focus; this is the window splitter of the ARIA practices
    <div
      role="separator"
      tabIndex={0}
      className={`divider ${kind}`}
      aria-label={label}
      aria-orientation={kind === 'row' ? 'horizontal' : 'vertical'}
      aria-valuenow={Math.round(value * 100)}
      aria-valuemin={0}
      aria-valuemax={100}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={move}
      onKeyDown={onKeyDown}
    />
  );
}
