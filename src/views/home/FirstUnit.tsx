import { useEffect, useMemo, useRef, useState } from 'react';
import {
  addBaths,
  bedsInTable,
  type FirstStep,
  machineInWords,
  missingFor,
  shiftsInWords,
  stockInWords,
  TYPICAL_BATHS,
  type Understood,
} from '../../grid/firstUnit.ts';
import { bathNote } from '../../grid/lacking.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText, listText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';

interface WordsProps {
  readonly label: string;
  readonly hint: string;
  readonly example: string;
  /** What the act is called in undo. */
  readonly act: string;
  readonly read: (text: string, scenario: Scenario) => Understood;
}

/** Words or a pasted table: what was understood is said back before anything is added. */
function InWords({ label, hint, example, act, read }: WordsProps) {
  const [text, setText] = useState('');
  const scenario = useStore((state) => state.scenario);
  const { said, missing, recipe } = useMemo(() => read(text, scenario), [read, text, scenario]);
  const add = () => {
    if (!recipe) return;
    useStore.getState().edit(act, recipe);
    setText('');
  };
  return (
    <>
      <p className="muted">{hint}</p>
      <textarea
        aria-label={label}
        rows={3}
        value={text}
        placeholder={example}
        spellCheck={false}
        onChange={(event) => setText(event.target.value)}
      />
      <div role="status">
        {said.map((line) => (
          <p key={line}>{line}</p>
        ))}
        {missing.length > 0 && <p className="warn">! Not said yet: {listText(missing)}.</p>}
      </div>
      <button type="button" disabled={!recipe} onClick={add}>
        Add
      </button>
    </>
  );
}

/** Published compositions, each with where it stands; what is listed already is ticked off. */
function BathList() {
  const baths = useStore((state) => state.scenario.baths);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const open = TYPICAL_BATHS.filter(({ bath }) => !baths.some(({ id }) => id === bath.id));
  const add = () => {
    const wanted = open.map(({ bath }) => bath).filter(({ id }) => chosen.has(id));
    useStore.getState().edit(`add ${countText(wanted.length, 'typical bath')}`, addBaths(wanted));
    setChosen(new Set());
  };
  const count = open.filter(({ bath }) => chosen.has(bath.id)).length;
  return (
    <>
      <p className="muted">
        Published compositions to start from. Change each to what your site prescribes, or type your own in
        Baths.
      </p>
      {TYPICAL_BATHS.map(({ bath, source }) => (
        <label key={bath.id} className="first-bath">
          <input
            type="checkbox"
            checked={!open.some((one) => one.bath === bath) || chosen.has(bath.id)}
            disabled={!open.some((one) => one.bath === bath)}
            onChange={({ target }) => {
              const next = new Set(chosen);
              if (target.checked) next.add(bath.id);
              else next.delete(bath.id);
              setChosen(next);
            }}
          />
          <b>{bath.id}</b> {bathNote(bath)} <small>({source})</small>
        </label>
      ))}
      <button type="button" disabled={count === 0} onClick={add}>
        Add {countText(count, 'bath')}
      </button>
    </>
  );
}

const STEPS: readonly { readonly id: FirstStep; readonly title: string; readonly body: React.ReactNode }[] = [
  { id: 'baths', title: 'Baths', body: <BathList /> },
  {
    id: 'patients',
    title: 'Beds',
    body: (
      <InWords
        label="Beds, pasted from a table"
        hint="Paste the table, with its headings if it has any. Never paste names."
        example={'Bed\tWeight (kg)\tDose (mL/kg/h)\tBath\nbed-01\t82\t25\t2K'}
        act="beds pasted"
        read={bedsInTable}
      />
    ),
  },
  {
    id: 'machines',
    title: 'Machine and its water',
    body: (
      <InWords
        label="One machine, in words"
        hint="Say what fills bags, and the water it draws from."
        example="M1 fills 8 bags at 800 mL/min from RO-A, which gives 2,400 mL/min, tested every 4 h, a test takes 10 min"
        act="machine described"
        read={machineInWords}
      />
    ),
  },
  {
    id: 'shifts',
    title: 'Shifts',
    body: (
      <InWords
        label="Shifts, in words"
        hint="One shift a line: its times and how many technicians."
        example={'day 07:00-19:00, 2 technicians\nnight 19:00-07:00, 1 technician'}
        act="shifts described"
        read={shiftsInWords}
      />
    ),
  },
  {
    id: 'stock',
    title: 'Stock, if there is any',
    body: (
      <InWords
        label="Stock, in words"
        hint="Bags that are there at the start. Where there are none, add nothing."
        example="40 bags of 2K, 6.5 L"
        act="stock described"
        read={stockInWords}
      />
    ),
  },
];

/** How much of a list there is. */
const countOf = (scenario: Scenario, step: FirstStep): number => (scenario[step] ?? []).length;

/** From nothing to a first plan: each step finds what it needs of those before, and what is missing stays listed. */
export function FirstUnit({ close }: { close: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  const scenario = useStore((state) => state.scenario);
  const errors = useStore(({ faults }) => faults.filter(({ level }) => level === 'error').length);
  const missing = useMemo(() => missingFor(scenario), [scenario]);
  const ready = missing.length === 0 && errors === 0;
  const plan = () => {
    const { replan, show } = useStore.getState();
    replan(true);
    show({ place: 'home' });
    dialog.current?.close();
  };
  return (
    <dialog ref={dialog} className="wide first-unit" aria-labelledby="first-title" onClose={close}>
      <h2 id="first-title">First plan, step by step</h2>
      <ol>
        {STEPS.map(({ id, title, body }) => {
          const lacks = missing.some(({ step }) => step === id);
          const count = countOf(scenario, id);
          return (
            <li key={id}>
              <h3>
                {title}{' '}
                <small>{lacks ? '! still missing' : count > 0 ? `✓ ${count} listed` : 'none listed'}</small>
              </h3>
              {body}
            </li>
          );
        })}
      </ol>
      <p role="status" className={ready ? undefined : 'warn'}>
        {missing.length > 0
          ? `Still missing: ${listText(missing.map(({ text }) => text))}.`
          : errors > 0
            ? `${countText(errors, 'error')} in the sheets: close this and correct them.`
            : 'Nothing is missing. Bag rounds, shelf life and other rules are defaults: check them in Plan and rules.'}
      </p>
      <div className="actions">
        <button type="button" onClick={() => dialog.current?.close()}>
          Close
        </button>
        <button type="button" className="main" disabled={!ready} onClick={plan}>
          Make the first plan
        </button>
      </div>
    </dialog>
  );
}

/** While something is missing for a plan it is listed, with the way to add it step by step. */
export function FirstHint({ open }: { open: () => void }) {
  const scenario = useStore((state) => state.scenario);
  const missing = useMemo(() => missingFor(scenario), [scenario]);
  if (missing.length === 0) return null;
  return (
    <div className="notice warn">
      <span>Still missing for a plan: {listText(missing.map(({ text }) => text))}.</span>
      <button type="button" onClick={open}>
        First plan, step by step
      </button>
    </div>
  );
}
