import type { Clock } from '../../calendar/clock.ts';
import type { Order, OrderAnswer } from '../../capacity/answers/orders.ts';
import {
  itemText,
  ORDER_HEADS,
  orderCells,
  orderNote,
  orderText,
  pricingText,
} from '../../reports/capacityWords.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** Heads from this one on stand over numbers. */
const NUMBERS_FROM = 3;
const alignOf = (column: number) => (column >= NUMBERS_FROM ? 'number' : undefined);

export function OrderTable({ order, clock }: { readonly order: Order; readonly clock: Clock }) {
  return (
    <>
      <h4>{orderText(order)}</h4>
      {order.items.length === 0 ? (
        <p>Nothing has to be bought.</p>
      ) : (
        <table className="plain">
          <thead>
            <tr>
              {ORDER_HEADS.map((head, column) => (
                <th key={head} scope="col" className={alignOf(column)}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {order.items.map((item) => {
              const [name, ...rest] = orderCells(item, clock);
              return (
                <tr key={`${item.offer} ${itemText(item)}`}>
                  <th scope="row">{name}</th>
                  {rest.map((text, n) => (
                    <td key={ORDER_HEADS[n + 1]} className={alignOf(n + 1)}>
                      {text}
                    </td>
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </>
  );
}

interface OrderPartProps {
  readonly answer: OrderAnswer;
  readonly scenario: Scenario;
  /** All runs of the answer. */
  readonly runs: number;
  readonly clock: Clock;
  /** Goes to where offers are typed. */
  readonly onEdit?: (() => void) | undefined;
}

/** What to get so that the service level is reached. */
export function OrderPart({ answer, scenario, runs, clock, onEdit }: OrderPartProps) {
  return (
    <section className="capacity-part">
      <h3>What to get to reach the service level</h3>
      {answer.orders.map((order) => (
        <OrderTable key={order.way} order={order} clock={clock} />
      ))}
      {answer.remarks.map((remark) => (
        <p key={remark}>{remark}</p>
      ))}
      <p className="muted">
        {pricingText(scenario)} {answer.orders.length > 0 && orderNote(runs)}
      </p>
      {onEdit && (
        <p className="capacity-actions">
          <button type="button" onClick={onEdit}>
            Edit what could be had
          </button>
        </p>
      )}
    </section>
  );
}
