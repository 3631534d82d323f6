import { memo } from 'react';
import type { Bar } from '../../reports/timeline.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { changeSigns } from './changeSigns.ts';
import { LookDefs } from './Looks.tsx';
import { area, boxes, cut, ELSEWHERE, FOOT, GUTTER, HEAD, LOAD, visible, WATER } from './plotLayout.ts';
import { dutyText, Machines, type PlotProps } from './TimelineMachines.tsx';
import { dayTicks, hourTicks } from './ticks.ts';

function Axis({ data, clock, view, layout }: PlotProps) {
  const bottom = layout.height - FOOT;
  const shown = data.bands.filter(({ from, to }) => to > view.from && from < view.to);
  const names = [...new Set(data.bands.map(({ shift }) => shift))];
  const left = (minute: number) => Math.max(GUTTER, layout.x(minute));
  const right = (minute: number) => Math.min(layout.width - 8, layout.x(minute));
  return (
    <g>
      {shown.map((band) => (
        <g key={`${band.shift} ${band.from}`}>
          <rect
            className={names.indexOf(band.shift) % 2 ? 'band odd' : 'band'}
            x={left(band.from)}
            width={Math.max(0, right(band.to) - left(band.from))}
            y={HEAD - 14}
            height={bottom - HEAD + 14}
          />
          {right(band.to) - left(band.from) > 30 && (
            <text className="small" x={left(band.from) + 3} y={HEAD - 4}>
              {cut(
                right(band.to) - left(band.from) > 100
                  ? `${band.shift}: ${countText(band.technicians, 'technician')}`
                  : `${band.shift} ${band.technicians}`,
                Math.floor((right(band.to) - left(band.from)) / 5.6),
              )}
            </text>
          )}
        </g>
      ))}
      {hourTicks(clock, view.from, view.to, layout.pxPerMinute).map(({ at, label }) => (
        <g key={at}>
          <line className="hour" x1={layout.x(at)} x2={layout.x(at)} y1={HEAD - 16} y2={bottom} />
          {layout.x(at) < layout.width - 18 && (
            <text className="small" x={layout.x(at)} y={28} textAnchor="middle">
              {label}
            </text>
          )}
        </g>
      ))}
      {dayTicks(clock, view.from, view.to, layout.pxPerMinute).map(({ at, label }) => {
        const room = Math.min(layout.width - 4, layout.x(at + 1440)) - left(at) - 8;
        const text = [label, label.replace(/ \D+$/, '')].find((option) => option.length * 7.4 < room);
        return (
          <g key={at}>
            {at >= view.from && (
              <line className="day" x1={layout.x(at)} x2={layout.x(at)} y1={2} y2={bottom} />
            )}
            {text && (
              <text className="axis-day" x={left(at) + 4} y={14}>
                {text}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

/** Technicians at work, on a break and walking, one on the other, against those on shift; what is above is hatched. */
function Load({ data, view, layout, prefix }: PlotProps) {
  const most = Math.max(1, ...data.staff.map(({ value }) => value), ...data.load.map(({ value }) => value));
  const base = layout.loadTop + LOAD - 2;
  const y = (value: number) => base - (value / most) * (LOAD - 16);
  return (
    <g>
      <text className="lane-name" x={6} y={layout.loadTop + 16}>
        Technicians
      </text>
      <text className="small" x={6} y={layout.loadTop + 31}>
        at work (filled)
      </text>
      <text className="small" x={6} y={layout.loadTop + 43}>
        on shift (line)
      </text>
      <path d={area(data.load, view, layout.x, y)} className="walking" />
      <path d={area(data.placed, view, layout.x, y)} className="break" />
      <path d={area(data.atWork, view, layout.x, y)} className="load" />
      <path d={area(data.staff, view, layout.x, y)} className="limit" />
      <text className="small" x={GUTTER - 4} y={y(most) + 4} textAnchor="end">
        {most}
      </text>
      <text className="small" x={GUTTER - 4} y={base} textAnchor="end">
        0
      </text>
      <path
        d={boxes(
          visible(data.over, view).map(({ from, to, load, staff }) => {
            const x = Math.max(GUTTER, layout.x(from));
            return {
              x,
              y: y(load),
              w: Math.min(layout.width - 8, layout.x(to)) - x,
              h: Math.round(y(staff) - y(load)),
            };
          }),
        )}
        fill={`url(#${prefix}-unmet)`}
      />
      <line className="lane" x1={0} x2={layout.width} y1={base} y2={base} />
    </g>
  );
}

/** Bars of one row of the technicians or a water source: tests and duties, each with its sign. */
function RowBars({
  bars,
  box,
  layout,
  marked,
}: {
  bars: readonly Bar[];
  box: { readonly y: number; readonly h: number };
  layout: PlotProps['layout'];
  marked: PlotProps['marked'];
}) {
  const placed = bars.map((bar) => {
    const x = Math.max(GUTTER, layout.x(bar.from));
    return { ...bar, x, w: Math.min(layout.width - 8, layout.x(bar.to)) - x, ...box };
  });
  const path = (kind: Bar['kind']) => boxes(placed.filter((bar) => bar.kind === kind));
  const isRoomy = bars.length * 14 < layout.width;
  return (
    <>
      <path className="bar test" d={path('test')} />
      <path className="bar duty" d={path('duty')} />
      {marked && <path className="moved" d={changeSigns(placed, marked)} />}
      {isRoomy &&
        placed.map(({ x, y, w, h, kind, index, duty = '' }) =>
          kind === 'duty' ? (
            <text key={index} className="small duty-sign" x={x + 3} y={y + h - 4}>
              {dutyText(duty, w)}
            </text>
          ) : (
            <text key={index} className="small test-sign" x={x + 1} y={y - 3}>
              T
            </text>
          ),
        )}
    </>
  );
}

/** Breaks and work elsewhere: duties without a place. */
function Elsewhere({ data, view, layout, marked }: PlotProps) {
  return data.elsewhere.map((bars, row) => {
    const top = layout.elsewhereTop(row);
    return (
      // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
      <g key={row}>
        {row === 0 && (
          <text className="lane-name narrow" x={6} y={top + 13}>
            Breaks, other
          </text>
        )}
        <RowBars
          bars={visible(bars, view)}
          box={{ y: top + 1, h: ELSEWHERE - 3 }}
          layout={layout}
          marked={marked}
        />
        <line className="lane" x1={0} x2={layout.width} y1={top + ELSEWHERE} y2={top + ELSEWHERE} />
      </g>
    );
  });
}

function Water({ data, view, layout, marked }: PlotProps) {
  return data.water.map((source, index) => {
    const top = layout.waterTop(index);
    const base = top + WATER - 2;
    const capacities = source.capacity.map(({ value }) => value);
    const most = Math.max(1, ...capacities, ...source.use.map(({ value }) => value));
    const y = (value: number) => base - (value / most) * (WATER - 14);
    const [given] = capacities;
    return (
      <g key={source.id}>
        <text className="lane-name" x={6} y={top + 16}>
          {cut(source.id, 13)}
        </text>
        <text className="small" x={6} y={top + 30}>
          water drawn,
        </text>
        <text className="small" x={6} y={top + 42}>
          {capacities.length > 1 ? 'of what it gives' : `of ${numberText(given ?? 0, 0)} mL/min`}
        </text>
        <path d={area(source.use, view, layout.x, y)} className="water" />
        <path d={area(source.capacity, view, layout.x, y)} className="limit" />
        <RowBars
          bars={visible(source.bars, view)}
          box={{ y: base - 15, h: 14 }}
          layout={layout}
          marked={marked}
        />
        <line className="lane" x1={0} x2={layout.width} y1={base} y2={base} />
      </g>
    );
  });
}

/** The picture itself, without interaction: also what paper and exports show. */
export const TimelinePlot = memo(function TimelinePlot(props: PlotProps) {
  const { view, layout, looks, prefix, now } = props;
  return (
    <>
      <LookDefs looks={looks} prefix={prefix} />
      <Axis {...props} />
      <Machines {...props} />
      <Load {...props} />
      <Elsewhere {...props} />
      <Water {...props} />
      {now != null && now >= view.from && now <= view.to && (
        <g>
          <line
            className="now"
            x1={layout.x(now)}
            x2={layout.x(now)}
            y1={HEAD - 16}
            y2={layout.height - FOOT}
          />
          <text className="now-text" x={layout.x(now) + 3} y={layout.loadTop + 10}>
            now
          </text>
        </g>
      )}
    </>
  );
});
