import type { Clock } from '../../calendar/clock.ts';
import type { Order, OrderAnswer } from '../../capacity/answers/orders.ts';
import { chanceText, itemText, withError } from '../../reports/capacityWords.ts';
import { numberText, sentenceCase } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';

function OrderTable({ order, clock }: { order: Order; clock: Clock }) {
  const { way, cost, shortageChance, error, items } = order;
  return (
    <>
      <h4>
        {sentenceCase(way)}: cost {numberText(cost)}; then {withError(shortageChance, error)} of runs are
        short
      </h4>
      {items.length === 0 ? (
        <p>Nothing has to be bought.</p>
      ) : (
        <table className="plain">
          <thead>
            <tr>
              <th scope="col">Get</th>
              <th scope="col">There by</th>
              <th scope="col" className="number">
                Cost
              </th>
              <th scope="col" className="number">
                Runs short with this line alone
              </th>
              <th scope="col" className="number">
                with all but this line
              </th>
            </tr>
          </thead>
          <tbody>
            {items.map((item) => (
              <tr key={itemText(item)}>
                <th scope="row">{itemText(item)}</th>
                <td>{whenText(clock, clock.minuteOf(item.by))}</td>
                <td className="number">{numberText(item.cost)}</td>
                <td className="number">{chanceText(item.chanceAlone)}</td>
                <td className="number">{chanceText(item.chanceWithout)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

/** What to get so that the service level is reached. */
export function OrderPart({ answer, clock }: { answer: OrderAnswer; clock: Clock }) {
  return (
    <section className="capacity-part">
      <h3>What to get to reach the service level</h3>
      <p className="muted">
        Each list is simulated on the same runs. No line can be lowered by one pack. No price is typed: each
        machine, technician, 100 mL/min of water, bag and unit of a supply counts 1.
      </p>
      {answer.orders.map((order) => (
        <OrderTable key={order.way} order={order} clock={clock} />
      ))}
      {answer.remarks.map((remark) => (
        <p key={remark}>{remark}</p>
      ))}
    </section>
  );
}
