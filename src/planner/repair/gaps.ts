import type { Clerk, Span } from '../schedule/clerk.ts';
import { doneAt, type Piece } from '../schedule/pieces.ts';
import type { Setting } from './replay.ts';
import type { Wanted } from './wanted.ts';

/** Enters one more fill for a need, where a machine rests, with as little work as may be; null where none fits. */
export function cheapest(
  setting: Setting,
  clerk: Clerk,
  pieces: readonly Piece[],
  wanted: Wanted,
): Piece[] | null {
  let best: Way | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const machine of setting.problem.machines.keys())
    for (const gap of gapsOf(setting, machine, pieces, wanted))
      for (const put of waysIn(clerk, gap)) {
        const mark = clerk.mark();
        const before = clerk.handsOn;
        const done = put();
        const cost = clerk.handsOn - before;
        clerk.backTo(mark);
        if (!done || cost >= least) continue;
        least = cost;
        best = put;
      }
  return (best as Way | null)?.() ?? null;
}

/** Enters what it takes; null, with a part of it perhaps entered, when there is no room. */
type Way = () => Piece[] | null;

/** Rests of a machine in which a fill for a need might be made. */
function gapsOf({ problem, now }: Setting, machine: number, pieces: readonly Piece[], wanted: Wanted): Gap[] {
  const { rules, machines, horizon } = problem;
  const { baths, shortest, longest, loaded } = machines[machine]!;
  const { bath, at, to } = wanted;
  if (!baths.includes(bath) || longest < shortest) return [];
  const swapBy = at - rules.releaseMinutes;
  const found: Gap[] = [];
  let circuit: Gap['circuit'] = loaded;
  let free = 0;
  for (const next of [...pieces.filter((piece) => piece.machine === machine), null]) {
    const until = Math.min(next?.start ?? horizon, swapBy + rules.bathMinutes);
    const from = Math.max(free, now, to - rules.shelf - longest);
    if (until - from > shortest) found.push({ machine, bath, from, until, swapBy, to, circuit, next });
    if (!next || next.start >= swapBy) break;
    if (next.kind === 'circuit') circuit = { bath: next.bath, since: next.start };
    else if (circuit) circuit = { ...circuit, bath: next.bath };
    free = doneAt(problem, next);
  }
  return found;
}

/** A rest of a machine. */
interface Gap {
  readonly machine: number;
  readonly bath: number;
  readonly from: number;
  readonly until: number;
  readonly swapBy: number;
  /** Bags must not expire before this minute. */
  readonly to: number;
  readonly circuit: { readonly bath: number; readonly since: number } | null;
  readonly next: Piece | null;
}

/** Ways to put a fill into a rest: on the circuit in place, with its bath changed, or on a new circuit. */
function waysIn(clerk: Clerk, gap: Gap): Way[] {
  const { machine, bath, from, until, swapBy, to, circuit, next } = gap;
  const { bathMinutes, swapMinutes, circuitMinutes, shelf, releaseMinutes } = clerk.problem.rules;
  const back = next?.kind === 'fill' && next.bath !== bath ? next.bath : null;
  const end = Math.min(swapBy, until - (back === null ? 0 : bathMinutes));
  const way =
    (setUp: 'circuit' | 'bath' | null): Way =>
    () => {
      const done: Piece[] = [];
      const enter = (kind: Piece['kind'], what: number, span: Span): number => {
        const run = span.from <= span.latest ? clerk.enter(machine, kind, what, span) : null;
        if (!run) return -1;
        done.push({
          kind,
          machine,
          bath: what,
          start: run.start,
          end: run.start + run.minutes,
          fixed: false,
        });
        return run.start + run.minutes;
      };
      let life = circuit ? clerk.lifeEnd(machine, circuit.since) : 0;
      let ready = from;
      if (setUp) {
        const minutes = setUp === 'circuit' ? circuitMinutes : bathMinutes;
        ready = enter(setUp, bath, { from, latest: end - swapMinutes - minutes });
        if (ready < 0) return null;
        if (setUp === 'circuit') life = clerk.lifeEnd(machine, done[0]!.start);
      }
      const filled = enter('fill', bath, {
        from: ready,
        latest: end - swapMinutes,
        swapBy: Math.min(end, life),
      });
      if (filled < 0 || filled + shelf < to) return null;
      const by = swapBy + releaseMinutes;
      if (clerk.releasedBy(machine, filled, by) > by) return null;
      if (back === null) return done;
      const latest = Math.min(until, life) - bathMinutes;
      const changed = enter('bath', back, { from: filled + swapMinutes, latest });
      return changed < 0 ? null : done;
    };
  if (!circuit) return [way('circuit')];
  return circuit.bath === bath ? [way(null), way('circuit')] : [way('bath'), way('circuit')];
}
