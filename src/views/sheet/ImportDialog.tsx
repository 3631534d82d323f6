import { useEffect, useMemo, useRef, useState } from 'react';
import { asTexts, fromCsv } from '../../grid/csv.ts';
import { type LeftOut, leftOutOf, type Mapping } from '../../grid/headings.ts';
import { type ImportMode, type Preview, previewImport } from '../../grid/import.ts';
import { passedText, tableIn } from '../../grid/messy.ts';
import type { Sheet } from '../../grid/sheet.ts';
import { SHEETS, sheetOf } from '../../grid/sheets.ts';
import { countText, listText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';
import { readWorkbook } from '../state/workbooks.ts';

interface Book {
  readonly file: string;
  readonly tables: readonly { readonly name: string; readonly lines: readonly (readonly string[])[] }[];
}

async function readBook(file: File): Promise<Book> {
  if (/\.xlsx$/i.test(file.name)) {
    const sheets = await readWorkbook(new Uint8Array(await file.arrayBuffer()));
    return { file: file.name, tables: sheets.map(({ name, table }) => ({ name, lines: asTexts(table) })) };
  }
  return { file: file.name, tables: [{ name: file.name, lines: fromCsv(await file.text()) }] };
}

function Changes({ preview }: { preview: Preview }) {
  const { changes, same } = preview;
  const count = (kind: string) => changes.filter((change) => change.kind === kind).length;
  const problems = changes.filter(({ problem }) => problem !== null).length;
  return (
    <>
      <p role="status">
        <b>{count('changed')}</b> cells change, <b>{count('added')}</b> rows are new,{' '}
        <b>{count('removed')}</b> rows go, {same} rows stay the same.
        {problems > 0 && (
          <span className="bad">
            {' '}
            {problems} cannot be read. They are imported as typed and marked as errors.
          </span>
        )}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus */}
      <section className="preview" tabIndex={0} aria-label="What would change">
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Row</th>
              <th scope="col">What</th>
              <th scope="col">Now</th>
              <th scope="col">From the file</th>
            </tr>
          </thead>
          <tbody>
            {changes.slice(0, 200).map((change, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a change has no name of its own
              <tr key={index}>
                <td>{change.row}</td>
                <td>
                  {change.kind === 'changed'
                    ? change.field
                    : change.kind === 'added'
                      ? 'new row'
                      : 'row goes'}
                </td>
                <td>{change.before}</td>
                <td className={change.problem ? 'bad' : undefined}>
                  {change.after}
                  {change.problem && ` (${change.problem})`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        {changes.length > 200 && <p className="muted">and {changes.length - 200} more</p>}
      </section>
    </>
  );
}

interface ChoiceProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [value: string, text: string])[];
  readonly choose: (value: string) => void;
}
function Choice({ label, value, options, choose }: ChoiceProps) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => choose(event.target.value)}>
        {options.map(([one, text]) => (
          <option key={one} value={one}>
            {text}
          </option>
        ))}
      </select>
    </label>
  );
}

interface ColumnsProps {
  readonly sheet: Sheet;
  readonly headers: readonly string[];
  readonly mapping: Mapping;
  readonly setOwn: (mapping: Mapping) => void;
}
/** Which column of the sheet each column of the file goes to. */
function ColumnChoices({ sheet, headers, mapping, setOwn }: ColumnsProps) {
  return (
    <div className="form-line">
      {headers.map((header, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: columns of a file are known by their place
        <label key={index}>
          {header || `column ${index + 1}`}
          {mapping[index]?.unit ? `, read as ${mapping[index].unit}` : ''}
          <select
            value={mapping[index]?.field ?? ''}
            onChange={(event) => {
              const field = event.target.value;
              setOwn(mapping.map((one, at) => (at === index ? (field ? { field } : null) : one)));
            }}
          >
            <option value="">leave out</option>
            {sheet.fields
              .filter(({ kind }, at) => kind !== 'fixed' || at === 0)
              .map(({ key, header: name }) => (
                <option key={key} value={key}>
                  {name}
                </option>
              ))}
          </select>
        </label>
      ))}
    </div>
  );
}

/** What of the file does not come in, said before it counts. */
function Notes({ leftOut, passed }: { leftOut: readonly LeftOut[]; passed: string }) {
  return (
    <>
      {leftOut.length > 0 && (
        <p className="warn" role="note">
          Left out:{' '}
          {listText(leftOut.map(({ heading, values }) => `${heading} (${countText(values, 'value')})`))}.
          Choose a column above to take them in.
        </p>
      )}
      {passed && (
        <p className="warn" role="note">
          {passed}
        </p>
      )}
    </>
  );
}

