import { useMemo } from 'react';
import type { Start } from '../../record/from.ts';
import { type MadeRow, madeByShift } from '../../reports/day/madeByShift.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { numberText } from '../../words/numbers.ts';
import { spanText, whenText } from '../../words/times.ts';
import type { Baseline } from '../state/planned.ts';

/** From when on the plan is known that people were given, in a sentence. */
export const givenText = ({ clock }: Pick<Problem, 'clock'>, given: Baseline | null): string =>
  given
    ? `Planned: the plan made ${given.madeAt}, as it was last marked as read${given.from > 0 ? `. No plan from before ${whenText(clock, given.from)} is at hand` : ''}.`
    : 'No plan is at hand: planned bags are not known.';

/** Cells of a row as they are read: planned, made, good, on hold, rejected, late, why. */
export const madeCells = ({ plannedBags, madeBags, good, held, rejected, late, reasons }: MadeRow) => [
  plannedBags === null ? 'not known' : numberText(plannedBags),
  numberText(madeBags),
  numberText(good),
  numberText(held),
  numberText(rejected),
  late === null ? '' : `${numberText(late)} min`,
  reasons.join('; ') || (plannedBags !== null && madeBags < plannedBags ? 'not noted' : ''),
];
export const MADE_HEADS = ['Planned bags', 'Made', 'Good', 'On hold', 'Rejected', 'Late', 'Why, as noted'];

export const madeRows = (whole: Problem, start: Start, given: Baseline | null): MadeRow[] =>
  madeByShift(whole, start.state, {
    given: given?.activities ?? [],
    knownFrom: given?.from ?? Number.POSITIVE_INFINITY,
  });

interface MadeProps {
  readonly start: Start;
  /** The scenario compiled, from its start. */
  readonly problem: Problem;
  readonly given: Baseline | null;
}

/** Made against planned, by shift and machine. */
export function MadePart({ start, problem, given }: MadeProps) {
  const rows = useMemo(() => madeRows(problem, start, given), [problem, start, given]);
  const { clock } = problem;
  return (
    <>
      <p className="muted">
        {givenText(problem, given)} Late: minutes by which bags came off later than planned, all fills of the
        shift together. A shift under way counts until {whenText(clock, start.state.now)}.
      </p>
      {rows.length === 0 ? (
        <p>Nothing was planned or made yet.</p>
      ) : (
        <div className="scrolls">
          <table className="rows">
            <thead>
              <tr>
                <th scope="col">Shift</th>
                <th scope="col">Machine</th>
                {MADE_HEADS.map((head, index) => (
                  <th scope="col" key={head} className={index < MADE_HEADS.length - 1 ? 'number' : 'grows'}>
                    {head}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <tr key={`${row.from} ${row.shift} ${row.machine}`}>
                  <td>
                    {row.shift}, {spanText(clock, Math.max(0, row.from), row.to)}
                  </td>
                  <th scope="row">{row.machine}</th>
                  {madeCells(row).map((text, index) => (
                    <td
                      key={MADE_HEADS[index]}
                      className={index < MADE_HEADS.length - 1 ? 'number' : 'grows'}
                    >
                      {text}
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
