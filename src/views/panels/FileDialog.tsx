import { type KeyboardEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { createRoot } from 'react-dom/client';
import type { FileRef, Folder, ListedFile, OpenedFile } from '../../bridge.ts';
import { withEnding } from '../state/files.ts';
import './FileDialog.css';

interface OpenRequest {
  readonly folders: readonly Folder[];
  readonly recent: readonly FileRef[];
  readonly open: (handle: string) => Promise<OpenedFile>;
}
interface SaveRequest {
  readonly title: string;
  /** suggested */
  readonly name: string;
  readonly folders: readonly Folder[];
  /** null: the name is taken and `overwrite` was false */
  readonly save: (folder: string, name: string, overwrite: boolean) => Promise<FileRef | null>;
  readonly download: (name: string) => FileRef;
}

/** A modal dialog: focus stays inside, Escape and Cancel close it. */
function Modal({ title, onClose, children }: { title: string; onClose: () => void; children: ReactNode }) {
  const ref = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useEffect(() => ref.current?.showModal(), []);
  return (
    <dialog ref={ref} className="file-dialog" aria-labelledby={heading} onClose={onClose} onKeyDown={keepIn}>
      <h2 id={heading}>{title}</h2>
      {children}
    </dialog>
  );
}

/** Keys stay in the dialog: the page's own save or open would put a second one on top. */
function keepIn(event: KeyboardEvent) {
  event.stopPropagation();
  if ((event.ctrlKey || event.metaKey) && /^[sopf]$/i.test(event.key)) event.preventDefault();
}

const words = (error: unknown) => (error instanceof Error ? error.message : String(error));
const size = (bytes: number) =>
  bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
/** 2031-02-03 07:00, in this computer's zone: the way the sheets write it. */
const when = (iso: string) => new Date(iso).toLocaleString('sv', { dateStyle: 'short', timeStyle: 'short' });

/** Up and Down go through the files, as in any list. */
function step(event: KeyboardEvent<HTMLElement>) {
  const by = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
  const all = [...event.currentTarget.querySelectorAll('button')];
  const next = all[all.indexOf(document.activeElement as HTMLButtonElement) + by];
  if (by === 0 || !next) return;
  event.preventDefault();
  next.focus();
}

interface FilesProps {
  readonly files: readonly (FileRef & Partial<Pick<ListedFile, 'bytes' | 'modified'>>)[];
  readonly label: string;
  readonly onPick: (file: FileRef) => void;
}
function Files({ files, label, onPick }: FilesProps) {
  if (files.length === 0) return <p className="file-dialog-none">No scenario files here yet.</p>;
  return (
    <ul aria-label={label} onKeyDown={step}>
      {files.map((file) => (
        <li key={file.handle}>
          <button type="button" onClick={() => onPick(file)}>
            <span>{file.name}</span>
            {file.modified && <small>{when(file.modified)}</small>}
            {file.bytes !== undefined && <small>{size(file.bytes)}</small>}
          </button>
        </li>
      ))}
    </ul>
  );
}

function OpenDialog({ request, done }: { request: OpenRequest; done: (file: OpenedFile | null) => void }) {
  const [fault, setFault] = useState('');
  const input = useRef<HTMLInputElement>(null);
  const attempt = (opening: Promise<OpenedFile>) => opening.then(done, (error) => setFault(words(error)));
  const lend = async (file: File): Promise<OpenedFile> => {
    const text = await file.text();
    return { handle: '', name: file.name, readOnly: true, text };
  };
  const groups = [
    ...(request.recent.length > 0 ? [{ id: 'recent', name: 'Recent', files: request.recent }] : []),
    ...request.folders,
  ];
  return (
    <Modal title="Open a scenario" onClose={() => done(null)}>
      {groups.map((group) => (
        <section key={group.id}>
          <h3>{group.name}</h3>
          <Files
            files={group.files}
            label={group.name}
            onPick={(file) => attempt(request.open(file.handle))}
          />
        </section>
      ))}
      {fault && <p role="alert">{fault}</p>}
      <footer>
        <input
          ref={input}
          type="file"
          accept=".json,application/json"
          aria-label="A file from this computer"
          hidden
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) void attempt(lend(file));
          }}
        />
        <button type="button" onClick={() => input.current?.click()}>
          Choose a file from this computer ...
        </button>
        <button type="button" onClick={() => done(null)}>
          Cancel
        </button>
      </footer>
    </Modal>
  );
}

function SaveDialog({ request, done }: { request: SaveRequest; done: (file: FileRef | null) => void }) {
  const [name, setName] = useState(request.name);
  const [folder, setFolder] = useState(request.folders[0]?.id ?? '');
  const [taken, setTaken] = useState(false);
  const [fault, setFault] = useState('');
  const id = useId();
  const change = (act: () => void) => {
    act();
    setTaken(false);
    setFault('');
  };
  const whole = withEnding(name, request.name);
  const attempt = (overwrite: boolean) =>
    request.save(folder, whole, overwrite).then(
      (file) => (file ? done(file) : setTaken(true)),
      (error) => setFault(words(error)),
    );
  const listed = request.folders.find((one) => one.id === folder);
  return (
    <Modal title={request.title} onClose={() => done(null)}>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          if (folder !== '') void attempt(taken);
        }}
      >
        <label htmlFor={`${id}name`}>Name</label>
        <input
          id={`${id}name`}
          value={name}
          required
          onChange={(event) => change(() => setName(event.target.value))}
        />
        {request.folders.length > 0 && (
          <>
            <label htmlFor={`${id}folder`}>Folder</label>
            <select
              id={`${id}folder`}
              value={folder}
              onChange={(event) => change(() => setFolder(event.target.value))}
            >
              {request.folders.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.name}
                </option>
              ))}
            </select>
            {listed && listed.files.length > 0 && (
              <section>
                <h3>Already in this folder</h3>
                <Files
                  files={listed.files}
                  label="Already in this folder"
                  onPick={(file) => change(() => setName(file.name))}
                />
              </section>
            )}
          </>
        )}
        {taken && <p role="alert">{whole} is already there. Replace it? You cannot undo this.</p>}
        {fault && <p role="alert">{fault}</p>}
        <footer>
          <button type="button" onClick={() => done(request.download(whole))} disabled={name.trim() === ''}>
            Download
          </button>
          <button type="button" onClick={() => done(null)}>
            Cancel
          </button>
          {request.folders.length > 0 && (
            <button type="submit" className="file-dialog-go">
              {taken ? 'Replace' : 'Save'}
            </button>
          )}
        </footer>
      </form>
    </Modal>
  );
}

/** Put a dialog on the page until it is answered; focus goes back to where it was. */
function show<T>(render: (done: (answer: T | null) => void) => ReactNode): Promise<T | null> {
  const before = document.activeElement;
  const place = document.body.appendChild(document.createElement('div'));
  const root = createRoot(place);
  return new Promise((resolve) => {
    const done = (answer: T | null) => {
      resolve(answer);
      root.unmount();
      place.remove();
      if (before instanceof HTMLElement) before.focus();
    };
    root.render(render(done));
  });
}

/** Which file? null when the user changes their mind. Faults of opening are shown in the dialog. */
export const askOpen = (request: OpenRequest) =>
  show<OpenedFile>((done) => <OpenDialog request={request} done={done} />);

/** Under which name, where? Asks again before it replaces a file; null when the user changes their mind. */
export const askSave = (request: SaveRequest) =>
  show<FileRef>((done) => <SaveDialog request={request} done={done} />);
