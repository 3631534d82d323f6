import type { Problem } from '../scenario/problem/types.ts';
import type { State } from './state.ts';

/** The state as other programs read it: `now`, `state` and `recall` of `plan --now --json`. Minutes from the start. */
export function stateFile({ baths }: Problem, state: State) {
  return {
    now: state.now,
    state: {
      machines: state.machines.map(({ id, bath, circuitSince, underWay, outOfService }) => ({
        id,
        bath,
        circuitSince,
        underWay: underWay && {
          kind: underWay.kind,
          start: underWay.start,
          earliestEnd: underWay.earliestEnd,
          latestEnd: underWay.latestEnd,
        },
        outOfService,
      })),
      water: state.water.map(({ id, last, lastEnd }) => ({ id, last, lastEnd })),
      lots: state.lots.map(({ lot, bath, litres, good, held, left, discarded, ready, expires }) => ({
        lot,
        bath,
        litres,
        good,
        held,
        left,
        discarded,
        // There from the start: it may leave at once.
        ready: ready === Number.NEGATIVE_INFINITY ? 0 : ready,
        expires,
      })),
      dueNow: state.dueNow.flatMap((bags, bath) => (bags > 0 ? { bath: baths[bath]!, bags } : [])),
    },
    recall: state.recall.map(({ lot, bags, round, ward, bed }) => ({
      lot,
      bags,
      round,
      ...(ward ? { ward } : {}),
      ...(bed ? { bed } : {}),
    })),
  };
}
