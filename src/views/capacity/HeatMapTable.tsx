import type { HeatMap } from '../../capacity/answers/sweeps.ts';
import { withError } from '../../reports/capacityWords.ts';
import { countText, numberText } from '../../words/numbers.ts';

/** Shade 0..5 of a chance: the darker, the likelier the shortage; the number stands in the cell. */
const shade = (chance: number): number =>
  [0.0005, 0.05, 0.2, 0.5, 0.9].filter((limit) => chance > limit).length;

interface HeatProps {
  readonly heat: HeatMap;
  readonly own: number;
  readonly confidence: number;
  /** Runs of the answer above. */
  readonly draws: number;
  readonly unlimited: boolean;
}

/** Share of runs that are short, for machines and technicians, with mean bags short below it. */
export function HeatMapTable({ heat, own, confidence, draws, unlimited }: HeatProps) {
  return (
    <section className="capacity-part">
      <h3>Runs that are short: machines and technicians</h3>
      <p className="muted">
        {unlimited && 'With unlimited supplies. '}Each row: the same {numberText(heat.draws)} runs
        {heat.draws < draws &&
          `, the first of the ${numberText(draws)} above. The answer above rests on all of them, so it may differ a little`}
        . Second line: mean bags short. ✓ reaches the service level.
      </p>
      <div className="capacity-scroll">
        <table className="capacity-heat">
          <thead>
            <tr>
              <th scope="col">Technicians in every shift</th>
              {heat.machines.map((count) => (
                <th key={count} scope="col">
                  {countText(count, 'machine')}
                  {count === own && <small> (listed)</small>}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {heat.more.map((count, row) => (
              <tr key={count}>
                <th scope="row">{count === 0 ? 'as listed' : `${count} more`}</th>
                {heat.rows[row]!.map(({ machines, shortageChance, chanceError, bagsShort }) => (
                  <td key={machines} data-shade={shade(shortageChance)}>
                    {1 - shortageChance >= confidence - 1e-12 && <span aria-hidden="true">✓ </span>}
                    {withError(shortageChance, chanceError)}
                    <small>
                      {bagsShort > 0 && bagsShort < 0.05 ? 'under 0.1' : numberText(bagsShort)} bags
                    </small>
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
