import type { Edited, Step as Undone } from '../../grid/history.ts';
import { renamed } from '../../grid/renamed.ts';
import type { Plan } from '../../plan/plan.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { after, type Step, step } from './events.ts';
import { judge } from './judge.ts';
import { judgePlan } from './planned.ts';
import { planSoon } from './planRun.ts';
import { halt, prove } from './proofRun.ts';
import { type Answer, heldAt, IDLE, meant, type Session, sameClock } from './session.ts';

/** ms, for further keystrokes to come in before it is planned */
export const WAIT_MS = 300;

/** The scenario after an edit, an undo or a redo takes the place of the one before: demand at once, the plan shortly after. */
export function take(session: Session, edited: Edited, madeAt: string): Step {
  const { scenario: old, baseline, clean, holdPast } = session;
  const { scenario, history } = edited;
  if (scenario === old) return step(session);
  const answers = remembered(session, history.past.concat(history.future));
  const unsaved = scenario !== clean || holdPast;
  const taken = { ...session, ...edited, ...judge(scenario), answers, unsaved };
  // Minutes count from the start: of another one nothing is known to be done.
  if (!sameClock(old, scenario)) Object.assign(taken, { baseline: null, now: 0, holdPast: false, lost: [] });
  else if (baseline)
    taken.baseline = { ...baseline, activities: renamed(old, scenario, baseline.activities) };
  return recalled(taken, madeAt);
}

/** The answers worth keeping, with the one on screen if it answers the scenario that is left. */
function remembered(session: Session, steps: readonly Undone[]): ReadonlyMap<Scenario, Answer> {
  const { scenario, planned, searched, quick, lost, byHand, planning, now } = session;
  const within = new Set(steps.flatMap(({ before, after }) => [before, after]));
  const answers = new Map([...session.answers].filter(([of]) => within.has(of)));
  const open = planning.state === 'planning';
  if (planned?.scenario === scenario)
    answers.set(scenario, { planned, searched, quick, lost, byHand, open, now });
  return answers;
}

/** Shows the plan that this scenario had before, if any; plans where there is none, or it was still being improved. */
function recalled(session: Session, madeAt: string): Step {
  const soon = (now: Session) => planSoon(now, { wait: WAIT_MS, anew: false, madeAt });
  const before = session.answers.get(session.scenario);
  const meaning = meant(session);
  if (!before || !meaning) return soon(session);
  const { searched, quick, lost, byHand, open } = before;
  const { plan, proof } = before.planned;
  const held = heldAt(session);
  // What was done meanwhile by another plan stands; all else is as it was, what seemed lost too.
  const done = ({ activities }: Plan) =>
    JSON.stringify(activities.filter(({ start }) => start >= before.now && start < held));
  if (session.planned && done(session.planned.plan) !== done(plan)) return soon({ ...session, lost });
  const again = after(halt(session), (halted) => {
    const planned = judgePlan(meaning, plan, { since: halted.baseline, held, madeAt, proof });
    return step(halted, { planned, searched: searched && !open, quick, lost, byHand, planning: IDLE });
  });
  if (open) return after(again, soon);
  return proof.state === 'proven' ? again : after(again, prove);
}
