import type { HeatMap } from '../../capacity/answers/sweeps.ts';
import { chanceText } from '../../reports/capacityWords.ts';
import { numberText } from '../../words/numbers.ts';

/** Shade 0..5 of a chance: the darker, the likelier the shortage; the number stands in the cell. */
const shade = (chance: number): number =>
  [0.0005, 0.05, 0.2, 0.5, 0.9].filter((limit) => chance > limit).length;

/** Chance of shortage for machines x technicians a shift, with mean bags short below it. */
export function HeatMapTable({ heat, own, confidence }: { heat: HeatMap; own: number; confidence: number }) {
  return (
    <section className="capacity-part">
      <h3>Chance that a bag is missing: machines and technicians</h3>
      <p className="muted">
        Supplies without end, every shift with the same number of technicians, {numberText(heat.draws)} draws
        of the same patients. Second line: mean bags short. ✓ holds the wanted {chanceText(confidence)}.
      </p>
      <div className="capacity-scroll">
        <table className="capacity-heat">
          <thead>
            <tr>
              <th scope="col">Technicians a shift</th>
              {heat.machines.map((count) => (
                <th key={count} scope="col">
                  {count} {count === 1 ? 'machine' : 'machines'}
                  {count === own && <small> (listed)</small>}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {heat.technicians.map((count, row) => (
              <tr key={count}>
                <th scope="row">{count}</th>
                {heat.machines.map((machines, column) => {
                  const chance = heat.chance[row]![column]!;
                  const short = heat.bagsShort[row]![column]!;
                  return (
                    <td key={machines} data-shade={shade(chance)}>
                      {1 - chance >= confidence - 1e-12 && <span aria-hidden="true">✓ </span>}
                      {chanceText(chance)}
                      <small>{short > 0 && short < 0.05 ? 'under 0.1' : numberText(short)} bags</small>
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
