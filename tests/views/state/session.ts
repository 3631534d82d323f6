import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN, type Plan } from '../../../src/plan/plan.ts';
import { planByHand } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import type { Effect, Event, Step } from '../../../src/views/state/events.ts';
import { reduce } from '../../../src/views/state/reduce.ts';
import { opening, type Session } from '../../../src/views/state/session.ts';

export const AT = '2031-02-03 06:12';

/** A plan of a scenario that a careful person makes: every run of the planner in these tests answers with it. */
export function planOf(scenario: Scenario): Plan {
  const problem = compile(scenario);
  return asPlan(problem, planByHand(problem), {
    bound: NOTHING_PROVEN,
    remarks: [],
    seconds: 0,
  });
}

/** A session that events have come to, with all that was to be done on the way, and with the last of them. */
export class Told {
  session: Session = opening();
  all: Effect[] = [];
  last: readonly Effect[] = [];

  hears(...events: Event[]): this {
    for (const event of events) {
      const { session, effects }: Step = reduce(this.session, event, AT);
      this.session = session;
      this.last = effects;
      this.all.push(...effects);
    }
    return this;
  }
  /** What the last event asked to be done, e.g. ['stopPlanning', 'plan']. */
  get asked(): string[] {
    return this.last.map((effect) => effect.do);
  }
  /** The planner answers the run under way, and the longer one that its answer may call for. */
  plans(plan = planOf(this.session.scenario)): this {
    do this.hears({ is: 'planned', run: this.session.run!.number, plan });
    while (this.session.planning.state === 'planning');
    return this;
  }
}

/** A scenario just opened, and its first plan on screen. */
export const opened = (scenario: Scenario): Told =>
  new Told().hears({ is: 'load', scenario, file: { handle: 'h', name: 'week.json' } });
