import { useEffect } from 'react';
import type { Bridge } from '../../bridge.ts';
import type { Commands } from '../panels/TopBar.tsx';
import type { Arrangement } from '../state/arrangements.ts';
import { useStore } from '../state/store.ts';

const AREAS = [
  '.top button',
  '.tabs [aria-current="true"], .tabs button',
  '.grid[tabindex], .grid .ag-cell-focus, .grid .ag-cell',
  '.divider.row',
  '.part',
  '.side button',
];
const ORDER: readonly Arrangement[] = ['nephrology', 'technician', 'administrator'];

/** The next area of the page takes the focus: inside a grid, Tab goes from cell to cell. */
function nextArea(step: 1 | -1): void {
  const boxes = ['.top', '.tabs', '.grid', '.divider.row', '.part', '.side'].map((box) =>
    document.querySelector(box),
  );
  const here = boxes.findIndex((box) => box?.contains(document.activeElement));
  for (let n = 1; n <= AREAS.length; n++) {
    const at = (here + step * n + AREAS.length * 2) % AREAS.length;
    const target = document.querySelector<HTMLElement>(AREAS[at]!);
    if (!target) continue;
    target.focus();
    if (document.activeElement === target) return;
  }
}

/** Keys of the whole page, and the shell's menu, which says the same. */
export function useKeys(bridge: Bridge, commands: Commands, find: () => void): void {
  useEffect(() => {
    const { undo, redo, arrange } = useStore.getState();
    const typing = (event: Event) =>
      (event.target as Element | null)?.closest?.('input, textarea, select, dialog');
    const onKey = (event: KeyboardEvent) => {
      const key = event.key.toLowerCase();
      const act = (go: () => void) => {
        event.preventDefault();
        go();
      };
      // Behind an open dialog nothing happens unseen, neither ours nor the browser's own.
      if (document.querySelector('dialog:modal')) {
        if ((event.ctrlKey || event.metaKey) && ['s', 'o', 'p', 'f'].includes(key)) event.preventDefault();
        return;
      }
      if (event.key === 'F6') return act(() => nextArea(event.shiftKey ? -1 : 1));
      if (event.altKey && ['1', '2', '3'].includes(key)) return act(() => arrange(ORDER[Number(key) - 1]!));
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      if (key === 's') return act(event.shiftKey ? commands.saveAs : commands.save);
      if (key === 'o') return act(commands.open);
      if (key === 'f') return act(find);
      if (typing(event)) return;
      if (key === 'z') return act(event.shiftKey ? redo : undo);
      if (key === 'y') return act(redo);
    };
    document.addEventListener('keydown', onKey);
    const stop = bridge.onMenu((command) => {
      if (command === 'new') commands.create();
      if (command === 'open') commands.open();
      if (command === 'save') commands.save();
      if (command === 'save-as') commands.saveAs();
      if (command === 'print') useStore.getState().show({ part: 'paper', split: 0 });
      if (command === 'undo') undo();
      if (command === 'redo') redo();
      if (command === 'find') find();
    });
    return () => {
      document.removeEventListener('keydown', onKey);
      stop();
    };
  }, [bridge, commands, find]);
}
