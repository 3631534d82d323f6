import type { Planner } from '../../planner/planner.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { drawInto, emptyDraw, groundOf } from '../draws/draw.ts';
import { drawnProblem } from '../draws/drawnProblem.ts';
import { FastModel } from '../model/fastModel.ts';
import { emptyOutcome } from '../model/serving.ts';

/** one run judged twice: by the fast model, and by planning it to the minute. */
export interface Compared {
  readonly draw: number;
  readonly machines: number;
  /** Bags (of fillLitres) short. */
  readonly fast: number;
  readonly planned: number;
}

export interface Agreement {
  readonly draws: number;
  /** Draws on which both say "short" or both say "not". */
  readonly agree: number;
  /** Mean of fast - planned, bags. */
  readonly meanBagsDifference: number;
}

const SHORT = 1e-6;

export const agreementOf = (compared: readonly Compared[]): Agreement => ({
  draws: compared.length,
  agree: compared.filter(({ fast, planned }) => fast > SHORT === planned > SHORT).length,
  meanBagsDifference:
    compared.length === 0
      ? 0
      : compared.reduce((sum, { fast, planned }) => sum + fast - planned, 0) / compared.length,
});

/** The comparisons for one number of machines, counted in runs. */
export interface AgreementRow {
  readonly machines: number;
  readonly bothShort: number;
  readonly bothCover: number;
  /** Short by the fast model only, by the full plan only. */
  readonly fastOnly: number;
  readonly plannedOnly: number;
  /** Mean of fast - planned, bags. */
  readonly meanBagsDifference: number;
}

export function agreementRows(compared: readonly Compared[]): AgreementRow[] {
  const counts = [...new Set(compared.map(({ machines }) => machines))].sort((a, b) => a - b);
  return counts.map((machines) => {
    const mine = compared.filter((one) => one.machines === machines);
    const count = (fastShort: boolean, planShort: boolean) =>
      mine.filter(({ fast, planned }) => fast > SHORT === fastShort && planned > SHORT === planShort).length;
    return {
      machines,
      bothShort: count(true, true),
      bothCover: count(false, false),
      fastOnly: count(true, false),
      plannedOnly: count(false, true),
      meanBagsDifference: agreementOf(mine).meanBagsDifference,
    };
  });
}

/** Fills in a whole plan, about; more cost more. */
const fillsIn = (machines: number, days: number): number => Math.max(1, machines * days * 12);

/**
 * Draws to plan fully, always the same ones: in turn with the machines listed, and with as many as are just enough (or
 * one fewer than listed, should those be enough), so that both answers occur. Fewer runs where a plan costs more, but
 * never with so little work that the planner's haste would be blamed on the fast model.
 * @param count default by size
 */
export function comparisons(
  { own, smallest, days }: { own: number; smallest: number | null; days: readonly unknown[] },
  count?: number,
): Omit<CompareJob, 'scenario' | 'seed'>[] {
  if (own === 0) return [];
  const other = smallest === own ? Math.max(1, own - 1) : (smallest ?? own);
  const fills = fillsIn(own, days.length);
  const draws = count ?? Math.max(4, Math.min(20, Math.round(12_000 / fills)));
  const tries = Math.round(Math.max(300, Math.min(2000, 1_000_000 / fills)));
  return Array.from({ length: draws }, (_, n) => ({
    draw: n,
    machines: n % 2 === 0 ? own : other,
    tries,
  }));
}

/** A draw to plan fully. */
export interface CompareJob {
  readonly scenario: Scenario;
  readonly seed: number;
  readonly draw: number;
  readonly machines: number;
  /** Work of the planner: tries of a whole schedule. */
  readonly tries: number;
}

/** Only unmet litres matter here, so a short search does. */
export async function compareDraw(
  { scenario, seed, draw, machines, tries }: CompareJob,
  plan: Planner,
  stop?: () => boolean,
): Promise<Compared> {
  const ground = groundOf(scenario);
  const drawn = emptyDraw(ground, machines);
  drawInto(ground, seed, draw, drawn);
  const outcomes = Array.from({ length: machines }, emptyOutcome);
  new FastModel(ground.problem, machines).judge(drawn, outcomes, machines);
  const { problem } = ground;
  const { score } = await plan(drawnProblem(ground, { seed, index: draw, draw: drawn, count: machines }), {
    seed: 1,
    tries,
    stop,
  });
  return {
    draw,
    machines,
    fast: outcomes[machines - 1]!.bagsShort,
    planned: (score.unmetLitres * problem.partsPerLitre) / problem.bagParts,
  };
}
