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
}
export interface OpenedFile extends FileRef {
  readonly text: string;
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
  /** Write a scenario back where it came from, atomically. */
  save(handle: string, text: string): Promise<void>;
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
