import { type Activity, isHandsOn } from '../plan/plan.ts';
import { workCount, workTitle } from '../words/activities.ts';
import { spanText, whenText } from '../words/times.ts';
import { useOf } from './supplySeries.ts';
import { computed, type Known, sum, type Trace } from './trace.ts';
import { cellOf } from './tracePlan.ts';

const underWay =
  (minute: number) =>
  ({ start, end }: Activity) =>
    start <= minute && minute < end;

/** Water drawn from a source in a minute, or technicians at work, or on shift. */
export function traceMinute(
  known: Known,
  of: 'water' | 'load' | 'staff',
  minute: number,
  source: number,
): Trace {
  const { problem, activities, scenario } = known;
  const when = whenText(problem.clock, minute);
  const now = activities.filter(underWay(minute));
  if (of === 'load')
    return sum(
      `Technicians at work ${when}`,
      'technicians',
      'one technician for each piece of hands-on work',
      now
        .filter(isHandsOn)
        .map((activity) =>
          computed(
            workTitle(activity),
            1,
            'technician',
            'one technician throughout',
            spanText(problem.clock, activity.start, activity.end),
          ),
        ),
    );
  if (of === 'staff')
    return sum(
      `Technicians on shift ${when}`,
      'technicians',
      'overlapping shifts add up',
      problem.shifts
        .filter(({ from, to }) => from <= minute && minute < to)
        .map((band) => {
          const row = scenario.shifts.findIndex(({ id }) => id === band.shift);
          const label = `Shift ${band.shift}, ${spanText(problem.clock, band.from, band.to)}`;
          return cellOf('shifts', row, 'technicians', label, band.technicians, 'technicians');
        }),
    );
  const water = problem.water[source]!;
  const drawing = now.filter((a) => a.kind === 'circuit' || a.kind === 'bath' || a.kind === 'fill');
  const drawn = sum(
    `Water drawn from ${water.id} ${when}`,
    'mL/min',
    'flow of each machine in a new circuit, bath change or fill',
    problem.machines.flatMap((machine, index) =>
      machine.water === source && drawing.some((a) => a.kind !== 'test' && a.machine === machine.id)
        ? cellOf('machines', index, 'flow', `Flow of ${machine.id}`, machine.flow, 'mL/min')
        : [],
    ),
  );
  const capacity = cellOf('water', source, 'capacity', `Capacity of ${water.id}`, water.capacity, 'mL/min');
  return { ...drawn, parts: () => [...drawn.parts(), capacity] };
}

/** What is left of a supply after a minute's uses. */
export function traceSupply(known: Known, index: number, minute: number): Trace {
  const { problem, activities, scenario } = known;
  const supply = problem.supplies[index]!;
  const row = scenario.supplies![index]!;
  const unit = /\((.+)\)\s*$/.exec(supply.item)?.[1] ?? 'pieces';
  const uses = activities.filter(({ start }) => start <= minute);
  const parts: Trace[] = [
    cellOf('supplies', index, 'onHand', `On hand at the start: ${supply.item}`, row.onHand, unit),
  ];
  (row.deliveries ?? []).forEach((delivery, number) => {
    if (problem.clock.minuteOf(delivery.at) <= minute)
      parts.push(
        cellOf(
          'supplies',
          index,
          `deliveries.${number}.quantity`,
          `Delivered ${whenText(problem.clock, problem.clock.minuteOf(delivery.at))}`,
          delivery.quantity,
          unit,
        ),
      );
  });
  for (const kind of ['circuit', 'bath', 'fill'] as const) {
    const mine = uses.filter((activity) => activity.kind === kind);
    const taken = mine.reduce((total, activity) => total + useOf(problem, supply, activity), 0);
    if (taken === 0) continue;
    parts.push(
      computed(
        `Used by ${workCount(mine.length, kind)}`,
        -taken / supply.scale,
        unit,
        'per circuit or fill, and per liter of dialysate, taken when the work starts',
        '',
        () => {
          const per = kind === 'circuit' ? (['perCircuit', row.perCircuit] as const) : null;
          const fill = kind === 'fill' ? (['perFill', row.perFill] as const) : null;
          return [per, fill, ['perLitre', row.perLitre] as const].flatMap((cell) =>
            cell?.[1]
              ? cellOf(
                  'supplies',
                  index,
                  cell[0],
                  `Used ${cell[0].replace('per', 'per ').toLowerCase()}`,
                  cell[1],
                  unit,
                )
              : [],
          );
        },
      ),
    );
  }
  return sum(
    `${supply.item} left ${whenText(problem.clock, minute)}`,
    unit,
    'on hand + delivered - used so far',
    parts,
  );
}