const NO_COLUMNS: Mapping = [];
/** The file, where its columns go, and what would change. */
function useImport() {
  const [book, setBook] = useState<Book | null>(null);
  const [failure, setFailure] = useState('');
  const [table, setTable] = useState(0);
  const [target, setTarget] = useState(useStore.getState().view.sheet);
  const [mode, setMode] = useState<ImportMode>('match');
  const [own, setOwn] = useState<Mapping | null>(null);
  const scenario = useStore((state) => state.scenario);
  const sheet = sheetOf(target);
  const lines = book?.tables[table]?.lines;
  const tabled = useMemo(() => (lines ? tableIn(sheet, lines) : null), [sheet, lines]);
  const headers = tabled?.headings;
  const mapping = own ?? tabled?.mapping ?? NO_COLUMNS;
  const leftOut = leftOutOf(headers ?? [], tabled?.rows ?? [], mapping);
  const preview = useMemo(
    () => (tabled ? previewImport(sheet, scenario, tabled.rows, mapping, mode) : null),
    [tabled, sheet, scenario, mapping, mode],
  );
  const pick = async (file: File | undefined) => {
    if (!file) return;
    try {
      const read = await readBook(file);
      const named = read.tables.findIndex(({ name }) => name === sheet.title);
      setTable(Math.max(0, named));
      setOwn(null);
      setBook(read);
      setFailure('');
    } catch (error) {
      setFailure(`${file.name}: ${error instanceof Error ? error.message : String(error)}`);
    }
  };
  const set = { setTable, setTarget, setMode, setOwn };
  return {
    book,
    failure,
    table,
    target,
    mode,
    sheet,
    headers,
    lines,
    mapping,
    leftOut,
    passed: passedText(tabled?.passed ?? []),
    preview,
    pick,
    ...set,
  };
}

/** Rows from a CSV or XLSX file: which sheet, which columns, what would change; then one act that undo takes back. */
export function ImportDialog({ close }: { close: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  const {
    book,
    failure,
    table,
    target,
    mode,
    sheet,
    headers,
    lines,
    mapping,
    leftOut,
    passed,
    preview,
    ...does
  } = useImport();
  const { pick, setTable, setTarget, setMode, setOwn } = does;
  const take = () => {
    if (!preview || !book) return;
    useStore.getState().edit(`import of ${book.file}`, preview.recipe);
    useStore.getState().show({ sheet: target });
    // Closed, not taken away: so the focus goes back to where it was.
    dialog.current?.close();
  };
  return (
    <dialog ref={dialog} className="wide" aria-labelledby="import-title" onClose={close}>
      <h2 id="import-title">Import rows</h2>
      <div className="form-line">
        <label>
          File, CSV or XLSX
          <input
            type="file"
            accept=".csv,.tsv,.txt,.xlsx"
            onChange={(event) => void pick(event.target.files?.[0])}
          />
        </label>
        {book && book.tables.length > 1 && (
          <Choice
            label="Sheet of the file"
            value={String(table)}
            options={book.tables.map(({ name }, index) => [String(index), name])}
            choose={(index) => {
              setTable(Number(index));
              setOwn(null);
            }}
          />
        )}
        <Choice
          label="Into"
          value={target}
          options={SHEETS.map(({ id, title }) => [id, title])}
          choose={(id) => {
            setTarget(id);
            setOwn(null);
          }}
        />
        <Choice
          label="Rows"
          value={mode}
          options={[
            ['match', 'change rows of the same name, add the others'],
            ['replace', 'replace all rows'],
          ]}
          choose={(value) => setMode(value as ImportMode)}
        />
      </div>
      {failure && (
        <p className="bad" role="alert">
          ✕ {failure}
        </p>
      )}
      {headers && <ColumnChoices {...{ sheet, headers, mapping, setOwn }} />}
      {lines && <Notes leftOut={leftOut} passed={passed} />}
      {preview && <Changes preview={preview} />}
      <div className="actions">
        <button type="button" onClick={() => dialog.current?.close()}>
          Cancel
        </button>
        <button
          type="button"
          className="main"
          disabled={!preview || preview.changes.length === 0}
          onClick={take}
        >
          Import
        </button>
      </div>
    </dialog>
  );
}
