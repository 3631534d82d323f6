import { useEffect, useMemo, useRef, useState } from 'react';
import type { Harm, Held } from '../../hold/hold.ts';
import { together } from '../../hold/hold.ts';
import type { Learned } from '../../hold/learned.ts';
import { type SlackOffer, slackLadder } from '../../hold/offers.ts';
import { ASSUMED, type Variation } from '../../hold/variation.ts';
import { bathsOf } from '../../plan/plan.ts';
import { clearFirst, doFirst, holdRows } from '../../reports/holdText.ts';
import { workOrder } from '../../words/activities.ts';
import { countText, lengthText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { openThread, type Thread } from '../state/thread.ts';
import type { HoldJob, HoldService } from '../worker/hold.worker.ts';
import { Assumed, FromRecord } from './HoldAssumed.tsx';
import { type Offered, SlackNow, SlackPart } from './SlackPart.tsx';

const DAYS = 1000;
/** Days played at a time, so that what is known so far shows. */
const CHUNK = 50;
/** Days on which plans with slack are judged, the first of them all; and those on which the plan is made anew. */
const OFFER_DAYS = 200;
const REMADE_DAYS = 20;
const SEED = 1;
/** One thread for each core, two at least. */
const MOST_THREADS = 8;
/** s after which no more of these are played: on a plan of many machines one takes minutes. */
const REMADE_S = 120;
/** A task counts as late by so much, min. */
const LATE = 15;
/** h; beyond, what is left out adds up, and units plan anew. */
const AHEAD = 24;
/** Tasks told at most. */
const TOLD = 8;

interface Found {
  readonly held: Held | null;
  readonly harm: readonly Harm[] | null;
  readonly remade: Held | null;
  /** No more days with new plans are played. */
  readonly remadeOver: boolean;
  readonly offered: Offered;
  readonly failure: string | null;
}
const NOTHING_OFFERED: Offered = { offers: [], tried: 0, of: 0, base: null };
const NOTHING: Found = {
  held: null,
  harm: null,
  remade: null,
  remadeOver: false,
  offered: NOTHING_OFFERED,
  failure: null,
};

interface Playing {
  readonly threads: readonly Thread<HoldService>[];
  readonly variation: Variation;
  readonly tell: (part: Partial<Found>) => void;
}

/** One after the other, each on the thread that is free first. */
async function shared<Task>(
  { threads }: Playing,
  tasks: readonly Task[],
  act: (thread: Thread<HoldService>, task: Task) => Promise<void>,
): Promise<void> {
  const left = [...tasks];
  const work = async (thread: Thread<HoldService>) => {
    for (let task = left.shift(); task !== undefined; task = left.shift()) await act(thread, task);
  };
  await Promise.all(threads.map(work));
}

const starts = (days: number, step: number): number[] =>
  Array.from({ length: days / step }, (_, part) => part * step);

/** The plan as it is, played. @returns how it held on the days on which plans with slack are judged */
async function playPlan(playing: Playing): Promise<Held | null> {
  const { variation, tell } = playing;
  let held: Held | null = null;
  let base: Held | null = null;
  await shared(playing, starts(DAYS, CHUNK), async ({ service }, from) => {
    const part = await service.play(variation, { runs: CHUNK, seed: SEED, from });
    held = held ? together(held, part) : part;
    if (from < OFFER_DAYS) base = base ? together(base, part) : part;
    tell({ held });
  });
  return base;
}

/** Plans with slack, each played on the same days. */
async function playOffers(playing: Playing, planned: Planned, base: Held | null): Promise<void> {
  const { variation, tell } = playing;
  const ladder = slackLadder(planned.problem, planned.plan.score.unmetLitres);
  const offers: SlackOffer[] = [];
  let tried = 0;
  const told = () => tell({ offered: { offers: [...offers], tried, of: ladder.length, base } });
  told();
  await shared(playing, ladder, async ({ service }, slack) => {
    const offer = await service.offer(slack, variation, { runs: OFFER_DAYS, seed: SEED });
    tried += 1;
    if (offer) offers.push(offer);
    told();
  });
}

/** A few days on which people plan anew at each mishap. */
async function playRemade(playing: Playing): Promise<void> {
  const { variation, tell } = playing;
  let remade: Held | null = null;
  await shared(playing, starts(REMADE_DAYS, 1), async ({ service }, day) => {
    const part = await service.remade(variation, { seed: SEED, day });
    remade = remade ? together(remade, part) : part;
    tell({ remade });
  });
}

/** Plays the plan, and tells what is known so far, what to do first meanwhile. */
async function play(playing: Playing, job: HoldJob, planned: Planned): Promise<void> {
  const { threads, tell } = playing;
  await Promise.all(threads.map(({ service }) => service.begin(job)));
  const harm = threads[0]!.service.harm(LATE).then((found) => tell({ harm: found }));
  const base = await playPlan(playing);
  await harm;
  await playOffers(playing, planned, base);
  const limit = new Promise((resolve) => setTimeout(resolve, 1000 * REMADE_S));
  await Promise.race([playRemade(playing), limit]);
  tell({ remadeOver: true });
  for (const thread of threads) thread.end();
}

const makeWorker = () => new Worker(new URL('../worker/hold.worker.ts', import.meta.url), { type: 'module' });

/** On how many of the days each bag round was served in full. */
function Rounds({
  planned: { problem, plan },
  held,
  remade,
  remadeOver,
}: { planned: Planned } & Pick<Found, 'held' | 'remade' | 'remadeOver'>) {
  const rows = useMemo(() => {
    const short = plan.needs.flatMap(({ round, unmetLitres }) => (unmetLitres > 0 ? round : []));
    return held ? holdRows(problem, held, remade, new Set(short)) : [];
  }, [problem, plan, held, remade]);
  if (!held) return null;
  if (rows.length === 0) return <p>No bag round of the next {lengthText(AHEAD * 60)} needs a bag.</p>;
  const again = remade?.runs ?? 0;
  return (
    <>
      <p role="status">
        {held.runs < DAYS ? `${numberText(held.runs)} of ` : ''}
        {countText(DAYS, 'day')} played
      </p>
      {again < REMADE_DAYS && (
        <p className="muted">
          {remadeOver && `Stopped after ${lengthText(REMADE_S / 60)}: `}
          {numberText(again)} of {countText(REMADE_DAYS, 'day')} played with a new plan at each mishap
        </p>
      )}
      <table className="rows">
        <thead>
          <tr>
            <th>Bag round</th>
            <th>Served in full, if nobody changes the plan</th>
            <th>95 % sure: between</th>
            <th>If the plan is remade at each mishap</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ round, share, sure, tone, remade: days }) => (
            <tr key={round}>
              <th scope="row">{round}</th>
              <td>
                <Signal tone={tone}>{share}</Signal>
              </td>
              <td>{sure}</td>
              <td className="grows">
                {days || (remadeOver ? 'not played: it takes too long' : 'not played yet')}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** What to do first: the tasks that leave a bag round short when they alone begin late, worst first. */
function Tasks({ planned, harm }: { planned: Planned; harm: readonly Harm[] | null }) {
  const { problem, plan } = planned;
  const { activities } = plan;
  const baths = useMemo(() => bathsOf(activities), [activities]);
  if (!harm) return null;
  return (
    <>
      <h3>Tasks that must not begin {lengthText(LATE)} late</h3>
      <p>{doFirst(harm.length, lengthText(LATE), plan.score.unmetLitres)}</p>
      <ul>
        {harm.slice(0, TOLD).map(({ index, litres }) => (
          <li key={index}>
            {whenText(problem.clock, activities[index]!.start)} {workOrder(activities[index]!, baths[index])}:{' '}
            {numberText(litres)} L short
          </li>
        ))}
      </ul>
      {harm.length > TOLD && <p>And {countText(harm.length - TOLD, 'more task')} with fewer liters.</p>}
    </>
  );
}

/** What the record shows of how days differ from their plan; null where nothing is noted. */
function useLearned(job: HoldJob): Learned | null {
  const [learned, setLearned] = useState<Learned | null>(null);
  const { noted } = job;
  const latest = useRef(job);
  latest.current = job;
  useEffect(() => {
    if (noted.length === 0) return setLearned(null);
    const thread = openThread<HoldService>(makeWorker);
    let over = false;
    const ask = async () => {
      await thread.service.begin(latest.current);
      const found = await thread.service.learned();
      if (!over) setLearned(found);
      thread.end();
    };
    // Without it the typed numbers stay.
    ask().catch(() => undefined);
    return () => {
      over = true;
      thread.end();
    };
  }, [noted]);
  return learned;
}

/** Will it hold? The plan on screen, played on a thousand days like no other, for the bag rounds of the next 24 h. */
export function HoldPart({ planned }: { planned: Planned }) {
  const now = useStore((state) => state.now);
  const noted = useStore((state) => state.record.noted);
  const [variation, setVariation] = useState(ASSUMED);
  // The minute at which it was asked for, a new object each time; null: not since anything changed.
  const [asked, setAsked] = useState<{ readonly at: number } | null>(null);
  const current = useStore(isCurrent);
  const edited = useStore((state) => state.scenario);
  const errors = useStore((state) => state.problem === null);
  const [found, setFound] = useState<Found>(NOTHING);
  const { problem, plan, scenario, held } = planned;
  const { activities } = plan;
  const short = plan.needs.find(({ unmetLitres }) => unmetLitres > 0);
  const until = Math.min(problem.horizon, Math.max(now, problem.now) + AHEAD * 60);
  const job: HoldJob = { scenario, activities, until, noted, now, held };
  const latest = useRef({ job, planned });
  latest.current = { job, planned };
  const learned = useLearned(job);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another plan, an edit or other numbers: what was found is of no use
  useEffect(() => {
    setFound(NOTHING);
    setAsked(null);
  }, [activities, scenario, edited, variation]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is played is the plan of these activities
  useEffect(() => {
    if (!asked) return;
    const cores = Math.max(2, Math.min(MOST_THREADS, navigator.hardwareConcurrency || 2));
    const threads = Array.from({ length: cores }, () => openThread<HoldService>(makeWorker));
    let over = false;
    const tell = (part: Partial<Found>) => {
      if (!over) setFound((before) => ({ ...before, ...part }));
    };
    play({ threads, variation, tell }, latest.current.job, latest.current.planned).catch((error: unknown) =>
      tell({ failure: String(error) }),
    );
    return () => {
      over = true;
      for (const thread of threads) thread.end();
    };
  }, [asked]);
  return (
    <div className="hold">
      <h2>Will it hold?</h2>
      <p>
        Plays this plan on {countText(DAYS, 'day')} on which things go wrong as typed below, for the bag
        rounds of the next {AHEAD} h. Everybody does the next task as soon as it can be done.
      </p>
      {!current && (
        <p role="status">
          <Signal tone="warn">
            {errors
              ? 'An error in the sheets keeps a new plan from being made. Mend it first.'
              : 'This plan is from before the last change. Wait for the new plan first.'}
          </Signal>
        </p>
      )}
      {short && (
        <p>
          <Signal tone="bad">{clearFirst(problem.clock, plan.score.unmetLitres, short)}</Signal>
        </p>
      )}
      <SlackNow planned={planned} />
      <Assumed of={variation} days={DAYS} change={setVariation} play={() => setAsked({ at: now })} />
      <p className="muted">These numbers are assumptions. Type what your unit knows.</p>
      {learned && <FromRecord learned={learned} of={variation} change={setVariation} />}
      {found.failure && <p className="bad">✕ Not played: {found.failure}</p>}
      {asked && asked.at !== now && (
        <p role="status">
          <Signal tone="warn">
            Old: played as of {whenText(problem.clock, asked.at)}. Play again for{' '}
            {whenText(problem.clock, now)}.
          </Signal>
        </p>
      )}
      <Tasks planned={planned} harm={found.harm} />
      <Rounds planned={planned} {...found} />
      <SlackPart planned={planned} offered={found.offered} />
      <p className="muted">
        Not counted: walking, and supplies that a longer fill takes. New plans at a mishap are searched for
        briefly here, and may serve less than the plan itself. It is no promise. Watch the swap windows.
      </p>
    </div>
  );
}
