import { LinearModel, loadSolver } from '../../planner/planner.ts';

/** What a site can give, or asks for: so many of one thing. */
export interface Amount {
  readonly site: number;
  /** Only the same thing answers a need: 'bags 2K', 'supply circuit', 'machine'. */
  readonly thing: string;
  readonly quantity: number;
  /** Spare: day from which it may leave. Lack: last day on which it helps. */
  readonly day: number;
  /** Spare: hours from the start until it expires; absent: never. */
  readonly expires?: number;
}
/** A way between two sites. */
export interface Route {
  readonly from: number;
  readonly to: number;
  readonly hours: number;
  /** Bags that one day's trip carries; absent: any number. */
  readonly bagsPerDay?: number;
}
export interface Move {
  readonly spare: number;
  readonly lack: number;
  readonly route: number;
  /** Day on which it leaves, from the start. */
  readonly day: number;
  readonly quantity: number;
}

/** Of a lent bag, h that must be left when it arrives: one day of hanging. */
const HOURS_LEFT = 24;
/** A unit served outweighs any hours on the road. */
const SERVED = 10_000;

/**
 * Which site sends what to which, on which day: most need served, then fewest unit-hours on the road, then early. A flow
 * of whole units; a lent thing arrives by the last day on which it helps and with a day of shelf life left.
 * @throws Error when the solver cannot answer
 */
export async function bestMoves(
  spares: readonly Amount[],
  lacks: readonly Amount[],
  routes: readonly Route[],
): Promise<Move[]> {
  const model = new LinearModel();
  const columns: Omit<Move, 'quantity'>[] = [];
  for (const [spare, given] of spares.entries())
    for (const [lack, asked] of lacks.entries()) {
      if (given.thing !== asked.thing || given.site === asked.site) continue;
      for (const [route, { from, to, hours }] of routes.entries()) {
        if (from !== given.site || to !== asked.site) continue;
        for (let day = given.day; day * 24 + hours <= asked.day * 24; day++) {
          const left = (given.expires ?? Number.POSITIVE_INFINITY) - (day * 24 + hours);
          if (left < HOURS_LEFT) break;
          columns.push({ spare, lack, route, day });
          const most = Math.floor(Math.min(given.quantity, asked.quantity));
          model.column(-SERVED + hours + day / 100, 0, most, true);
        }
      }
    }
  const limit = (most: number, belongs: (column: Omit<Move, 'quantity'>) => boolean) =>
    model.row(
      0,
      most,
      columns.flatMap((column, n) => (belongs(column) ? [[n, 1] as const] : [])),
    );
  for (const [n, { quantity }] of spares.entries()) limit(Math.floor(quantity), ({ spare }) => spare === n);
  for (const [n, { quantity }] of lacks.entries()) limit(Math.ceil(quantity), ({ lack }) => lack === n);
  const days = Math.max(0, ...columns.map(({ day }) => day + 1));
  routes.forEach(({ bagsPerDay }, n) => {
    if (bagsPerDay === undefined) return;
    for (let of = 0; of < days; of++)
      limit(
        bagsPerDay,
        ({ route, day, spare }) => route === n && day === of && spares[spare]!.thing.startsWith('bags '),
      );
  });
  const { status, values, message } = (await loadSolver()).solve(model, { gap: 0 });
  if (status !== 'optimal' || !values) throw new Error(`The transfers could not be worked out. ${message}`);
  return columns.flatMap((column, n) => {
    const quantity = Math.round(values[n]!);
    return quantity > 0 ? [{ ...column, quantity }] : [];
  });
}
