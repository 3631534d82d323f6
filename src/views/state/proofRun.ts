import { NOTHING_PROVEN, type Plan, type Score, strongest } from '../../plan/plan.ts';
import { type Proven, plainBound } from '../../planner/planner.ts';
import { isBest } from '../../reports/enough.ts';
import { type Step, step } from './events.ts';
import { judgePlan, type Meaning, type Planned, type Proof, toldBy, withProof } from './planned.ts';
import { isCurrent, isRecorded, type Session } from './session.ts';

const noWorse = (score: Score, allowed: Score): boolean =>
  score.unmetLitres <= allowed.unmetLitres && score.reserveShort <= allowed.reserveShort;

/** Planning and proving end, and what they still say is not heard. */
export function halt(session: Session): Step {
  const { planned } = session;
  const part = { run: null, proving: null, waiting: null };
  const stops = [{ do: 'stopPlanning' }, { do: 'stopProving' }] as const;
  return planned?.proof.state === 'running'
    ? step(session, { ...part, planned: { ...planned, proof: { state: 'none' } } }, ...stops)
    : step(session, part, ...stops);
}

/** The plan is on screen; what no plan can do better than follows when it is proven, unless it is being proven. */
export function prove(session: Session): Step {
  const { planned, proving } = session;
  // Of a day under way nothing is proven: people need the next task, not how good the week could have been.
  if (!planned || isRecorded(session)) return step(session);
  if (planned.verdict.history.length > 0) {
    const why = 'what was done before now breaks a rule as it stands now';
    return step(session, { planned: { ...planned, proof: { state: 'failed', why } } });
  }
  const allowed = planned.plan.score;
  const asked = proving && noWorse(proving.allowed, allowed) && noWorse(allowed, proving.allowed);
  if (asked && proving.state !== 'failed') return step(session);
  const number = session.runs + 1;
  // What was proven of plans no worse than one before holds for those no worse than this one.
  const before = proving && noWorse(allowed, proving.allowed) ? proving.proven : null;
  return step(
    session,
    {
      runs: number,
      proving: { number, allowed, state: 'running', proven: before },
      planned: { ...planned, proof: { state: 'running' } },
    },
    { do: 'prove', run: number, scenario: planned.scenario, allowed },
  );
}

/** No plan can be better than the one on screen: its search ends as soon as may be. */
export const endWhenBest = (session: Session): Step =>
  session.run?.long && session.planned && isCurrent(session) && isBest(session.planned.plan)
    ? step(session, {}, { do: 'endSearch' })
    : step(session);

/** Something is proven of the plan on screen; `proven`: and no more will be. */
export function provenOf(session: Session, run: number, state: 'running' | 'proven', proven: Proven): Step {
  const { planned, proving } = session;
  if (proving?.number !== run) return step(session);
  const all = { ...proven, ...strongest(proving.proven ?? NOTHING_PROVEN, proven) };
  return step(session, {
    proving: { ...proving, state, proven: all },
    planned: planned && withProof(planned, all, state),
  });
}

export function proofFailed(session: Session, run: number, why: string): Step {
  const { planned, proving } = session;
  if (proving?.number !== run) return step(session);
  const proof: Proof = { state: 'failed', why };
  return step(session, {
    proving: { ...proving, state: 'failed' },
    planned: planned && { ...planned, proof },
  });
}

/** The plan with what counting alone proves of it. Of a day under way nothing is proven. */
const counted = (session: Session, { problem, demand }: Meaning, plan: Plan): Plan =>
  isRecorded(session)
    ? plan
    : { ...plan, bound: strongest(plan.bound, plainBound(problem, demand, plan.score)) };

/** A plan as it goes on screen, with what counting proves of it and what is already proven of any plan no worse than another. */
export function shown(
  session: Session,
  meaning: Meaning,
  found: Plan,
  when: Pick<Planned, 'held' | 'madeAt'>,
): Planned {
  const { baseline: since, proving } = session;
  const plan = counted(session, meaning, found);
  if (!proving || proving.state === 'failed' || !noWorse(plan.score, proving.allowed))
    return judgePlan(meaning, plan, { ...when, since });
  const { state, proven } = proving;
  const told = proven ? toldBy(plan, proven, state) : plan;
  return judgePlan(meaning, told, { ...when, since, proof: { state, remarks: proven?.remarks ?? [] } });
}
