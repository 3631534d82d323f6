import type { Clock } from '../../calendar/clock.ts';
import { dayTicks, labelRoom } from './ticks.ts';

/** Lines between the days, with a name where there is room for it. */
export function DayGrid({
  clock,
  horizon,
  x,
  height,
}: {
  readonly clock: Clock;
  /** min */
  readonly horizon: number;
  readonly x: (minute: number) => number;
  readonly height: number;
}) {
  return dayTicks(clock, 0, horizon, x(1) - x(0)).map(({ at, label }) => (
    <g key={at}>
      {at >= 0 && <line className="hour" x1={x(at)} x2={x(at)} y1={4} y2={height} />}
      {x(Math.min(horizon, at + 1440)) - x(Math.max(0, at)) > labelRoom(label) && (
        <text className="axis-day" x={x(Math.max(0, at)) + 4} y={14}>
          {label}
        </text>
      )}
    </g>
  ));
}
