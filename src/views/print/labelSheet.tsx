import type { SwapLabel } from '../../reports/day/swapLabels.ts';
import type { BagLabel } from '../../reports/labels.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { CAUTION } from '../../words/cautions.ts';
import { numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import type { Barcode } from './barcode.ts';
import type { Piece } from './flow.ts';

/** A label's height and the room below it, mm (paper.css). */
const HIGH = 46.5;

interface LabelProps {
  readonly problem: Problem;
  readonly label: BagLabel | SwapLabel | undefined;
  readonly codes: ReadonlyMap<string, Barcode>;
}

function Label({ problem, label, codes }: LabelProps) {
  if (!label) return <div className="bag-label none" />;
  const { size, path } = codes.get(label.code)!;
  const length = label.bath.length;
  const when = (minute: number) => whenText(problem.clock, minute, true);
  return (
    <div className="bag-label">
      <div className="label-head">
        <div className={`label-bath ${length > 26 ? 'longest' : length > 9 ? 'long' : ''}`}>{label.bath}</div>
        {label.warnings.length > 0 && (
          <div className={`label-warnings ${label.warnings.length > 2 ? 'many' : ''}`}>
            {label.warnings.map((text) => (
              <span key={text}>{text}</span>
            ))}
          </div>
        )}
      </div>
      <div className="label-code">
        <svg viewBox={`0 0 ${size} ${size}`} aria-label={label.code} role="img">
          <path d={path} fill="#000000" />
        </svg>
        bag {label.number} of {label.of}
      </div>
      <div className="label-facts">
        Made <b>{when(label.made)}</b>
        <br />
        Expires <b>{when(label.expires)}</b>
        <div className="label-machine">
          {numberText(label.litres, 3)} L,{' '}
          {'lot' in label ? (
            `lot ${label.lot}`
          ) : (
            <>
              <span className="faint">(times as planned)</span>, {label.machine}
            </>
          )}
        </div>
        {label.contents && <div className="label-contents">{label.contents}</div>}
      </div>
      <div className="label-hand">
        <span>made at (actual)</span>
        <span>made by, initials</span>
        <span>released by, initials</span>
      </div>
      <div className="label-not">{CAUTION.short}</div>
    </div>
  );
}

/**
 * Labels two by two, in the order in which the fills end.
 * @param codes a barcode for each label's code
 */
export function labelPieces(
  problem: Problem,
  labels: readonly (BagLabel | SwapLabel)[],
  codes: ReadonlyMap<string, Barcode>,
): Piece[] {
  return Array.from({ length: Math.ceil(labels.length / 2) }, (_, pair) => ({
    kind: 'block' as const,
    key: `labels ${pair}`,
    high: HIGH,
    node: (
      <div className="label-pair">
        <Label problem={problem} label={labels[2 * pair]} codes={codes} />
        <Label problem={problem} label={labels[2 * pair + 1]} codes={codes} />
      </div>
    ),
  }));
}
