/**
 * The one door between the app (a sandboxed page) and its host (Electron, or the local host behind a browser).
 * Text, bytes and opaque handles pass through it; the host knows no patient.
 */
export interface FileRef {
  /** Opaque to the page; the host hands out only what the user chose or what lies in folders it may show. */
  readonly handle: string;
  readonly name: string;
  /** True for an example or a file that was only lent: `save` refuses it, so ask where (`saveAs`) instead. */
  readonly readOnly?: boolean;
  /** SHA-256 of the content that was last read or written, hex: says on saving which content the edits began from. */
  readonly digest?: string;
}
export interface OpenedFile extends FileRef {
  readonly text: string;
}
/** What a save came to. */
export type Saved =
  | { readonly digest: string }
  /** Nothing was written: somebody has saved since. `base`: what was read here, null where it is not known any more. */
  | { readonly newer: { readonly text: string; readonly digest: string }; readonly base: string | null };
interface Looked {
  readonly text: string;
  readonly digest: string;
  /** null: not known any more */
  readonly base: string | null;
}
/** A saved state of a file that is kept. */
export interface Version {
  readonly id: string;
  /** ISO 8601, UTC */
  readonly saved: string;
}
/** A computer's history of who changed which prescription: a line of JSON a change. */
export interface HistoryFile {
  readonly name: string;
  readonly text: string;
}
/** Edits that no file holds yet. */
export interface Draft {
  /** of the file that they belong to, null for one that was never saved */
  readonly handle: string | null;
  readonly name: string;
  readonly text: string;
  /** digest of the content that they began from */
  readonly base: string | null;
  /** ISO 8601, UTC */
  readonly at: string;
}
export interface KeptDraft extends Draft {
  readonly id: string;
  /** The file that they belong to, opened again, with what it holds now; null: there is none. */
  readonly file: OpenedFile | null;
}
/** A station's file of the record, from a byte on. */
export interface RecordPart {
  /** e.g. icu-desk.jsonl */
  readonly name: string;
  /** The byte at which `text` begins: what is known of the file, or 0 where that is not what it holds any more. */
  readonly from: number;
  /** Bytes of the file with this part. */
  readonly size: number;
  readonly text: string;
}
/** What a station has noted: on the disk. */
export interface NotedLines {
  readonly file: string;
  readonly lines: readonly string[];
  /** What was wrong with its file when it was opened. */
  readonly faults: readonly string[];
}
export type MenuCommand = 'new' | 'open' | 'save' | 'save-as' | 'print' | 'undo' | 'redo' | 'find';

export interface Bridge {
  readonly host: 'electron' | 'browser';
  /** The file named at launch, else the demo scenario. */
  initial(): Promise<OpenedFile>;
  /** Ask the user for a scenario; null when they change their mind. */
  open(): Promise<OpenedFile | null>;
  openRecent(handle: string): Promise<OpenedFile>;
  recent(): Promise<readonly FileRef[]>;
  /** Write a scenario back where it came from, atomically. @param base digest of the content that the edits began from */
  save(handle: string, text: string, base: string | null): Promise<Saved>;
  /** What a file holds now, and what it held under this digest; null as long as it is the same. */
  look(handle: string, digest: string): Promise<Looked | null>;
  /** The saved states of a file that are kept, newest first. */
  versions(handle: string): Promise<readonly Version[]>;
  /** Who changed which prescription when: every computer's history beside the file, read by `src/scenario/changed.ts`. */
  changes(handle: string): Promise<readonly HistoryFile[]>;
  version(handle: string, id: string): Promise<string>;
  /** Flushes edits to the disk that no file holds yet; null: there are none any more. */
  keepDraft(draft: Draft | null): Promise<void>;
  /** What pages that died have left, newest first. */
  drafts(): Promise<readonly KeptDraft[]>;
  forgetDraft(id: string): Promise<void>;
  /** What the record beside a scenario holds, every station's file, beyond the bytes that are known of each. */
  record(handle: string, known: Readonly<Record<string, number>>): Promise<readonly RecordPart[]>;
  /** Notes entries (drafts of `src/record/entries.ts`) in this station's file: flushed when this resolves. */
  note(handle: string, station: string, drafts: readonly object[]): Promise<NotedLines>;
  /** Ask where, then write; null when they change their mind. */
  saveAs(suggestedName: string, text: string): Promise<FileRef | null>;
  /** Ask where, then write an export (CSV, XLSX, iCalendar, SVG, PNG ...); null when they change their mind. */
  exportFile(suggestedName: string, bytes: Uint8Array): Promise<FileRef | null>;
  /** The page as it prints (print style sheet) to a PDF; null when they change their mind. */
  printPdf(suggestedName: string): Promise<FileRef | null>;
  /** Menu commands of the shell; returns how to stop listening. */
  onMenu(listener: (command: MenuCommand) => void): () => void;
  /** Tells the host whether closing would lose edits, and variants, which no file holds. */
  setUnsaved(unsaved: boolean, variants: boolean): void;
}

/** What the local host shows in the browser's file dialog; under Electron the system's own dialog takes its place. */
export interface ListedFile extends FileRef {
  readonly bytes: number;
  /** ISO 8601, UTC */
  readonly modified: string;
}
export interface Folder {
  readonly id: string;
  readonly name: string;
  readonly readOnly: boolean;
  readonly files: readonly ListedFile[];
}
