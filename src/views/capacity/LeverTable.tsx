import type { LeverSaving } from '../../capacity/answers/levers.ts';
import { withError } from '../../reports/capacityWords.ts';
import { numberText } from '../../words/numbers.ts';

const WIDTH = 260;
const ROOM = WIDTH / 2 - 10;

/** A bar from the middle: to the left what is saved, to the right what it costs; an arrow where it goes on. */
function Bar({ value, most, said }: { value: number; most: number; said: string }) {
  const beyond = Math.abs(value) > most * 1.0001;
  const length = most > 0 ? Math.min(1, Math.abs(value) / most) * ROOM : 0;
  return (
    <svg viewBox={`0 0 ${WIDTH} 18`} role="img" aria-label={said} className="tornado">
      <line x1={WIDTH / 2} x2={WIDTH / 2} y1={0} y2={18} className="tornado-axis" />
      {length > 0 && (
        <rect
          x={value > 0 ? WIDTH / 2 - length : WIDTH / 2}
          y={3}
          width={Math.max(1.5, length)}
          height={12}
          className={value > 0 ? 'tornado-saves' : 'tornado-costs'}
        />
      )}
      {beyond && value < 0 && (
        <path d={`M ${WIDTH / 2 + ROOM + 2} 3 l 7 6 l -7 6 z`} className="tornado-costs" />
      )}
    </svg>
  );
}

/** What is saved with a minus, what is added with a plus, nothing where it rounds to nothing. */
function signed(saved: number, places = 1): string {
  const text = numberText(Math.abs(saved), places);
  return text === '0' ? '0' : `${saved > 0 ? '-' : '+'}${text}`;
}

/** e.g. '4 fewer', '1 more', 'the same'. */
function fewerText(fewer: number | null): string {
  if (fewer === null) return 'no answer';
  if (fewer === 0) return 'the same';
  return `${numberText(Math.abs(fewer), 0)} ${fewer > 0 ? 'fewer' : 'more'}`;
}

/** The most telling first. */
const byEffect = (savings: readonly LeverSaving[]): LeverSaving[] =>
  [...savings].sort(
    (a, b) =>
      Math.abs(b.bagsShort) - Math.abs(a.bagsShort) || Math.abs(b.bagsPerDay) - Math.abs(a.bagsPerDay),
  );

interface LeverTableProps {
  readonly savings: readonly LeverSaving[];
  readonly chosen: readonly string[];
  readonly canTick: (id: string) => boolean;
  readonly onTick: (id: string, on: boolean) => void;
}

function LeverRow({
  row,
  most,
  chosen,
  canTick,
  onTick,
}: LeverTableProps & { row: LeverSaving; most: number }) {
  return (
    <tr>
      <th scope="row">
        {canTick(row.id) ? (
          <label className="capacity-tick">
            <input
              type="checkbox"
              checked={chosen.includes(row.id)}
              onChange={({ target }) => onTick(row.id, target.checked)}
            />
            <span>{row.label}</span>
          </label>
        ) : row.id.includes('+') ? (
          `Combined: ${row.label}`
        ) : (
          row.label
        )}
      </th>
      <td>
        <Bar value={row.bagsShort} most={most} said={`Mean short, bags: ${signed(row.bagsShort)}`} />
      </td>
      <td className="number">{signed(row.bagsShort)}</td>
      <td className="number">{signed(row.bagsPerDay)}</td>
      <td className="number">{fewerText(row.machines)}</td>
      <td className="number">{withError(row.chanceAfter, row.chanceError)}</td>
    </tr>
  );
}

/** Changes with what they save. */
export function LeverTable(props: LeverTableProps) {
  const rows = byEffect(props.savings);
  // What a change saves sets the scale: one that does great harm must not make all others look alike.
  const saved = Math.max(0, ...rows.map(({ bagsShort }) => bagsShort));
  const most = saved > 0 ? saved : Math.max(0, ...rows.map(({ bagsShort }) => -bagsShort));
  return (
    <div className="capacity-scroll">
      <table className="plain">
        <thead>
          <tr>
            <th scope="col">Change</th>
            <th scope="col" className="capacity-sides">
              ◄ fewer bags short | more ►
            </th>
            <th scope="col" className="number">
              Mean short, bags
            </th>
            <th scope="col" className="number">
              Hung per day, bags
            </th>
            <th scope="col" className="number">
              Machines needed
            </th>
            <th scope="col" className="number">
              Runs short with it (± error)
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <LeverRow key={row.id} row={row} most={most} {...props} />
          ))}
        </tbody>
      </table>
    </div>
  );
}
