const editors = new Set<() => void>();

/** A grid says how its open editor is closed with what was typed; returns how to take that back. */
export function onSettle(close: () => void): () => void {
  editors.add(close);
  return () => {
    editors.delete(close);
  };
}

const turn = () => new Promise<void>((done) => setTimeout(done));

/**
 * What was typed last is in the store: closes open editors and waits for the grid, which tells of edits a turn later.
 * Before anything is saved or printed, or a hurried Enter and Ctrl+S would write the value before.
 */
export async function settled(): Promise<void> {
  for (const close of editors) close();
  await turn();
  await turn();
}
