import { useMemo } from 'react';
import { explainActivity } from '../planner/explainActivity.ts';
import { answer } from '../sheets/answers.ts';
import { describeActivity } from '../sheets/describe.ts';
import { placeOfPath } from '../sheets/where.ts';
import { whenText } from '../sheets/words.ts';
import { Administrator } from './Administrator.tsx';
import type { Arrangement } from './arrangements.ts';
import { jumpTo } from './jump.ts';
import { Nephrology } from './Nephrology.tsx';
import { TracePanel } from './pictures/TracePanel.tsx';
import type { Planned } from './planned.ts';
import { useStore } from './store.ts';
import { Technician } from './Technician.tsx';

/** "From what?": the trace of the number that was asked about. */
function Asked({ planned }: { planned: Planned }) {
  const question = useStore((state) => state.selection.question);
  const select = useStore((state) => state.select);
  const { scenario, problem, demand, plan, covered } = planned;
  const trace = useMemo(
    () => question && answer({ scenario, problem, demand, activities: plan.activities, covered }, question),
    [question, scenario, problem, demand, plan, covered],
  );
  if (!trace) return null;
  return (
    <TracePanel
      trace={trace}
      onClose={() => select({ question: null })}
      onCell={({ sheet, row, field }) => {
        const path = sheet === 'rules' ? ['rules', field] : [sheet, row, ...field.split('.').map(digits)];
        const place = placeOfPath(scenario, path);
        if (place) jumpTo(place);
      }}
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
        ? explainActivity(problem, plan.activities, activity, (minute) => whenText(problem.clock, minute))
            .sentences
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
            {planned && <Asked planned={planned} />}
            {planned && <Chosen planned={planned} />}
          </div>
          <h2>{title}</h2>
          {arrangement === 'nephrology' && <Nephrology />}
          {planned && arrangement === 'technician' && <Technician planned={planned} />}
          {planned && arrangement === 'administrator' && <Administrator planned={planned} />}
        </section>
      )}
    </aside>
  );
}
