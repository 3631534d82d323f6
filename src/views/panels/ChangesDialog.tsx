import { useEffect, useId, useMemo, useState } from 'react';
import type { Bridge, HistoryFile } from '../../bridge.ts';
import { toCsv, withCaution } from '../../grid/csv.ts';
import { type Changed, changeWords, readChanges } from '../../scenario/changed.ts';
import { countText } from '../../words/numbers.ts';
import { fileStem } from '../../words/times.ts';
import { useHost } from '../state/hostContext.ts';
import { say, useStore } from '../state/store.ts';
import { Modal, when } from './Clash.tsx';

const HEADS = ['Time', 'Station', 'Account', 'Bed', 'Field', 'From', 'To'] as const;
/** So many are on screen; the file for a spreadsheet holds all. */
const MOST_ROWS = 300;

const rowOf = (change: Changed): readonly string[] => {
  const { bed, field, from, to } = changeWords(change);
  return [when(change.at), change.on, change.by, bed, field, from, to];
};

function ChangesTable({ rows }: { rows: readonly (readonly string[])[] }) {
  return (
    <div className="scrolled">
      <table className="plain">
        <thead>
          <tr>
            {HEADS.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.slice(0, MOST_ROWS).map((row, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: two alike are told apart by their place alone
            <tr key={`${index} ${row.join(' ')}`}>
              {row.map((cell, column) => (
                <td key={HEADS[column]}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What was saved of prescriptions: when, where, by which account, of which bed, from what to what. */
export function ChangesDialog({ bridge, close }: { bridge: Bridge; close: () => void }) {
  const file = useStore((state) => state.file);
  const { saveExport } = useHost();
  const [files, setFiles] = useState<readonly HistoryFile[] | null>(null);
  const [bed, setBed] = useState('');
  const label = useId();
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once, when the dialog opens
  useEffect(() => {
    if (!file) return setFiles([]);
    bridge.changes(file.handle).then(setFiles, (error: unknown) => {
      say({ tone: 'bad', text: error instanceof Error ? error.message : String(error) });
      close();
    });
  }, []);
  const { changes, faults } = useMemo(() => readChanges(files ?? []), [files]);
  const beds = [...new Set(changes.map(({ what }) => what[0] ?? ''))].sort();
  const rows = changes.filter(({ what }) => bed === '' || what[0] === bed).map(rowOf);
  const name = `${fileStem(file?.name.replace(/\.json$/i, '') ?? '')}-changes.csv`;
  const csv = () => {
    close(); // the question where to lies on no other one
    saveExport(name, new TextEncoder().encode(toCsv(withCaution([HEADS, ...rows]))));
  };
  return (
    <Modal
      title={file ? `Who changed what in ${file.name}` : 'Who changed what'}
      className="changes"
      onClose={close}
    >
      {files !== null && changes.length === 0 && (
        <p>No change of a prescription is listed yet. Each save lists those since the save before.</p>
      )}
      {changes.length > 0 && (
        <>
          <p>
            <label htmlFor={label}>Show</label>
            <select id={label} value={bed} onChange={(event) => setBed(event.target.value)}>
              <option value="">All beds</option>
              {beds.map((one) => (
                <option key={one}>{one}</option>
              ))}
            </select>
          </p>
          <p role="status">
            {countText(rows.length, 'change')}, the latest first.
            {rows.length > MOST_ROWS && ` The first ${MOST_ROWS} are shown. "Save as CSV" holds all.`}
          </p>
          <ChangesTable rows={rows} />
        </>
      )}
      {faults.slice(0, 5).map((fault) => (
        <p key={fault} className="bad">
          ✕ {fault}
        </p>
      ))}
      <p>
        Times are this computer’s. The account is the one that saved. It need not be the person who decided.
      </p>
      <p className="buttons">
        {rows.length > 0 && (
          <button type="button" onClick={csv}>
            Save as CSV
          </button>
        )}
        <button type="button" className="primary" onClick={close}>
          Close
        </button>
      </p>
    </Modal>
  );
}
