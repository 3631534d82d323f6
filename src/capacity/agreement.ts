import type { Planner } from '../planner/planner.ts';
import type { Scenario } from '../scenario/schema.ts';
import { drawInto, emptyDraw, groundOf } from './draw.ts';
import { drawnProblem } from './drawnProblem.ts';
import { fastModel } from './fastModel.ts';
import { emptyOutcome } from './job.ts';

/** One draw judged twice: by the fast model, and by planning it to the minute. */
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

/**
 * How many draws to plan fully, and with how much work: fewer where one plan costs more, always the same ones. Few tries
 * would blame the planner's haste on the fast model.
 */
export const comparisons = (machines: number, days: number): { draws: number; tries: number } => ({
  draws: Math.max(4, Math.min(20, Math.round(2500 / Math.max(1, machines * days)))),
  tries: 300,
});

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
  fastModel(ground.problem, machines).judge(drawn, outcomes, machines);
  const { problem } = ground;
  const { score } = await plan(drawnProblem(ground, seed, draw, drawn, machines), { seed: 1, tries, stop });
  return {
    draw,
    machines,
    fast: outcomes[machines - 1]!.bagsShort,
    planned: (score.unmetLitres * problem.partsPerLitre) / problem.bagParts,
  };
}
