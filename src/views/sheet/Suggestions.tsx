import { useMemo } from 'react';
import { placeOfFault } from '../../grid/where.ts';
import { declining, type Suggestion, suggestionsFor } from '../../scenario/suggestions.ts';
import { jumpTo, useStore } from '../state/store.ts';

/** What the scenario may want and does not have; none while it has an error. */
export function useSuggestions(): readonly Suggestion[] {
  const scenario = useStore((state) => state.scenario);
  const isSound = useStore((state) => !state.faults.some(({ level }) => level === 'error'));
  return useMemo(() => (isSound ? suggestionsFor(scenario) : []), [scenario, isSound]);
}

/** One suggestion: why, what would stand in the sheets, and the two answers. */
function One({ suggestion }: { suggestion: Suggestion }) {
  const { id, what, why, preview, apply } = suggestion;
  const scenario = useStore((state) => state.scenario);
  const edit = useStore((state) => state.edit);
  const asksForNumber = id === 'shelf life';
  return (
    <li>
      <p>
        <b>{what}</b> {why}
      </p>
      <ul className="muted" aria-label={`What ${id} adds`}>
        {preview.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <div className="acts">
        <button
          type="button"
          onClick={() =>
            edit(id, (draft) => void Object.assign(draft, apply(scenario)), { told: `Added: ${id}.` })
          }
        >
          {asksForNumber ? 'Set 48 h' : `Add ${id}`}
        </button>
        {asksForNumber && (
          <button type="button" onClick={() => jumpTo(placeOfFault(scenario, ['rules', 'shelfHours']))}>
            Type another number
          </button>
        )}
        <button
          type="button"
          className="plain"
          onClick={() =>
            edit(`decline ${id}`, (draft) => void Object.assign(draft, declining(scenario, id)), {
              told: `Declined: ${id}. It is not suggested again.`,
            })
          }
        >
          {asksForNumber ? 'Decline, count 120 h' : `Decline ${id}`}
        </button>
      </div>
    </li>
  );
}

/** What a site may want to add, each with why and a preview. Nothing is taken up by itself. */
export function SuggestionList() {
  const suggestions = useSuggestions();
  if (suggestions.length === 0) return null;
  return (
    <section className="suggestions" aria-label="Suggestions">
      <p>Nothing is added by itself. The numbers are site assumptions, except where a source is named.</p>
      <ul>
        {suggestions.map((suggestion) => (
          <One key={suggestion.id} suggestion={suggestion} />
        ))}
      </ul>
    </section>
  );
}
