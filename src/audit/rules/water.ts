import { decimal } from '../../exact/fraction.ts';
import { type Facts, flows, nameOf } from '../facts.ts';
import { Changes, stretchesOver } from '../stretches.ts';
import type { Finding, Violation } from '../verdict.ts';

const TEN_TO_THE_24 = 10n ** 24n;
/** mL/min as a whole number of 1e-24: typed decimals add up exactly, so three times 0.1 is not above 0.3. */
const exactly = (flow: number): bigint => {
  const { n, d } = decimal(flow);
  return (n * TEN_TO_THE_24) / d;
};

/** At every minute the flows of a source's machines in circuit change, bath change or fill fit its capacity. */
export function waterCapacity(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  facts.problem.water.forEach((source, number) => {
    const changes = new Changes<bigint>((a, b) => a + b);
    facts.onMachine.forEach((activities, index) => {
      const machine = facts.problem.machines[index]!;
      if (machine.water !== number) return;
      const flow = exactly(machine.flow);
      for (const activity of activities) {
        if (!flows(activity)) continue;
        count += 1;
        changes.add(activity.start, flow);
        changes.add(activity.end, -flow);
      }
    });
    let over = -exactly(source.capacity);
    const steps = changes.inOrder().map(([minute, flow]): [number, number] => {
      over += flow;
      return [minute, Number(over) / 1e24];
    });
    for (const stretch of stretchesOver(steps, facts.problem.horizon)) {
      const { start, end } = stretch;
      const amount = Number(stretch.over.toPrecision(9));
      violations.push({
        rule: 'water-capacity',
        message: `From ${facts.at(start)} to ${facts.at(end)} machines draw up to ${amount} mL/min more from ${source.id} than the ${source.capacity} mL/min that it gives.`,
        start,
        end,
        place: source.id,
        amount,
        unit: 'mL/min',
      });
    }
  });
  return { violations, count };
}

/** The latest of ascending ends that is not after a minute, and the first that is. */
function around(ends: readonly number[], minute: number): { last: number | undefined; next: number } {
  let low = 0;
  let high = ends.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[middle]! <= minute) low = middle + 1;
    else high = middle;
  }
  return { last: ends[low - 1], next: ends[low] ?? Number.POSITIVE_INFINITY };
}

/** At every minute that water flows through a machine, its source has a test that ended at most testEvery minutes before. */
export function waterTested(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  facts.onMachine.forEach((activities, index) => {
    const number = facts.problem.machines[index]!.water;
    const source = facts.problem.water[number];
    if (!source) return;
    const ends = facts.testEnds[number]!;
    for (const activity of activities) {
      if (!flows(activity)) continue;
      count += 1;
      let t = activity.start;
      while (t < activity.end) {
        const { last, next } = around(ends, t);
        if (last !== undefined && t <= last + source.testEvery) {
          t = last + source.testEvery + 1;
          continue;
        }
        const until = Math.min(next, activity.end);
        const why =
          last === undefined
            ? 'no test has ended before'
            : `the last test ended at ${facts.at(last)} and serves ${source.testEvery} minutes`;
        violations.push({
          rule: 'water-tested',
          message: `The ${nameOf(activity)} runs untested water of ${source.id} from ${facts.at(t)} to ${facts.at(until)}: ${why}.`,
          start: t,
          end: until,
          place: source.id,
          amount: until - t,
          unit: 'min',
        });
        t = until;
      }
    }
  });
  return { violations, count };
}
