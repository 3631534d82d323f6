import { useEffect, useMemo, useState } from 'react';
import { placeOfPath } from '../../grid/where.ts';
import { cover } from '../../plan/cover.ts';
import { explainActivity } from '../../planner/plan.ts';
import { activityReasonTexts } from '../../reports/activityReason.ts';
import { answer, isThere } from '../../reports/answers.ts';
import { describeActivity } from '../../reports/describe.ts';
import type { CellRef, Known, Question } from '../../reports/trace.ts';
import { TracePanel } from '../pictures/TracePanel.tsx';
import type { Arrangement } from '../state/arrangements.ts';
import type { Planned } from '../state/planned.ts';
import { jumpTo, useShallow, useStore } from '../state/store.ts';
import { Administrator } from './Administrator.tsx';
import { Nephrology } from './Nephrology.tsx';

/** Asked of the doses of this moment, as the pictures of them are; all else is of the plan on screen. */
const OF_NOW: readonly Question['of'][] = ['dayBags', 'rate', 'hung', 'roundBags'];

/** What a number comes from: of now where that can be told, else of the plan on screen, with what that is from before. */
function useKnown(question: Question): { known: Known | null; note: string | undefined } {
  const { scenario, problem, demand, planned } = useStore(
    useShallow(({ scenario, problem, demand, planned }) => ({ scenario, problem, demand, planned })),
  );
  return useMemo(() => {
    if (OF_NOW.includes(question.of) && problem && demand) {
      const known = { scenario, problem, demand, activities: [], covered: cover(problem, demand, []) };
      return { known, note: undefined };
    }
    if (!planned) return { known: null, note: undefined };
    const since = problem ? 'edit' : 'errors';
    return {
      known: { ...planned, activities: planned.plan.activities },
      note:
        planned.scenario === scenario
          ? undefined
          : `These numbers are from before the ${since}. They do not include what is typed now.`,
    };
  }, [question, scenario, problem, demand, planned]);
}

/** "From what?": the trace of the number that was asked about. It closes when that is gone, or another row stands there. */
function Asked({ question }: { question: Question }) {
  const select = useStore((state) => state.select);
  const { known, note } = useKnown(question);
  const trace = useMemo(
    () => (known && isThere(known, question) ? answer(known, question) : null),
    [known, question],
  );
  const [label] = useState(trace?.label);
  const gone = !trace || trace.label !== label;
  useEffect(() => {
    if (gone) select({ question: null });
  }, [gone, select]);
  if (gone || !known) return null;
  const onCell = ({ sheet, row, field }: CellRef) => {
    const [list, ...name] = field.split('.');
    // A bath's name may have dots.
    const rule = list === 'reserve' ? [list, name.join('.')] : [field];
    const path = sheet === 'rules' ? ['rules', ...rule] : [sheet, row, ...field.split('.').map(digits)];
    const place = placeOfPath(known.scenario, path);
    if (place) jumpTo(place);
  };
  return (
    <TracePanel
      trace={trace}
      note={note}
      onClose={() => select({ question: null })}
      // Rows may have moved since: what was typed there is no longer sure to be there.
      onCell={note ? undefined : onCell}
    />
  );
}
const digits = (part: string): string | number => (/^\d+$/.test(part) ? Number(part) : part);

/** The activity that was clicked, and what there is to say of it. */
function Chosen({ planned }: { planned: Planned }) {
  const activity = useStore((state) => state.selection.activity);
  const select = useStore((state) => state.select);
  const { problem, plan, covered } = planned;
  const index = activity ? plan.activities.indexOf(activity) : -1;
  const reasons = useMemo(
    () =>
      activity && index >= 0
        ? activityReasonTexts(problem.clock, explainActivity(problem, plan.activities, activity))
        : [],
    [problem, plan, activity, index],
  );
  if (index < 0) return null;
  const { title, lines } = describeActivity(problem, plan.activities, covered, index);
  return (
    <section className="chosen">
      <h3>{title}</h3>
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <h3>Why here</h3>
      {reasons.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <button type="button" onClick={() => select({ activity: null })}>
        Close
      </button>
    </section>
  );
}

/** A button that goes with what it closes or begins leaves its focus to the panel, not to the top of the page. */
function keepFocus(panel: HTMLElement) {
  requestAnimationFrame(() => {
    if (document.activeElement === document.body) panel.focus({ preventScroll: true });
  });
}

/** The panel of the arrangement: what this reader asks first, below what was asked about. */
export function SidePanel({ title, arrangement }: { title: string; arrangement: Arrangement }) {
  const open = useStore((state) => state.view.side);
  const show = useStore((state) => state.show);
  const planned = useStore((state) => state.planned);
  const question = useStore((state) => state.selection.question);
  return (
    <aside className="side" aria-label={title}>
      <button
        type="button"
        className="plain side-toggle"
        aria-expanded={open}
        aria-label={`${open ? 'Hide' : 'Show'} ${title}`}
        onClick={() => show({ side: !open })}
      >
        {open ? '›' : '‹'}
      </button>
      {open && (
        // biome-ignore lint/a11y: the click is that of a button inside
        <section
          className="side-body"
          // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus
          tabIndex={0}
          aria-label={`${title}, contents`}
          onClick={({ currentTarget }) => keepFocus(currentTarget)}
        >
          {/* Always there, so that what comes into it is said. */}
          <div className="answers" aria-live="polite">
            {question && <Asked key={JSON.stringify(question)} question={question} />}
            {planned && <Chosen planned={planned} />}
          </div>
          {arrangement !== 'technician' && <h2>{title}</h2>}
          {arrangement === 'nephrology' && <Nephrology />}
          {planned && arrangement === 'administrator' && <Administrator planned={planned} />}
        </section>
      )}
    </aside>
  );
}
