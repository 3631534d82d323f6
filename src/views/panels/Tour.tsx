import { useEffect } from 'react';
import type { Arrangement } from '../state/arrangements.ts';
import { useStore } from '../state/store.ts';

interface TourStep {
  readonly arrangement: Arrangement;
  /** What is marked, see `tour.css`. */
  readonly marks: string;
  readonly title: string;
  readonly text: string;
}

const STEPS: readonly TourStep[] = [
  {
    arrangement: 'nephrology',
    marks: 'strip',
    title: 'Three answers',
    text: 'The strip says whether today is covered, until when, and what needs you now. It is the same for everybody.',
  },
  {
    arrangement: 'nephrology',
    marks: 'beds',
    title: 'Nephrology lead: the beds',
    text: 'Each bed takes bags of its bath. Choose a bed to change its dose, weight or bath. The plan follows by itself.',
  },
  {
    arrangement: 'technician',
    marks: 'places',
    title: 'Technician lead: the machines',
    text: 'Each card says what a machine does now and what comes next. Note what is done as it is done. The plan goes on from there.',
  },
  {
    arrangement: 'administrator',
    marks: 'capacity',
    title: 'Administrator: what to get, by when',
    text: 'Simulate the patients to come. The answer says how many machines, people and supplies they need, and how sure it is.',
  },
];

/** The invented unit explains itself: four steps, each marked where it stands. It can be left at any step. */
export function Tour({
  at,
  go,
  own,
}: {
  at: number;
  go: (step: number | null) => void;
  /** Begins a unit of one's own. */
  own: () => void;
}) {
  const step = STEPS[at]!;
  const arrange = useStore((state) => state.arrange);
  useEffect(() => {
    arrange(step.arrangement);
    const { dataset } = document.documentElement;
    dataset.tour = step.marks;
    return () => {
      delete dataset.tour;
    };
  }, [step, arrange]);
  const last = at === STEPS.length - 1;
  return (
    <section className="tour" aria-label="Four steps through the invented unit">
      <p role="status">
        <b>
          {at + 1} of {STEPS.length}. {step.title}.
        </b>{' '}
        {step.text}
      </p>
      <span className="spacer" />
      <button type="button" onClick={() => go(null)}>
        Leave
      </button>
      {at > 0 && (
        <button type="button" onClick={() => go(at - 1)}>
          Back
        </button>
      )}
      {last ? (
        <button
          type="button"
          className="main"
          onClick={() => {
            go(null);
            own();
          }}
        >
          Start my own unit
        </button>
      ) : (
        <button type="button" className="main" onClick={() => go(at + 1)}>
          Next
        </button>
      )}
    </section>
  );
}
