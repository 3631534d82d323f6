import { useState } from 'react';
import { type Lever, type LeverSaving, leversOf, together } from '../../capacity/answers/levers.ts';
import type { Study } from '../../capacity/answers/study.ts';
import { chanceText } from '../../reports/capacityWords.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { numberText } from '../../words/numbers.ts';

interface LeverPartProps {
  readonly made: Study;
  readonly savings: readonly LeverSaving[];
  readonly busy: boolean;
  readonly combine: (levers: readonly Lever[]) => void;
  /** Keeps a scenario as a variant beside this one. */
  readonly onKeep?: ((name: string, scenario: Scenario) => void) | undefined;
}

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

/** What each lever saves, the most telling on top; levers can be pulled together and kept as a variant. */
export function LeverPart({ made, savings, busy, combine, onKeep }: LeverPartProps) {
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [kept, setKept] = useState<string | null>(null);
  const levers = leversOf(made.scenario);
  const picked = levers.filter(({ id }) => chosen.includes(id));
  const rows = [...savings].sort(
    (a, b) =>
      Math.abs(b.bagsShort) - Math.abs(a.bagsShort) || Math.abs(b.bagsPerDay) - Math.abs(a.bagsPerDay),
  );
  // What a lever saves sets the scale: one that does great harm must not make all others look alike.
  const saved = Math.max(0, ...rows.map(({ bagsShort }) => bagsShort));
  const most = saved > 0 ? saved : Math.max(0, ...rows.map(({ bagsShort }) => -bagsShort));
  return (
    <section className="capacity-part">
      <h3>Levers: what each would save</h3>
      <p className="muted">
        {made.supplied && 'Supplies without end. '}The bar shows mean bags short over the forecast with the
        machines listed: to the left fewer, to the right more (an arrow: beyond the picture). Nothing here
        prescribes: doses, hours and baths are the prescriber’s decision.
      </p>
      <div className="capacity-scroll">
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Lever</th>
              <th scope="col" className="capacity-sides">
                ◄ fewer bags short | more ►
              </th>
              <th scope="col" className="number">
                mean short, bags
              </th>
              <th scope="col" className="number">
                hung a day, bags
              </th>
              <th scope="col" className="number">
                just enough, machines
              </th>
              <th scope="col" className="number">
                chance of shortage
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => {
              const lever = levers.find(({ id }) => id === row.id);
              return (
                <tr key={row.id}>
                  <th scope="row">
                    {lever ? (
                      <label className="capacity-tick">
                        <input
                          type="checkbox"
                          checked={chosen.includes(row.id)}
                          onChange={({ target }) =>
                            setChosen((before) =>
                              target.checked ? [...before, row.id] : before.filter((id) => id !== row.id),
                            )
                          }
                        />
                        <span>{row.label}</span>
                      </label>
                    ) : (
                      <>Together: {row.label}</>
                    )}
                  </th>
                  <td>
                    <Bar value={row.bagsShort} most={most} said={`${signed(row.bagsShort)} bags short`} />
                  </td>
                  <td className="number">{signed(row.bagsShort)}</td>
                  <td className="number">{signed(row.bagsPerDay)}</td>
                  <td className="number">{row.machines === null ? 'no answer' : signed(row.machines, 0)}</td>
                  <td className="number">
                    {chanceText(row.chanceBefore)} → {chanceText(row.chanceAfter)}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p className="capacity-actions">
        <button type="button" disabled={busy || picked.length < 2} onClick={() => combine(picked)}>
          Pull the ticked levers together
        </button>
        {onKeep && (
          <button
            type="button"
            disabled={picked.length === 0}
            onClick={() => {
              const all = together(picked);
              onKeep(all.label, all.apply(made.scenario));
              setKept(all.label);
            }}
          >
            Keep the ticked levers as a variant
          </button>
        )}
        {kept !== null && <span role="status">✓ Kept: {kept}. It waits in Compare variants.</span>}
      </p>
    </section>
  );
}
