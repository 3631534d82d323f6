import { agreementOf, agreementRows, type Compared } from '../../capacity/answers/agreement.ts';
import { type MachineRow, moreIsNoUse } from '../../capacity/answers/answers.ts';
import type { Requirements } from '../../capacity/answers/requirements.ts';
import type { Study } from '../../capacity/answers/study.ts';
import {
  chanceText,
  chanceWithError,
  copyText,
  enoughText,
  givenText,
  lackText,
} from '../../reports/capacityWords.ts';
import { numberText } from '../../words/numbers.ts';

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
      {from > 0 && (
        <caption>With fewer than {rows[from]!.machines} machines a bag is missing in every draw.</caption>
      )}
      <thead>
        <tr>
          <th scope="col">Machines</th>
          <th scope="col" className="number">
            a bag is missing in, of draws
          </th>
          <th scope="col" className="number">
            mean short, bags
          </th>
          <th scope="col" className="number">
            95 of 100 draws under, bags
          </th>
          <th scope="col">first missing bag lacks</th>
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
            <td className="number">{chanceWithError(row)}</td>
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
        The first of the list, then {made.copied ? `each ${copyText(made.copied)}` : 'copies of the last one'}
        ; water is not copied.
        {moreIsNoUse(made.rows, made.own) && ' More such machines change nothing.'} The first missing bag of a
        draw tells what gives out first; later ones may lack something else.
      </p>
      {made.supplied && (
        <>
          <h4>Supplies without end ({numberText(made.supplied.draws)} draws)</h4>
          <Rows rows={made.supplied.rows} own={made.own} smallest={made.supplied.smallest} />
          <details>
            <summary>Supplies as listed</summary>
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
  const sure = chanceText(made.confidence);
  const day = (value: number | null) =>
    value === null ? 'lasts' : `day ${numberText(Math.floor(value) + 1, 0)}`;
  return (
    <section className="capacity-part">
      <h3>Just enough for {sure} confidence</h3>
      {needs && (
        <ul>
          <li>
            {needs.enough
              ? `${needs.machines} machines`
              : `No number of machines is enough; the rest is for ${needs.machines}`}
          </li>
          <li>
            {needs.technicians === null
              ? 'No number of technicians up to 12 a shift is enough beside them'
              : `${needs.technicians} ${needs.technicians === 1 ? 'technician' : 'technicians'} in every shift`}
          </li>
          <li>
            {needs.water === null
              ? 'No water capacity up to 3 times the listed one is enough beside them'
              : `Water: ${needs.water.map(({ id, capacity }) => `${id} ${numberText(capacity, 0)} mL/min`).join(', ')}`}
          </li>
        </ul>
      )}
      {made.supplies.length > 0 && (
        <table className="plain">
          <caption>
            Supplies, were machines to make every bag and circuits to be used to the end of their life
          </caption>
          <thead>
            <tr>
              <th scope="col">Supply</th>
              <th scope="col" className="number">
                on hand at the start
              </th>
              <th scope="col" className="number">
                wanted at the start
              </th>
              <th scope="col" className="number">
                runs out in, of draws
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
                <td className="number">{chanceText(row.runsOut)}</td>
                <td>{day(row.p5)}</td>
                <td>{day(row.p50)}</td>
                <td>{day(row.p95)}</td>
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
  const { limits, peak } = made;
  return (
    <section className="capacity-part">
      <h3>What gives first</h3>
      <p className="muted">
        On top what the first missing bag lacks in most draws with the machines listed; supplies by how often
        they run out. Beside it the patients for whom each limit alone is enough in the long run, at{' '}
        {numberText(made.bagsPerPatientDay)} bags a patient and day; of a supply: all days alike. Peak of the
        forecast: {numberText(peak.p95, 0)} patients (95 of 100 draws under).
      </p>
      <ol>
        {limits.map((limit) => (
          <li key={limit.what} className={limit.beyond ? 'capacity-over' : undefined}>
            <strong>{limit.what}</strong> {givenText(limit)}; {enoughText(limit)}
            {limit.beyond ? ' ▲ the forecast goes beyond' : ''}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** How often the fast model and full plans agree. */
export function AgreementTable({ compared }: { compared: readonly Compared[] }) {
  const { agree, draws, meanBagsDifference } = agreementOf(compared);
  return (
    <section className="capacity-part">
      <h3>Fast model against full plans</h3>
      <p className="muted">
        The answers above come from a fast model. {agree} of {draws} draws that were also planned to the
        minute agree on short or not; mean difference {numberText(meanBagsDifference)} bags (fast less
        planned).
      </p>
      <div className="capacity-scroll">
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Machines</th>
              {[
                'both short, draws',
                'neither short, draws',
                'only fast model short, draws',
                'only plan short, draws',
                'fast less planned, mean bags',
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
