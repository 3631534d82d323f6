import { useEffect, useMemo, useRef, useState } from 'react';
import type { Harm, Held } from '../../hold/hold.ts';
import { together } from '../../hold/hold.ts';
import { ASSUMED, type Variation } from '../../hold/variation.ts';
import { bathsOf } from '../../plan/plan.ts';
import { holdRows } from '../../reports/holdText.ts';
import { workOrder } from '../../words/activities.ts';
import { countText, lengthText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import { openThread, type Thread } from '../state/thread.ts';
import type { HoldJob, HoldService } from '../worker/hold.worker.ts';

const DAYS = 1000;
/** Days played at a time, so that what is known so far shows. */
const CHUNK = 50;
/** A task counts as late by so much, min. */
const LATE = 15;
/** h; beyond, what is left out adds up, and units plan anew. */
const AHEAD = 24;

const FIELDS: readonly {
  readonly label: string;
  readonly unit: string;
  readonly get: (of: Variation) => number;
  readonly put: (of: Variation, value: number) => Variation;
  readonly most: number;
}[] = [
  {
    label: 'Fills take longer by up to',
    unit: '%',
    get: ({ slower }) => slower * 100,
    put: (of, value) => ({ ...of, slower: value / 100 }),
    most: 50,
  },
  {
    label: 'Swaps come late by up to',
    unit: 'min',
    get: ({ swapLate }) => swapLate,
    put: (of, value) => ({ ...of, swapLate: Math.round(value) }),
    most: 120,
  },
  {
    label: 'A technician is called away',
    unit: 'times a day',
    get: ({ away }) => away.perDay,
    put: (of, value) => ({ ...of, away: { ...of.away, perDay: value } }),
    most: 50,
  },
  {
    label: 'away each time for',
    unit: 'min',
    get: ({ away }) => away.minutes,
    put: (of, value) => ({ ...of, away: { ...of.away, minutes: Math.round(value) } }),
    most: 1440,
  },
  {
    label: 'A machine is down',
    unit: 'times a day, each',
    get: ({ down }) => down.perDay,
    put: (of, value) => ({ ...of, down: { ...of.down, perDay: value } }),
    most: 10,
  },
  {
    label: 'down each time for',
    unit: 'min',
    get: ({ down }) => down.minutes,
    put: (of, value) => ({ ...of, down: { ...of.down, minutes: Math.round(value) } }),
    most: 10_080,
  },
  {
    label: 'A total chlorine test fails',
    unit: '% of tests',
    get: ({ testFails }) => testFails * 100,
    put: (of, value) => ({ ...of, testFails: value / 100 }),
    most: 100,
  },
];

interface Found {
  readonly held: Held | null;
  readonly harm: readonly Harm[] | null;
  readonly failure: string | null;
}

/** Plays the plan on two threads, and tells what is known so far. */
async function playing(
  threads: readonly Thread<HoldService>[],
  job: HoldJob,
  variation: Variation,
  told: (part: Partial<Found>) => void,
): Promise<void> {
  await Promise.all(threads.map(({ service }) => service.begin(job)));
  let held: Held | null = null;
  let next = 0;
  const chunks = async ({ service }: Thread<HoldService>) => {
    while (next < DAYS) {
      const from = next;
      next += CHUNK;
      const part = await service.play(variation, { runs: CHUNK, seed: 1, from });
      held = held ? together(held, part) : part;
      told({ held });
    }
  };
  await Promise.all(threads.map(chunks));
  told({ harm: await threads[0]!.service.harm(LATE) });
}

const makeWorker = () => new Worker(new URL('../worker/hold.worker.ts', import.meta.url), { type: 'module' });

/** What goes wrong, as typed; a number that cannot be goes back to the one before. */
function Assumed({
  of,
  change,
  play,
}: {
  of: Variation;
  change: (to: (before: Variation) => Variation) => void;
  play: () => void;
}) {
  return (
    <div className="form-line">
      {FIELDS.map(({ label, unit, get, put, most }) => (
        <label key={label}>
          {label}, {unit}
          <input
            inputMode="decimal"
            size={6}
            defaultValue={get(of)}
            onBlur={({ target }) => {
              const value = Number(target.value.replace(',', '.'));
              const good = target.value.trim() !== '' && value >= 0 && value <= most;
              if (good && value !== get(of)) change((before) => put(before, value));
              if (!good) target.value = String(get(of));
            }}
          />
        </label>
      ))}
      <button type="button" className="main" onClick={play}>
        Play {countText(DAYS, 'day')}
      </button>
    </div>
  );
}

/** On how many of the days each bag round was served in full. */
function Rounds({ planned: { problem }, held }: { planned: Planned; held: Held | null }) {
  const rows = useMemo(() => (held ? holdRows(problem, held) : []), [problem, held]);
  if (!held) return null;
  if (rows.length === 0) return <p>No bag round of the next {lengthText(AHEAD * 60)} needs a bag.</p>;
  return (
    <>
      <p role="status">
        {held.runs < DAYS ? `${numberText(held.runs)} of ` : ''}
        {countText(DAYS, 'day')} played
      </p>
      <table className="rows">
        <thead>
          <tr>
            <th>Bag round</th>
            <th>Served in full</th>
            <th>95 % sure: between</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ round, share, sure, tone }) => (
            <tr key={round}>
              <th scope="row">{round}</th>
              <td>
                <Signal tone={tone}>{share}</Signal>
              </td>
              <td className="grows">{sure}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** The tasks that leave a bag round short when they alone begin late, worst first. */
function Tasks({ planned, harm }: { planned: Planned; harm: readonly Harm[] | null }) {
  const { problem, plan } = planned;
  const { activities } = plan;
  const baths = useMemo(() => bathsOf(activities), [activities]);
  if (!harm) return null;
  return (
    <>
      <h3>Tasks that must not begin {lengthText(LATE)} late</h3>
      {harm.length === 0 && (
        <p>No single task leaves a bag round short when it alone is {lengthText(LATE)} late.</p>
      )}
      <ul>
        {harm.slice(0, 8).map(({ index, litres }) => (
          <li key={index}>
            {whenText(problem.clock, activities[index]!.start)} {workOrder(activities[index]!, baths[index])}:{' '}
            {numberText(litres)} L short
          </li>
        ))}
      </ul>
    </>
  );
}

/** Will it hold? The plan on screen, played on a thousand days like no other, for the bag rounds of the next 24 h. */
export function HoldPart({ planned }: { planned: Planned }) {
  const now = useStore((state) => state.now);
  const noted = useStore((state) => state.record.noted);
  const [variation, setVariation] = useState(ASSUMED);
  const [asked, setAsked] = useState(0);
  const [found, setFound] = useState<Found>({ held: null, harm: null, failure: null });
  const { problem, plan, scenario } = planned;
  const { activities } = plan;
  const until = Math.min(problem.horizon, Math.max(now, problem.now) + AHEAD * 60);
  const latest = useRef({ noted, now });
  latest.current = { noted, now };
  // biome-ignore lint/correctness/useExhaustiveDependencies: another plan or other numbers: what was found is of no use
  useEffect(() => setFound({ held: null, harm: null, failure: null }), [activities, variation]);
  useEffect(() => {
    if (asked === 0) return;
    const threads = [0, 1].map(() => openThread<HoldService>(makeWorker));
    let over = false;
    const tell = (part: Partial<Found>) => {
      if (!over) setFound((before) => ({ ...before, ...part }));
    };
    playing(threads, { scenario, activities, ...latest.current, until }, variation, tell).catch(
      (error: unknown) => tell({ failure: String(error) }),
    );
    return () => {
      over = true;
      for (const { end } of threads) end();
    };
  }, [asked, scenario, activities, until, variation]);
  return (
    <div className="hold">
      <h2>Will it hold?</h2>
      <p>
        Plays this plan on {countText(DAYS, 'day')} on which things go wrong as typed below. Everybody does
        the next task as soon as it can be done, and nobody plans again. So it shows the bag rounds of the
        next {AHEAD} h only. Planning again does better.
      </p>
      <Assumed of={variation} change={setVariation} play={() => setAsked(asked + 1)} />
      <p className="muted">These numbers are assumptions. Type what your unit knows.</p>
      {found.failure && <p className="bad">✕ Not played: {found.failure}</p>}
      <Rounds planned={planned} held={found.held} />
      <Tasks planned={planned} harm={found.harm} />
      <p className="muted">
        Not counted: walking, and supplies that a longer fill takes. It is no promise. Watch the swap windows.
      </p>
    </div>
  );
}
