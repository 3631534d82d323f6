import { contextBridge, ipcRenderer } from 'electron';
import type { Bridge, MenuCommand } from '../../src/bridge.ts';
import type { Answer, Call } from './shell.ts';

/** Ask main, one named task at a time; the page never sees ipcRenderer itself. */
async function ask<T>(call: Call, ...args: readonly unknown[]): Promise<T> {
  const answer: Answer = await ipcRenderer.invoke(`bathtide:${call}`, ...args);
  if ('error' in answer) throw new Error(answer.error);
  return answer.value as T;
}

contextBridge.exposeInMainWorld('bathtide', {
  host: 'electron',
  initial: () => ask('initial'),
  open: () => ask('open'),
  openRecent: (handle) => ask('openRecent', handle),
  recent: () => ask('recent'),
  save: (handle, text, base) => ask('save', handle, text, base),
  look: (handle, digest) => ask('look', handle, digest),
  versions: (handle) => ask('versions', handle),
  changes: (handle) => ask('changes', handle),
  version: (handle, id) => ask('version', handle, id),
  record: (handle, known) => ask('record', handle, known),
  note: (handle, station, drafts) => ask('note', handle, station, drafts),
  keepDraft: (draft) => ask('keepDraft', draft),
  drafts: () => ask('drafts'),
  forgetDraft: (id) => ask('forgetDraft', id),
  saveAs: (suggestedName, text) => ask('saveAs', suggestedName, text),
  exportFile: (suggestedName, bytes) => ask('exportFile', suggestedName, bytes),
  printPdf: (suggestedName) => ask('printPdf', suggestedName),
  onMenu(listener) {
    // Only the command passes: the event object would hand the page the sender.
    const pass = (_event: unknown, command: MenuCommand) => listener(command);
    ipcRenderer.on('bathtide:menu', pass);
    return () => {
      ipcRenderer.removeListener('bathtide:menu', pass);
    };
  },
  setUnsaved(unsaved, variants) {
    void ask('setUnsaved', unsaved, variants);
  },
} satisfies Bridge);
