import { useState } from 'react';
import { columnProblem, namesOf } from '../../grid/columns.ts';
import type { Sheet } from '../../grid/sheet.ts';
import { useStore } from '../state/store.ts';

/** The site's own columns of a sheet: a name, arithmetic over the row's fields and, if wanted, the unit of the result. */
export function ColumnForm({ sheet }: { sheet: Sheet }) {
  const all = useStore((state) => state.scenario.columns);
  const edit = useStore((state) => state.edit);
  const [draft, setDraft] = useState({ name: '', expression: '', unit: '' });
  const own = (all ?? []).filter((custom) => custom.sheet === sheet.id);
  const begun = draft.name !== '' || draft.expression !== '';
  const taken = own.some(({ name }) => name === draft.name.trim());
  const problem = taken ? `'${draft.name}' is a column already` : columnProblem(sheet, draft);
  const names = namesOf(sheet).map(({ key, unit }) => (unit ? `${key} (${unit})` : key));
  const add = () => {
    edit(`column ${draft.name}`, (scenario) => {
      scenario.columns = [
        ...(scenario.columns ?? []),
        {
          sheet: sheet.id,
          name: draft.name.trim(),
          expression: draft.expression,
          ...(draft.unit && { unit: draft.unit }),
        },
      ];
    });
    setDraft({ name: '', expression: '', unit: '' });
  };
  const remove = (name: string) =>
    edit(`remove column ${name}`, (scenario) => {
      scenario.columns = (scenario.columns ?? []).filter(
        (one) => one.sheet !== sheet.id || one.name !== name,
      );
    });
  return (
    <form
      className="form-line"
      onSubmit={(event) => {
        event.preventDefault();
        if (!problem) add();
      }}
    >
      <label>
        Name
        <input
          value={draft.name}
          size={14}
          onChange={(event) => setDraft({ ...draft, name: event.target.value })}
        />
      </label>
      <label>
        Expression
        <input
          value={draft.expression}
          size={30}
          placeholder={sheet.id === 'patients' ? 'dose * weight' : ''}
          onChange={(event) => setDraft({ ...draft, expression: event.target.value })}
        />
      </label>
      <label>
        Unit of the result
        <input
          value={draft.unit}
          size={8}
          placeholder="L/day"
          onChange={(event) => setDraft({ ...draft, unit: event.target.value })}
        />
      </label>
      <button type="submit" disabled={problem !== null}>
        Add column
      </button>
      {own.map(({ name }) => (
        <button key={name} type="button" className="plain" onClick={() => remove(name)}>
          Remove “{name}”
        </button>
      ))}
      <span className={begun && problem ? 'bad' : 'muted'} role="status">
        {begun && problem ? problem : `Names: ${names.join(', ')}`}
      </span>
    </form>
  );
}
