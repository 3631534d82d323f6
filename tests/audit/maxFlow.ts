import { makeClock } from '../../src/calendar/clock.ts';
import type { Demand } from '../../src/demand/demand.ts';
import type { Activity } from '../../src/plan/plan.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/**
 * The most litres that lots can serve, by augmenting paths (Ford and Fulkerson 1956, breadth first as Edmonds and Karp
 * 1972): a reference for the rule "first to expire first covers as much as can be covered". Lots are read from the
 * scenario's rows; amounts in mL.
 */
export function mostLitres(s: Scenario, problem: Problem, demand: Demand, plan: readonly Activity[]): number {
  const clock = makeClock(s.timeZone, s.start);
  const ml = (bags: number, litres: number) => bags * Math.round(litres * 1000);
  const fillLitres = s.rules?.fillLitres ?? 6.5;
  const after = (s.rules?.swapMinutes ?? 8) + (s.rules?.releaseMinutes ?? 15);
  const lots = [...(s.stock ?? []), ...(s.deliveries ?? [])].map((row) => ({
    bath: row.bath,
    amount: ml(row.bags, row.litres),
    ready: row.ready ? clock.minuteOf(row.ready) : Number.NEGATIVE_INFINITY,
    expires: row.expires ? clock.minuteOf(row.expires) : Number.POSITIVE_INFINITY,
  }));
  for (const a of plan)
    if (a.kind === 'fill')
      lots.push({
        bath: a.bath,
        amount: ml(s.machines.find((m) => m.id === a.machine)!.positions, fillLitres),
        ready: a.end + after,
        expires: a.end + (s.rules?.shelfHours ?? 120) * 60,
      });
  const needs = problem.baths.flatMap((bath, b) =>
    problem.rounds.map((round) => ({ bath, round, amount: ml(demand.bags[b]![round.index]!, fillLitres) })),
  );
  const [source, sink] = [0, 1];
  const size = 2 + lots.length + needs.length;
  const room = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  lots.forEach((lot, l) => {
    room[source]![2 + l] = lot.amount;
    needs.forEach(({ bath, round }, n) => {
      if (bath === lot.bath && lot.ready <= round.at && lot.expires >= round.to)
        room[2 + l]![2 + lots.length + n] = lot.amount;
    });
  });
  needs.forEach(({ amount }, n) => {
    room[2 + lots.length + n]![sink] = amount;
  });
  let total = 0;
  for (;;) {
    const from = new Array<number>(size).fill(-1);
    from[source] = source;
    const queue = [source];
    for (const at of queue)
      for (let to = 0; to < size; to++)
        if (from[to] === -1 && room[at]![to]! > 0) {
          from[to] = at;
          queue.push(to);
        }
    if (from[sink] === -1) return total / 1000;
    let most = Number.POSITIVE_INFINITY;
    for (let at = sink; at !== source; at = from[at]!) most = Math.min(most, room[from[at]!]![at]!);
    for (let at = sink; at !== source; at = from[at]!) {
      room[from[at]!]![at]! -= most;
      room[at]![from[at]!]! += most;
    }
    total += most;
  }
}
