import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { Bridge, KeptDraft, Version } from '../../bridge.ts';
import { type Conflict, conflictKey, type Side } from '../../scenario/merge.ts';
import { countText } from '../../words/numbers.ts';
import { pathText, valueText } from '../state/merging.ts';
import type { Clash } from '../state/session.ts';
import { answerClash, say, takeDraft, useStore } from '../state/store.ts';
import './FileDialog.css';

/** A modal dialog; Escape is the answer "not now". */
export function Modal({
  title,
  className = '',
  onClose,
  children,
}: {
  title: string;
  className?: string;
  onClose: () => void;
  children: ReactNode;
}) {
  const ref = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useEffect(() => ref.current?.showModal(), []);
  return (
    <dialog ref={ref} className={`file-dialog wide ${className}`} aria-labelledby={heading} onClose={onClose}>
      <h2 id={heading}>{title}</h2>
      {children}
    </dialog>
  );
}

interface RowProps {
  readonly conflict: Conflict;
  readonly choice: Side | undefined;
  readonly choose: (side: Side) => void;
}
function ConflictRow({ conflict, choice, choose }: RowProps) {
  const name = useId();
  const option = (side: Side, value: unknown) => (
    <td>
      <label>
        <input type="radio" name={name} checked={choice === side} onChange={() => choose(side)} />{' '}
        {valueText(value)}
      </label>
    </td>
  );
  return (
    <tr>
      <th scope="row">{pathText(conflict.path)}</th>
      <td>{valueText(conflict.base)}</td>
      {option('mine', conflict.mine)}
      {option('theirs', conflict.theirs)}
    </tr>
  );
}

function ClashDialog({ clash }: { clash: Clash }) {
  const { conflicts, file, saving } = clash;
  const all = (side: Side) => new Map(conflicts.map((one) => [conflictKey(one), side]));
  // What others saved comes in unless it is left out; what both changed must be decided.
  const [choices, setChoices] = useState<ReadonlyMap<string, Side>>(() =>
    saving ? new Map() : all('theirs'),
  );
  const open = conflicts.filter((one) => !choices.has(conflictKey(one))).length;
  return (
    <Modal
      title={saving ? `You and somebody else changed ${file.name}` : `Somebody else saved ${file.name}`}
      onClose={() => answerClash(null)}
    >
      <p>
        {saving
          ? 'Choose a value in each row. Then your file holds your edits and theirs. Nothing was written yet.'
          : 'Choose what comes in. What you leave out stays as you have it, and your next save writes it.'}
      </p>
      <table className="plain">
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Before</th>
            <th scope="col">Yours</th>
            <th scope="col">Theirs</th>
          </tr>
        </thead>
        <tbody>
          {conflicts.map((conflict) => (
            <ConflictRow
              key={conflictKey(conflict)}
              conflict={conflict}
              choice={choices.get(conflictKey(conflict))}
              choose={(side) => setChoices(new Map(choices).set(conflictKey(conflict), side))}
            />
          ))}
        </tbody>
      </table>
      <p className="buttons">
        <button type="button" onClick={() => setChoices(all('mine'))}>
          All yours
        </button>
        <button type="button" onClick={() => setChoices(all('theirs'))}>
          All theirs
        </button>
        <button type="button" className="primary" disabled={open > 0} onClick={() => answerClash(choices)}>
          {open > 0 ? `${countText(open, 'row')} to choose` : saving ? 'Save both' : 'Take these'}
        </button>
        <button type="button" onClick={() => answerClash(null)}>
          {saving ? 'Cancel' : 'Not now'}
        </button>
      </p>
    </Modal>
  );
}

/** Local time of this computer, e.g. 2031-02-03 06:12 */
export const when = (iso: string) =>
  new Date(iso).toLocaleString('sv', { dateStyle: 'short', timeStyle: 'short' });

function DraftDialog({
  drafts,
  bridge,
  close,
}: {
  drafts: readonly KeptDraft[];
  bridge: Bridge;
  close: () => void;
}) {
  const [left, setLeft] = useState(drafts);
  const forget = (draft: KeptDraft) => {
    void bridge.forgetDraft(draft.id).catch(() => undefined); // it is offered again then
    const rest = left.filter((one) => one !== draft);
    setLeft(rest);
    if (rest.length === 0) close();
  };
  return (
    <Modal title="Edits that were not saved" onClose={close}>
      <p>Bathtide ended before these edits were saved. Take them up, or delete them.</p>
      <ul>
        {left.map((draft) => (
          <li key={draft.id}>
            <p>
              <b>{draft.name}</b>, last edit {when(draft.at)}
            </p>
            <p className="buttons">
              <button
                type="button"
                className="primary"
                onClick={() => {
                  takeDraft(draft);
                  forget(draft);
                  close();
                }}
              >
                Take up these edits
              </button>
              <button type="button" onClick={() => forget(draft)}>
                Delete these edits
              </button>
            </p>
          </li>
        ))}
      </ul>
      <p className="buttons">
        <button type="button" onClick={close}>
          Decide later
        </button>
      </p>
    </Modal>
  );
}

/** The saved states of the file that are kept: one is looked at and taken back as edits that are not saved yet. */
export function VersionsDialog({ bridge, close }: { bridge: Bridge; close: () => void }) {
  const file = useStore((state) => state.file);
  const [versions, setVersions] = useState<readonly Version[] | null>(null);
  const fail = (error: unknown) => {
    say({ tone: 'bad', text: error instanceof Error ? error.message : String(error) });
    close();
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once, when the dialog opens
  useEffect(() => {
    if (file) bridge.versions(file.handle).then(setVersions, fail);
    else setVersions([]);
  }, []);
  const takeBack = async (id: string) => {
    if (!file) return;
    const text = await bridge.version(file.handle, id);
    takeDraft({
      id,
      handle: file.handle,
      name: file.name,
      text,
      base: file.digest ?? null,
      at: '',
      file: { ...file, text },
    });
    close();
  };
  return (
    <Modal title={file ? `Earlier versions of ${file.name}` : 'Earlier versions'} onClose={close}>
      {versions?.length === 0 && <p>No earlier version is kept. Save the scenario first.</p>}
      <ul>
        {versions?.map(({ id, saved }) => (
          <li key={id}>
            <button type="button" onClick={() => void takeBack(id).catch(fail)}>
              Show the version of {when(saved)}
            </button>
          </li>
        ))}
      </ul>
      <p>An earlier version comes up as an edit. The file changes only when you save.</p>
      <p className="buttons">
        <button type="button" onClick={close}>
          Cancel
        </button>
      </p>
    </Modal>
  );
}

/** What is asked about files beside the commands on them: others' saves, and edits of a page that died. */
export function FileQuestions({ bridge }: { bridge: Bridge }) {
  const clash = useStore((state) => state.clash);
  const [drafts, setDrafts] = useState<readonly KeptDraft[]>([]);
  useEffect(() => {
    bridge.drafts().then(setDrafts, () => undefined); // a host that is gone is told elsewhere
  }, [bridge]);
  return (
    <>
      {clash && <ClashDialog key={clash.digest} clash={clash} />}
      {drafts.length > 0 && <DraftDialog drafts={drafts} bridge={bridge} close={() => setDrafts([])} />}
    </>
  );
}
