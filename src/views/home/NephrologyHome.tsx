import { useMemo } from 'react';
import { bedNeeds, nextRounds, roundNeeds } from '../../reports/coverage.ts';
import { bagsLeaving } from '../../reports/day/pickList.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { bagsMissing, countText, numberText } from '../../words/numbers.ts';
import { doseName } from '../../words/solutes.ts';
import { roundHead, timeText, whenText } from '../../words/times.ts';
import { BathChip, Card, type Look, Scrolls, Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { ask } from '../state/store.ts';

interface HomeProps {
  readonly planned: Planned;
  /** Minute from the start. */
  readonly now: number;
  readonly tints: Tints;
}

const ROUNDS = 4;

/** What the next bag rounds take to the bedside, by bath, and what of that nothing serves. */
function NextRounds({ planned, now, looks }: HomeProps & { looks: readonly Look[] }) {
  const { problem } = planned;
  const rounds = useMemo(
    () =>
      nextRounds(roundNeeds(planned), now, ROUNDS).map((need) => ({
        ...need,
        leaving: bagsLeaving(planned, need.round.index),
      })),
    [planned, now],
  );
  if (rounds.length === 0) return <p>No bag round still to come needs a bag.</p>;
  const cell = ({ byBath, leaving }: (typeof rounds)[number], bath: number) => {
    const { bags, unmetLitres } = byBath[bath]!;
    const { bags: leave, missing } = leaving[bath]!;
    const unmet = bagsMissing(unmetLitres, problem.rules.fillLitres);
    return (
      <>
        {numberText(bags)}
        {unmet > 0 && (
          <>
            {' '}
            <Signal tone="bad" title={`${numberText(unmetLitres)} L unmet`}>
              {unmet} unmet
            </Signal>
          </>
        )}
        {leave + missing !== bags && (
          <>
            <br />
            <small className="muted">{numberText(leave)} leave</small>
          </>
        )}
      </>
    );
  };
  const smaller = rounds.some(({ byBath, leaving }) =>
    leaving.some(({ bags, missing }, bath) => bags + missing !== byBath[bath]!.bags),
  );
  return (
    <>
      <table className="rows">
        <thead>
          <tr>
            <th scope="col">Bath</th>
            {rounds.map(({ round }) => (
              <th scope="col" className="number" key={round.index}>
                {roundHead(problem.clock, { round: round.index, at: round.at })}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {looks.map((look, bath) => (
            <tr key={look.bath}>
              <th scope="row">
                <BathChip look={look} />
              </th>
              {rounds.map((need) => (
                <td className="number" key={need.round.index}>
                  {cell(need, bath)}
                </td>
              ))}
            </tr>
          ))}
          <tr>
            <th scope="row">All, bags</th>
            {rounds.map(({ round, bags }) => (
              <td className="number" key={round.index}>
                <b>{numberText(bags)}</b>
              </td>
            ))}
          </tr>
        </tbody>
      </table>
      {smaller && (
        <p className="muted">
          {`Needed bags hold ${numberText(problem.rules.fillLitres)} L. Where the bags in stock hold another volume, another number leaves.`}
        </p>
      )}
    </>
  );
}

/** Every bed: what runs, what it takes today, when the next bag hangs. */
function Beds({
  planned,
  now,
  looks,
  onBed,
}: HomeProps & { looks: readonly Look[]; onBed: (row: number) => void }) {
  const { problem, scenario } = planned;
  const beds = useMemo(() => bedNeeds(planned, now), [planned, now]);
  return (
    <table className="rows">
      <thead>
        <tr>
          <th scope="col">Bed</th>
          <th scope="col">Bath</th>
          <th scope="col" className="number">
            {doseName(problem.rules.doseMeans)}, mL/kg/h
          </th>
          <th scope="col" className="number">
            Flow while it runs, mL/h
          </th>
          <th scope="col" className="number roomy">
            Averaged over the day, mL/h
          </th>
          <th scope="col" className="number">
            Bags left today
          </th>
          <th scope="col" className="number">
            Next bag
          </th>
        </tr>
      </thead>
      <tbody>
        {beds.map(({ id, bath, flow, rate, next, bagsToday }, row) => (
          <tr key={id} className={bath === null ? 'muted' : undefined}>
            <th scope="row">
              <button type="button" className="link" onClick={() => onBed(row)}>
                {id}
              </button>
            </th>
            <td>{bath === null ? 'none' : <BathChip look={looks[bath]!} />}</td>
            <td className="number">{numberText(Number(scenario.patients[row]?.dose))}</td>
            <td className="number">{flow > 0 ? numberText(flow, 0) : 'off'}</td>
            <td className="number roomy">
              {flow > 0 ? (
                <button
                  type="button"
                  className="plainly"
                  title="From what?"
                  onClick={() => ask({ of: 'rate', patient: row, minute: now })}
                >
                  {numberText(rate, 0)}
                </button>
              ) : (
                ''
              )}
            </td>
            <td className="number">{numberText(bagsToday)}</td>
            <td className="number">
              {next === null
                ? 'none'
                : next < now + 1440
                  ? timeText(problem.clock, next)
                  : whenText(problem.clock, next)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The nephrology lead's home: beds, what the next bag rounds need, who would go short, ways out. */
export function NephrologyHome({
  onBed,
  short,
  wayOut,
  ...props
}: HomeProps & { onBed: (row: number) => void; short: React.ReactNode; wayOut: React.ReactNode }) {
  const { planned, tints } = props;
  const looks = useMemo(() => bathLooks(planned.problem.baths, tints), [planned, tints]);
  return (
    <div className="home nephrology">
      <Card title="Beds" about={countText(planned.problem.patients.length, 'bed')} className="tall">
        <Scrolls label="Beds, rows">
          <Beds {...props} looks={looks} onBed={onBed} />
        </Scrolls>
      </Card>
      <div className="stack">
        <Card title="Next bag rounds" about="bags needed, by bath">
          <NextRounds {...props} looks={looks} />
        </Card>
        {short}
        {wayOut}
      </div>
    </div>
  );
}
