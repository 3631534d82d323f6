import { agreementOf, agreementRows, type Compared } from '../../capacity/answers/agreement.ts';
import { type MachineRow, moreIsNoUse } from '../../capacity/answers/answers.ts';
import type { Requirements } from '../../capacity/answers/requirements.ts';
import type { Study } from '../../capacity/answers/study.ts';
import {
  agreementLines,
  askedText,
  copyText,
  enoughText,
  givenText,
  lackText,
  levelText,
  requirementLines,
  withError,
} from '../../reports/capacityWords.ts';
import { compile } from '../../scenario/problem/compile.ts';
import { numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';

function Rows({
  rows,
  own,
  smallest,
}: {
  rows: readonly MachineRow[];
  own: number;
  smallest: number | null;
}) {
  // Long rows of certain shortage tell nothing: the last of them stands for all.
  const from = Math.max(0, rows.findIndex(({ shortageChance }) => shortageChance < 1) - 1);
  return (
    <table className="plain">
      {from > 0 && <caption>With fewer than {rows[from]!.machines} machines, every run is short.</caption>}
      <thead>
        <tr>
          <th scope="col">Machines</th>
          <th scope="col" className="number">
            runs short (± error)
          </th>
          <th scope="col" className="number">
            mean short, bags
          </th>
          <th scope="col" className="number">
            in 95 % of runs under, bags
          </th>
          <th scope="col">lacks first</th>
        </tr>
      </thead>
      <tbody>
        {rows.slice(from).map((row) => (
          <tr key={row.machines} className={row.machines === smallest ? 'capacity-enough' : undefined}>
            <th scope="row">
              {row.machines}
              {row.machines === own && <small> listed</small>}
              {row.machines === smallest && <small> ✓ enough</small>}
            </th>
            <td className="number">{withError(row.shortageChance, row.chanceError)}</td>
            <td className="number">{numberText(row.bagsShort)}</td>
            <td className="number">{numberText(row.p95BagsShort)}</td>
            <td>{row.shortageChance > 0 ? lackText(row) : '-'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Shortage by number of machines, with supplies as listed and without end. */
export function MachineTables({ made }: { made: Study }) {
  return (
    <section className="capacity-part">
      <h3>By number of machines</h3>
      <p className="muted">
        {numberText(made.draws)} simulated runs.{' '}
        {made.copied && `Beyond the ${made.own} listed, each is ${copyText(made.copied)}. `}
        Water is not copied.{moreIsNoUse(made.rows, made.own) && ' More such machines change nothing.'}
      </p>
      {made.supplied && (
        <>
          <h4>With unlimited supplies (the first {numberText(made.supplied.draws)} of the same runs)</h4>
          <Rows rows={made.supplied.rows} own={made.own} smallest={made.supplied.smallest} />
          <details>
            <summary>With supplies as listed</summary>
            <Rows rows={made.rows} own={made.own} smallest={made.smallest} />
          </details>
        </>
      )}
      {!made.supplied && <Rows rows={made.rows} own={made.own} smallest={made.smallest} />}
    </section>
  );
}

/** Just enough of everything, and when each supply runs out. */
export function NeedsTable({ made, needs }: { made: Study; needs: Requirements | null }) {
  const { clock } = compile(made.scenario);
  const when = (minute: number | null) => (minute === null ? 'lasts' : whenText(clock, minute));
  return (
    <section className="capacity-part">
      <h3>Just enough for the service level: {levelText(made.confidence)}</h3>
      {needs && (
        <ul>
          {requirementLines(needs).map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {made.supplies.length > 0 && (
        <table className="plain">
          <caption>
            Supplies, if machines make every bag and each circuit is used to the end of its life
          </caption>
          <thead>
            <tr>
              <th scope="col">Supply</th>
              <th scope="col" className="number">
                on hand
              </th>
              <th scope="col" className="number">
                needed at the start
              </th>
              <th scope="col" className="number">
                runs out in, of runs (± error)
              </th>
              <th scope="col">5 of 100 by</th>
              <th scope="col">50 of 100 by</th>
              <th scope="col">95 of 100 by</th>
            </tr>
          </thead>
          <tbody>
            {made.supplies.map((row) => (
              <tr key={row.item}>
                <th scope="row">{row.item}</th>
                <td className="number">{numberText(row.onHand)}</td>
                <td className="number">
                  {numberText(Math.ceil(row.wanted), 0)}
                  {row.wanted > row.onHand ? ' ▲' : ''}
                </td>
                <td className="number">{withError(row.runsOut, row.runsOutError)}</td>
                <td>{when(row.p5)}</td>
                <td>{when(row.p50)}</td>
                <td>{when(row.p95)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

/** What gives first, and how many patients each limit alone lasts for. */
export function LimitList({ made }: { made: Study }) {
  const { limits } = made;
  return (
    <section className="capacity-part">
      <h3>Bottlenecks</h3>
      <p className="muted">
        First what runs short in most runs with the machines listed. Each limit alone, at{' '}
        {numberText(made.bagsPerPatientDay)} bags per patient and day. Peak: 95 of 100 runs are under it.
      </p>
      <ol>
        {limits.map((limit) => (
          <li key={limit.what} className={limit.beyond ? 'capacity-over' : undefined}>
            <strong>{limit.what}</strong> {givenText(limit)}; {enoughText(limit)}; {askedText(limit, made)}
            {limit.beyond ? ' ▲ too small for the forecast' : ''}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** How often the fast model and full plans agree. */
export function AgreementTable({ compared }: { compared: readonly Compared[] }) {
  const [first, second, ...warning] = agreementLines(agreementOf(compared), agreementRows(compared));
  return (
    <section className="capacity-part">
      <h3>Fast model against full plans</h3>
      <p className="muted">{`${first} ${second}`}</p>
      {warning.length > 0 && <p className="bad">{warning.join(' ')}</p>}
      <div className="capacity-scroll">
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Machines</th>
              {[
                'both short, runs',
                'neither short, runs',
                'only model short, runs',
                'only plan short, runs',
                'model less plan, mean bags',
              ].map((head) => (
                <th key={head} scope="col" className="number">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {agreementRows(compared).map((row) => (
              <tr key={row.machines}>
                <th scope="row">{row.machines}</th>
                <td className="number">{row.bothShort}</td>
                <td className="number">{row.bothCover}</td>
                <td className="number">{row.fastOnly}</td>
                <td className="number">{row.plannedOnly}</td>
                <td className="number">{numberText(row.meanBagsDifference)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
