import { bathOf, type Spec } from './forecast.ts';
import { residual } from './laws.ts';
import { chanceOf, poisson, STREAM } from './random.ts';

/** A patient who is not here yet. Minutes count from the scenario's start. */
export interface Newcomer {
  readonly from: number;
  /** May lie beyond the horizon. */
  readonly until: number;
  /** kg */
  readonly weight: number;
  /** mL/kg/h */
  readonly dose: number;
  readonly hoursPerDay: number;
  /** mL/h */
  readonly fluidRemoval: number;
  readonly replacement: number;
  /** The one number in [0, 1) that picks the bath on every therapy day. */
  readonly u: number;
}

/**
 * The new patients of one draw, day by day. Each day has a stream of its own, so a longer forecast leaves its first
 * days as they were. A stay lasts a minute at least; caps apply after the law has been drawn from, so a capped
 * forecast has the same patients.
 */
export function newcomers(spec: Spec, seed: number, draw: number, visit: (patient: Newcomer) => void): void {
  for (let day = 0; day < spec.days; day++) {
    const chance = chanceOf(seed, draw, STREAM.newcomers + day);
    const count = poisson(spec.meanOfDay(day), chance);
    for (let n = 0; n < count; n++) {
      const from = day * 1440 + Math.floor(chance() * 1440);
      const u = chance();
      const stay = Math.max(1, Math.round(spec.stay.draw(chance) * 1440));
      const weight = spec.weight.draw(chance);
      const hours = spec.hours.draw(chance);
      const dose = spec.dose.draw(chance);
      visit({
        from,
        until: from + stay,
        weight,
        dose: Math.min(dose, spec.doseCap),
        hoursPerDay: Math.min(hours, spec.hoursCap, 24),
        fluidRemoval: spec.fluidRemoval.draw(chance),
        replacement: spec.replacement.draw(chance),
        u,
      });
    }
  }
}

/** When a listed patient's therapy ends in one draw, min: as listed, or after a drawn rest of the stay. */
export function listedUntil(
  spec: Spec,
  seed: number,
  draw: number,
  listed: readonly { readonly from: number; readonly until: number; readonly open: boolean }[],
  into: Int32Array,
): void {
  const chance = spec.byStay ? chanceOf(seed, draw, STREAM.listed) : null;
  for (let index = 0; index < listed.length; index++) {
    const { from, until, open } = listed[index]!;
    if (!chance || !open) into[index] = until;
    else {
      const had = Math.max(0, -from) / 1440;
      const rest = residual(spec.stay, had, chance) * 1440;
      into[index] = Math.min(2_000_000_000, Math.max(0, from) + Math.max(1, Math.round(rest)));
    }
  }
}

/** From which minute of therapy on a patient runs which bath; steps to the same bath are left out. */
export function bathSteps(spec: Spec, u: number): { at: number; bath: number }[] {
  const steps: { at: number; bath: number }[] = [];
  for (const { at, cumulated } of spec.shares) {
    const bath = bathOf(cumulated, u);
    if (steps.length === 0) steps.push({ at: 0, bath });
    else if (steps.at(-1)!.bath !== bath) steps.push({ at, bath });
  }
  return steps;
}
