import { bathOf, type Spec } from '../forecast/forecast.ts';
import { residual } from '../forecast/laws.ts';
import { chanceOf, poisson, STREAM } from './random.ts';

/** A patient who is not here yet. Minutes count from the scenario's start. */
interface Newcomer {
  from: number;
  /** May lie beyond the horizon. */
  until: number;
  /** kg */
  weight: number;
  /** mL/kg/h */
  dose: number;
  hoursPerDay: number;
  /** mL/h */
  fluidRemoval: number;
  replacement: number;
  /** The one number in [0, 1) that picks the bath on every therapy day. */
  u: number;
}

/**
 * The new patients of one draw, day by day. Each day has a stream of its own, so a longer forecast leaves its first
 * days as they were. A stay lasts a minute at least; caps apply after the law has been drawn from, so a capped
 * forecast has the same patients.
 * @param visit gets the same object each time, with the next patient in it: millions are drawn
 */
export function newcomers(
  spec: Spec,
  seed: number,
  draw: number,
  visit: (patient: Readonly<Newcomer>) => void,
): void {
  const patient: Newcomer = {
    from: 0,
    until: 0,
    weight: 0,
    dose: 0,
    hoursPerDay: 0,
    fluidRemoval: 0,
    replacement: 0,
    u: 0,
  };
  for (let day = 0; day < spec.days; day++) {
    const chance = chanceOf(seed, draw, STREAM.newcomers + day);
    const count = poisson(spec.meanOfDay(day), chance);
    for (let n = 0; n < count; n++) {
      patient.from = day * 1440 + Math.floor(chance() * 1440);
      patient.u = chance();
      patient.until = patient.from + Math.max(1, Math.round(spec.stay.draw(chance) * 1440));
      patient.weight = spec.weight.draw(chance);
      patient.hoursPerDay = Math.min(spec.hours.draw(chance), spec.hoursCap, 24);
      patient.dose = Math.min(spec.dose.draw(chance), spec.doseCap);
      patient.fluidRemoval = spec.fluidRemoval.draw(chance);
      patient.replacement = spec.replacement.draw(chance);
      visit(patient);
    }
  }
}

/** When a listed patient's therapy ends in one draw, min: as listed, or after a drawn rest of the stay. */
export function listedUntil(
  spec: Spec,
  { seed, draw }: { seed: number; draw: number },
  listed: readonly { readonly from: number; readonly until: number; readonly open: boolean }[],
): Int32Array {
  const into = new Int32Array(listed.length);
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
  return into;
}

/** From which minute of therapy on a patient runs which bath. */
export type BathSteps = readonly { readonly at: number; readonly bath: number }[];

function stepsAt(spec: Spec, u: number): BathSteps {
  const steps: { at: number; bath: number }[] = [];
  for (const { at, cumulated } of spec.shares) {
    const bath = bathOf(cumulated, u);
    if (steps.length === 0) steps.push({ at: 0, bath });
    else if (steps.at(-1)!.bath !== bath) steps.push({ at, bath });
  }
  return steps;
}

/** The baths of a patient with number u, steps to the same bath left out; worked out once for each part of [0, 1). */
export function bathPaths(spec: Spec): (u: number) => BathSteps {
  // `bathOf` draws its lines a little below the cumulated shares, as sums of shares are not exact.
  const cuts = [...new Set(spec.shares.flatMap(({ cumulated }) => cumulated.map((share) => share - 1e-12)))]
    .filter((cut) => cut > 0 && cut < 1)
    .sort((a, b) => a - b);
  const paths = [0, ...cuts].map((from) => stepsAt(spec, from));
  return (u) => {
    let part = 0;
    while (part < cuts.length && u >= cuts[part]!) part += 1;
    return paths[part]!;
  };
}
