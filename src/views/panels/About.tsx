import { useEffect, useRef } from 'react';
import { CAUTION, NO_PRESCRIBING } from '../../words/cautions.ts';
import { PartsPage } from '../look/PartsPage.tsx';
import './tour.css';

const KEYS: readonly (readonly [string, string])[] = [
  ['type, F2, double click', 'edit a cell'],
  ['Enter, Tab, arrows', 'keep the text and go on; Esc undoes it'],
  ['Home, End', 'first, last cell of the row (with Ctrl: of the sheet)'],
  ['Shift + arrows, Shift + click, drag', 'select a block (with Ctrl: to the edge)'],
  ['Ctrl+C, Ctrl+X, Ctrl+V', 'copy, cut, paste, to and from any spreadsheet'],
  ['Ctrl+D', 'fill down'],
  ['Delete', 'empty the cells, so that their defaults apply'],
  ['Ctrl+Enter', 'new row below'],
  ['Ctrl+Shift+D', 'duplicate rows'],
  ['Ctrl+Delete', 'delete rows'],
  ['Ctrl+Z, Ctrl+Y', 'undo, redo'],
  ['Ctrl+F', 'find in the sheet'],
  ['F6', 'next area: top, tabs, sheet, picture, panel'],
  ['Alt+1, Alt+2, Alt+3', 'the three arrangements'],
];

const WORDS: readonly (readonly [string, string])[] = [
  ['Need', 'bags that the prescriptions take, as typed now'],
  ['Unmet', 'liters of the need that no bag serves in time; the plan leaves as few as it can'],
  [
    'Hands-on work',
    'technician time for bag swaps, new circuits, bath changes and total chlorine tests, over the whole plan',
  ],
  [
    'Proof',
    'no plan that keeps the rules leaves less unmet, or needs fewer hours for as little unmet; in brackets: this plan',
  ],
  ['Plan check', 'each plan is checked again, rule by rule, before it is shown'],
  ['Work changed', 'work that is new or moved since you last chose Mark as read'],
  ['By hand', 'the plan that a careful person would write, without looking ahead'],
];

const CAUTIONS: readonly string[] = [CAUTION.long, NO_PRESCRIBING];

const STORED: readonly (readonly [string, string])[] = [
  ['Scenario files', 'where you save them; the record of what was done lies in a folder beside them'],
  [
    'Edits that are not saved',
    'in the settings folder, until you save; after a crash they are offered again',
  ],
  ['Earlier versions', 'the last 20 saves of each file, in the settings folder; File, Earlier versions'],
  [
    'Who changed what',
    'saved changes of prescriptions, with the account that saved, in the folder beside the scenario; File, Who changed what',
  ],
  ['Recent files, last port', 'in the settings folder'],
  ['Arrangement, column widths, initials', 'in this browser or window, for its address'],
  [
    'Settings folder',
    'Linux ~/.config/bathtide, macOS Library/Application Support/Bathtide, Windows %APPDATA%\\Bathtide',
  ],
  ['To clear', 'end Bathtide, delete the settings folder, clear the browser’s data for 127.0.0.1'],
  ['Your own files', 'stay: delete a scenario and the folder beside it yourself'],
];

function Pairs({ rows }: { rows: readonly (readonly [string, string])[] }) {
  return (
    <table className="plain">
      <tbody>
        {rows.map(([name, meaning]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{meaning}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Cautions, words, keys and how cells compute. Shown at the first start and on demand. */
export function About({
  open,
  first,
  close,
  show,
}: {
  open: boolean;
  first: boolean;
  close: () => void;
  /** The four steps through the app. */
  show: () => void;
}) {
  const around = () => {
    close();
    show();
  };
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (open && dialog.current && !dialog.current.open) {
      dialog.current.showModal();
      // The focus goes to the button at its end.
      dialog.current.scrollTop = 0;
    }
    if (!open) dialog.current?.close();
  }, [open]);
  return (
    <dialog ref={dialog} aria-labelledby="about-title" onClose={close}>
      <h2 id="about-title">{first ? 'Before you plan' : 'Help'}</h2>
      <p>
        Bathtide plans the dialysate that your unit makes for continuous kidney replacement therapy. It shows
        how many bags of which bath are needed, which machine fills what and when, who is there, and what runs
        short.
      </p>
      <h3>Cautions</h3>
      <ul>
        {CAUTIONS.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
      {!first && (
        <>
          <h3>Words</h3>
          <Pairs rows={WORDS} />
          <h3>Signs and parts</h3>
          <PartsPage />
          <h3>Keys</h3>
          <Pairs rows={KEYS} />
          <h3>Your data</h3>
          <p>
            Nothing leaves this computer. Use bed or study labels, not names, dates of birth or record
            numbers.
          </p>
          <Pairs rows={STORED} />
          <h3>Version</h3>
          <p>Bathtide {BATHTIDE_VERSION}</p>
          <h3>Cells that compute</h3>
          <p>
            A number cell takes a number, a quantity in any unit of its kind (<kbd>180 lb</kbd>,{' '}
            <kbd>2 L/h</kbd>) or arithmetic (<kbd>1.2*84</kbd>). The cell shows the result. Editing shows what
            you typed. An empty cell means its default, shown in italics. It never means 0.
          </p>
        </>
      )}
      <div className="actions">
        <button type="button" onClick={around}>
          Show me around in four steps
        </button>
        <button type="button" className="main" onClick={close}>
          {first ? 'I understand' : 'Close'}
        </button>
      </div>
    </dialog>
  );
}
