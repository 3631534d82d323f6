import { scaleLinear } from 'd3-scale';
import { Fragment, useMemo } from 'react';
import {
  bestOf,
  type CompareRow,
  compareText,
  compareVariants,
  unranked,
  type Variant,
} from '../../reports/compare.ts';
import { Frame, type OnExport } from './Frame.tsx';
import { cut } from './plotLayout.ts';
import { useRoom } from './useRoom.ts';

interface CompareProps {
  readonly variants: readonly Variant[];
  /** Their plans were searched with the same effort. */
  readonly alike?: boolean;
  readonly onExport?: OnExport | undefined;
}

const PICTURED = new Set([
  'Bags per day, mean',
  'Unmet',
  'Hands-on work',
  'Fills',
  'New circuits',
  'Bath changes',
  'Expired unused',
  'Most at work at once',
]);
/** Room for the measures' names, then for the variants': where the bars begin. */
const LEFT = 228;
/** Room beside a bar for its value and what is said of it. */
const RIGHT = 190;
const BAR = 17;

/** The main measures as bars, one group for each measure: every group has its own scale from 0. */
function Bars({
  rows,
  names,
  ranked,
}: {
  rows: readonly CompareRow[];
  names: readonly string[];
  ranked: boolean;
}) {
  const [wrap, { width, scale }] = useRoom(700);
  const group = names.length * BAR + 16;
  return (
    <div ref={wrap}>
      <svg
        width={width * scale}
        height={(rows.length * group + 4) * scale}
        viewBox={`0 0 ${width} ${rows.length * group + 4}`}
        role="img"
        aria-label="The main measures of each variant as bars; the table below has the numbers."
      >
        {rows.map((row, index) => {
          const numbers = row.values.map((value) => (typeof value === 'number' ? value : 0));
          const x = scaleLinear([0, Math.max(1e-9, ...numbers)], [LEFT, Math.max(LEFT + 60, width - RIGHT)]);
          const best = ranked ? bestOf(row) : [];
          const top = index * group + 8;
          return (
            <g key={row.label}>
              <text className="strong" x={6} y={top + 13}>
                {row.label}
              </text>
              <text className="small" x={6} y={top + 27}>
                {row.unit}
              </text>
              {names.map((name, variant) => (
                <g key={name}>
                  <text className="strong" x={LEFT - 6} y={top + variant * BAR + 12} textAnchor="end">
                    {cut(name, 5)}
                  </text>
                  <rect
                    className={best.includes(variant) ? 'measure best' : 'measure'}
                    x={LEFT}
                    y={top + variant * BAR + 1}
                    height={BAR - 3}
                    width={Math.max(1, x(numbers[variant]!) - LEFT)}
                  />
                  <text x={x(numbers[variant]!) + 5} y={top + variant * BAR + 12}>
                    {compareText(row.values[variant]!)}
                    {best.includes(variant) ? '  best' : ''}
                  </text>
                </g>
              ))}
            </g>
          );
        })}
      </svg>
    </div>
  );
}

/** Variants of a scenario side by side: a picture of the main measures and a table of all of them. */
export function Compare({ variants, alike = false, onExport }: CompareProps) {
  const sections = useMemo(() => compareVariants(variants), [variants]);
  const names = variants.map(({ name }) => name);
  const main = sections.flatMap(({ rows }) => rows).filter(({ label }) => PICTURED.has(label));
  const differing = sections[0]?.rows.length ?? 0;
  const why = unranked(sections, alike);
  if (variants.length === 0)
    return <p>No variant is kept yet. Keep this scenario, change it, and keep it again.</p>;
  return (
    <Frame
      title={`Variants ${names.join(', ')} side by side`}
      name="variants"
      names={variants.map(({ name, title, scenario }) => `${name}: ${title ?? scenario.title}`).join(', ')}
      summary={`${differing} input${differing === 1 ? ' differs' : 's differ'}. ${why ?? 'Marked best: least work and supplies used.'}`}
      onExport={onExport}
    >
      <Bars rows={main} names={names} ranked={why === null} />
      <table className="compare">
        <caption className="spoken">Variants side by side</caption>
        <thead>
          <tr>
            <th scope="col">Measure</th>
            {variants.map(({ name, title, scenario }) => (
              <th key={name} scope="col">
                {name}
                <div className="compare-title">{title ?? scenario.title}</div>
              </th>
            ))}
            <th scope="col">Unit</th>
          </tr>
        </thead>
        <tbody>
          {sections.map(({ title, rows }) => (
            <Fragment key={title}>
              <tr className="compare-section">
                <th colSpan={variants.length + 2} scope="colgroup">
                  {title}
                </th>
              </tr>
              {rows.length === 0 && (
                <tr>
                  <td colSpan={variants.length + 2}>none</td>
                </tr>
              )}
              {rows.map((row) => {
                const best = why === null ? bestOf(row) : [];
                return (
                  <tr key={row.label}>
                    <th scope="row">{row.label}</th>
                    {row.values.map((value, index) => (
                      <td key={names[index]} className={typeof value === 'number' ? 'number' : undefined}>
                        {compareText(value)}
                        {best.includes(index) && <span className="best-mark"> best</span>}
                      </td>
                    ))}
                    <td>{row.unit}</td>
                  </tr>
                );
              })}
            </Fragment>
          ))}
        </tbody>
      </table>
    </Frame>
  );
}
