import { useDeferredValue, useMemo, useState } from 'react';
import { type Lever, pulled, savingOf } from '../../grid/levers.ts';
import { traceFlow } from '../../reports/traceDemand.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { useShallow, useStore } from '../state/store.ts';
import { Shortages } from './Shortages.tsx';

interface LineProps {
  readonly title: string;
  readonly lever: Lever;
  readonly children: React.ReactNode;
}

/** One lever: its setting, what it would save, and a button that enters it as one act. */
function LeverLine({ title, lever, children }: LineProps) {
  // Deferred: the totals of an edit come first. The three belong together, so they are taken together.
  const { scenario, problem, demand } = useDeferredValue(
    useStore(useShallow(({ scenario, problem, demand }) => ({ scenario, problem, demand }))),
  );
  const edit = useStore((state) => state.edit);
  const key = JSON.stringify(lever);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a lever is new on every drawing, its text says whether it changed
  const saving = useMemo(() => {
    // The lever may be ahead of the deferred scenario: a bath that has just got its name is not in it yet.
    const unknown = lever.kind === 'bath' && !scenario.baths.some(({ id }) => id === lever.bath);
    return problem && demand && !unknown ? savingOf(scenario, problem, demand, lever) : null;
  }, [scenario, problem, demand, key]);
  return (
    <section className="lever">
      <h3>{title}</h3>
      <div className="lever-set">{children}</div>
      {saving && (
        <p role="status">
          <b className="number">
            {saving.bagsADay < -0.05 ? '+' : saving.bagsADay > 0.05 ? '−' : ''}
            {countText(Math.abs(saving.bagsADay), 'bag')} per day
          </b>{' '}
          <span className="muted">
            ({numberText(Math.abs(saving.litresADay), 0)} L per day, {countText(saving.patients, 'patient')})
          </span>
        </p>
      )}
      <button
        type="button"
        disabled={!saving || saving.patients === 0}
        onClick={() => edit(title.toLowerCase(), pulled(lever))}
      >
        Change {countText(saving?.patients ?? 0, 'prescription')}...
      </button>
    </section>
  );
}

/** What the doses need and what a change of prescriptions would save. */
export function Nephrology() {
  const baths = useStore((state) => state.scenario.baths);
  const patient = useStore((state) => state.selection.patient);
  const [dose, setDose] = useState(20);
  const [hours, setHours] = useState(20);
  const [bath, setBath] = useState('');
  const planned = useStore((state) => state.planned);
  const one = baths.some(({ id }) => id === bath) ? bath : String(baths[0]?.id ?? '');
  return (
    <>
      {planned && planned.plan.score.unmetLitres > 1e-6 && <Shortages planned={planned} />}
      <p className="muted">
        What a prescriber's decision would save. Nothing here prescribes. Undo takes each step back.
      </p>
      <LeverLine title="Lower the dose cap" lever={{ kind: 'dose', most: dose }}>
        <input
          type="range"
          min={10}
          max={40}
          step={1}
          value={dose}
          aria-label="Dose at most, mL/kg/h"
          onChange={(event) => setDose(Number(event.target.value))}
        />
        <output>{dose} mL/kg/h at most</output>
      </LeverLine>
      <LeverLine title="Fewer therapy hours" lever={{ kind: 'hours', most: hours }}>
        <input
          type="range"
          min={6}
          max={24}
          step={1}
          value={hours}
          aria-label="Therapy at most, hours per day"
          onChange={(event) => setHours(Number(event.target.value))}
        />
        <output>{hours} h per day at most</output>
      </LeverLine>
      <LeverLine title="One bath for all" lever={{ kind: 'bath', bath: one }}>
        <select value={one} aria-label="The one bath" onChange={(event) => setBath(event.target.value)}>
          {baths.map(({ id }) => (
            <option key={id}>{id}</option>
          ))}
        </select>
      </LeverLine>
      <p className="muted">Usual effluent dose: deliver 20-25 mL/kg/h, so prescribe 25-30 (KDIGO 2012).</p>
      <PatientNeed id={patient} />
    </>
  );
}

/** What the patient in the focused row needs. */
function PatientNeed({ id }: { id: string | null }) {
  const problem = useStore((state) => state.problem);
  const demand = useStore((state) => state.demand);
  const scenario = useStore((state) => state.scenario);
  const index = problem?.patients.findIndex((course) => course.id === id) ?? -1;
  if (!problem || !demand || index < 0) return null;
  const hangs = demand.hangs[index]!;
  const step = problem.patients[index]!.steps[0]!;
  const flow = traceFlow({ scenario, problem }, index, step.at).value;
  const rate = (Number(step.rate.n) / Number(step.rate.d)) * 60;
  const next = hangs
    .slice(0, 4)
    .map(({ minute }) => problem.clock.localOf(minute).slice(5).replace('T', ' '));
  return (
    <section aria-live="polite">
      <h3>{id}</h3>
      <p>
        {numberText(flow, 0)} mL/h of dialysate at first while therapy runs, {numberText(rate, 0)} mL/h
        averaged over the day; {/* Both: the pump shows the first. */}
        {countText(hangs.length, 'bag')} in the plan.
      </p>
      <p className="muted">First bags hang {next.join(', ') || 'never'}.</p>
      <button
        type="button"
        onClick={() =>
          useStore.getState().select({ question: { of: 'rate', patient: index, minute: step.at } })
        }
      >
        From what?
      </button>
    </section>
  );
}
