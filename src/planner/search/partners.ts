import type { Lines } from '../schedule/segment.ts';
import { CIRCUIT } from '../schedule/work.ts';
import type { Chance } from './chance.ts';
import type { Spot, Standing } from './standing.ts';

/** Segments looked at for one that fits. */
const SAMPLE = 30;
/** One bath change saved is worth so much of a distance in time, min. */
const APART = 720;

/** Finds segments for another one to exchange baths with. */
export class Partners {
  private readonly chance: Chance;
  private readonly can: readonly (readonly boolean[])[];

  /** @param can whether a machine can run a bath, [machine][bath] */
  constructor(chance: Chance, can: readonly (readonly boolean[])[]) {
    this.chance = chance;
    this.can = can;
  }

  /** A segment by chance; null: the machine drawn has none. */
  pick(lines: Lines): Spot | null {
    const m = this.chance.below(lines.length);
    const line = lines[m]!;
    return line.length === 0 ? null : { m, i: this.chance.below(line.length) };
  }

  /** Of a few segments of other baths drawn by chance the one that begins nearest in time; null: none will do. */
  nearest(lines: Lines, standing: Standing, here: Spot): Spot | null {
    return this.least(lines, here, 1 + this.chance.below(6), (spot) => apart(standing, spot, here));
  }

  /** Of many, the one that saves most bath changes, near in time too; null: none will do. */
  fitting(lines: Lines, standing: Standing, here: Spot): Spot | null {
    const bath = lines[here.m]![here.i]!.bath;
    const now = changesAround(lines, standing, here, bath);
    return this.least(lines, here, SAMPLE, (spot) => {
      const other = lines[spot.m]![spot.i]!.bath;
      const more =
        changesAround(lines, standing, here, other) -
        now +
        changesAround(lines, standing, spot, bath) -
        changesAround(lines, standing, spot, other);
      return more + (apart(standing, spot, here) / APART) * (0.5 + this.chance.unit());
    });
  }

  private least(lines: Lines, { m, i }: Spot, sample: number, cost: (spot: Spot) => number): Spot | null {
    const { bath } = lines[m]![i]!;
    let best: Spot | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (let left = sample; left > 0; left--) {
      const spot = this.pick(lines);
      if (!spot) continue;
      const other = lines[spot.m]![spot.i]!.bath;
      if (other === bath || !this.can[m]![other] || !this.can[spot.m]![bath]) continue;
      const own = cost(spot);
      if (own >= least) continue;
      least = own;
      best = spot;
    }
    return best;
  }
}

/** min */
const apart = ({ starts }: Standing, a: Spot, b: Spot): number =>
  Math.abs(starts[a.m]![a.i]! - starts[b.m]![b.i]!);

/** Bath changes before and after a segment if it ran this bath: none where a new circuit brings the bath. */
function changesAround(lines: Lines, { first }: Standing, { m, i }: Spot, bath: number): number {
  const line = lines[m]!;
  const changes = (at: number) => first[m]![at] !== CIRCUIT;
  const before = i > 0 && changes(i) && line[i - 1]!.bath !== bath;
  const after = i + 1 < line.length && changes(i + 1) && line[i + 1]!.bath !== bath;
  return Number(before) + Number(after);
}
