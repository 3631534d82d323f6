import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import { takeKeys } from '../state/earlyKeys.ts';

/** What the grid hands to an editor, and what `cellEditorParams` adds. */
interface CellEditorProps {
  readonly value: unknown;
  readonly eventKey: string | null;
  readonly onValueChange: (value: string) => void;
  /** What is in the cell as it was typed. */
  readonly text: string;
  readonly label: string;
  readonly choices: readonly { readonly value: string; readonly note: string }[];
  /** Ends editing, keeps the text and goes one cell on. */
  readonly leave: (key: string) => void;
}

const ARROWS = new Set(['ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight']);

/** One line of text. Begun by typing, arrows leave the cell; begun by F2 or a double click, they move in the text. */
export function CellEditor({ eventKey, onValueChange, text, label, choices, leave }: CellEditorProps) {
  const input = useRef<HTMLInputElement>(null);
  const [early] = useState(takeKeys);
  const typed = early !== '' || eventKey?.length === 1;
  const first = early !== '' ? early : typed ? eventKey! : text;
  const list = useId();
  // biome-ignore lint/correctness/useExhaustiveDependencies: only when editing begins
  useEffect(() => {
    onValueChange(first);
    input.current?.focus({ preventScroll: true });
    input.current?.setSelectionRange(first.length, first.length);
  }, []);
  const onKeyDown = (event: KeyboardEvent) => {
    if (!typed || !ARROWS.has(event.key) || event.shiftKey) return;
    // Up and down choose from the list of a cell that has one.
    if (choices.length > 0 && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) return;
    event.preventDefault();
    event.stopPropagation();
    leave(event.key);
  };
  return (
    <>
      <input
        ref={input}
        className="cell-editor"
        aria-label={label}
        defaultValue={first}
        list={choices.length > 0 ? list : undefined}
        autoComplete="off"
        spellCheck={false}
        onChange={(event) => onValueChange(event.target.value)}
        onKeyDown={onKeyDown}
      />
      {choices.length > 0 && (
        <datalist id={list}>
          {choices.map(({ value, note }) => (
            <option key={value} value={value} label={note === '' ? undefined : `${value}: ${note}`} />
          ))}
        </datalist>
      )}
    </>
  );
}
