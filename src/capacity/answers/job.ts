import type { Scenario } from '../../scenario/schema.ts';
import { emptyDraw, type Ground } from '../draws/draw.ts';
import { SharedNeeds } from '../draws/needs.ts';
import { FastModel } from '../model/fastModel.ts';
import { emptyOutcome } from '../model/serving.ts';
import { supplyNeed } from '../model/supplies.ts';

/** Some runs of one scenario: the piece of work that a thread, a worker or another computer takes. */
export interface DrawsJob {
  readonly scenario: Scenario;
  readonly seed: number;
  readonly first: number;
  readonly count: number;
  /** Judged for least..most machines; default from one machine on. */
  readonly least?: number;
  readonly most: number;
}

/** What came of it, row by draw. Whoever runs the job, the numbers are the same. */
export interface Chunk {
  readonly first: number;
  readonly count: number;
  /** Patients at the end of the day, [draw x days + day]. */
  readonly census: Int32Array;
  /** Bags hung in the day, [(draw x baths + bath) x days + day]. */
  readonly bags: Int32Array;
  /** Bags short with least..most machines, [draw x most + machines - 1]; nothing is said of fewer. */
  readonly short: Float64Array;
  /** First thing that lacked (index into CAUSES, -1 none) and the round, laid out like `short`. */
  readonly cause: Int8Array;
  readonly round: Int16Array;
  /** What must be on hand at the start, [draw x supplies + supply], in the item's unit. */
  readonly supplyAtStart: Float64Array;
  /** First round for which the supply does not last, -1 if it lasts, laid out like `supplyAtStart`. */
  readonly supplyRound: Int16Array;
}

interface Known {
  readonly key: string;
  readonly ground: Ground;
  readonly model: FastModel;
  readonly needs: SharedNeeds;
}
let known: Known | null = null;

/** The ground and model of a scenario; the last one is kept, since jobs come in rows, and its needs for the next. */
function prepare(scenario: Scenario, seed: number, most: number): Known {
  const key = `${seed} ${most} ${JSON.stringify(scenario)}`;
  if (known?.key !== key) {
    const needs = known?.needs.isFor(scenario, seed) ? known.needs : new SharedNeeds(scenario, seed);
    const ground = needs.groundFor(scenario);
    known = { key, ground, needs, model: new FastModel(ground.problem, most) };
  }
  return known;
}

/** @param job a scenario without error faults */
export function runDraws({ scenario, seed, first, count, least = 1, most }: DrawsJob): Chunk {
  const { ground, model, needs } = prepare(scenario, seed, most);
  const { days } = ground.spec;
  const baths = ground.problem.baths.length;
  const supplies = model.supplies.rows;
  const draw = emptyDraw(ground, most);
  const outcomes = Array.from({ length: most }, emptyOutcome);
  const chunk: Chunk = {
    first,
    count,
    census: new Int32Array(count * days),
    bags: new Int32Array(count * baths * days),
    short: new Float64Array(count * most),
    cause: new Int8Array(count * most),
    round: new Int16Array(count * most),
    supplyAtStart: new Float64Array(count * supplies.length),
    supplyRound: new Int16Array(count * supplies.length),
  };
  for (let n = 0; n < count; n++) {
    needs.drawInto(ground, first + n, draw);
    model.judge(draw, outcomes, least);
    chunk.census.set(draw.census, n * days);
    chunk.bags.set(draw.bagsByDay, n * baths * days);
    for (let k = least - 1; k < most; k++) {
      const { bagsShort, cause, round } = outcomes[k]!;
      chunk.short[n * most + k] = bagsShort;
      chunk.cause[n * most + k] = cause;
      chunk.round[n * most + k] = round;
    }
    for (let s = 0; s < supplies.length; s++) {
      const { atStart, round } = supplyNeed(supplies[s]!, model.wanted, baths);
      chunk.supplyAtStart[n * supplies.length + s] = atStart;
      chunk.supplyRound[n * supplies.length + s] = round;
    }
  }
  return chunk;
}

/** Runs jobs somewhere: here, on threads, or through a queue. Results in the jobs' order. */
export type Runner = (jobs: readonly DrawsJob[], onDone?: (done: number) => void) => Promise<Chunk[]>;

/** The runs from..from + draws - 1 of a scenario in pieces. */
export function jobsOf(
  scenario: Scenario,
  {
    seed,
    from = 0,
    draws,
    least,
    most,
    piece = 100,
  }: { seed: number; from?: number; draws: number; least?: number; most: number; piece?: number },
): DrawsJob[] {
  return Array.from({ length: Math.ceil(draws / piece) }, (_, n) => ({
    scenario,
    seed,
    first: from + n * piece,
    count: Math.min(piece, draws - n * piece),
    ...(least !== undefined && { least }),
    most,
  }));
}
