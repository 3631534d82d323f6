import type { Bridge, FileRef, OpenedFile } from '../../bridge.ts';
import { writeScenario } from '../../scenario/read.ts';
import { EMPTY } from './session.ts';

const files = new Map<string, string>();
const scenarios = import.meta.glob<string>('../../scenarios/*.json', { query: '?raw', import: 'default' });

const download = (name: string, bytes: BlobPart): FileRef => {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([bytes]));
  link.download = name;
  link.click();
  return { handle: name, name };
};

const pick = (): Promise<OpenedFile | null> =>
  new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = '.json';
    input.oncancel = () => resolve(null);
    input.onchange = async () => {
      const file = input.files?.[0];
      resolve(file ? { handle: file.name, name: file.name, text: await file.text() } : null);
    };
    input.click();
  });

/** A host for `vite` alone: opens by the browser's own picker, saves to memory and downloads. Never in a build. */
export const devBridge: Bridge = {
  host: 'browser',
  async initial() {
    const wanted = new URLSearchParams(location.search).get('file') ?? 'surge-week.json';
    const load = scenarios[`../../scenarios/${wanted}`] ?? Object.values(scenarios)[0];
    return { handle: wanted, name: wanted, text: load ? await load() : writeScenario(EMPTY) };
  },
  open: pick,
  async openRecent(handle) {
    return { handle, name: handle, text: files.get(handle) ?? writeScenario(EMPTY) };
  },
  async recent() {
    return [...files.keys()].map((name) => ({ handle: name, name }));
  },
  async save(handle, text) {
    files.set(handle, text);
    return { digest: '' };
  },
  look: async () => null,
  versions: async () => [],
  changes: async () => [],
  version: async () => '',
  record: async () => [],
  async note() {
    throw new Error('Nothing was noted: this page has no host. Start Bathtide.');
  },
  keepDraft: async () => {},
  drafts: async () => [],
  forgetDraft: async () => {},
  async saveAs(suggestedName, text) {
    files.set(suggestedName, text);
    return download(suggestedName, text);
  },
  async exportFile(suggestedName, bytes) {
    return download(suggestedName, bytes as Uint8Array<ArrayBuffer>);
  },
  async printPdf(suggestedName) {
    window.print();
    return { handle: suggestedName, name: suggestedName };
  },
  onMenu: () => () => {},
  setUnsaved() {},
};
