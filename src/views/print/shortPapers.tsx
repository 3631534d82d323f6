import type { Covered } from '../../reports/coverage.ts';
import { shortText, unnamedText, whoGoesShort } from '../../reports/whoGoesShort.ts';
import { spanText } from '../../words/times.ts';
import type { Piece, Table } from './flow.ts';
import { Name } from './pieces.tsx';

/** The beds that would go short under each way of sharing, with the caution; nothing where nothing is unmet. */
export function shortPieces(of: Covered): Piece[] {
  const { ways, rows, unnamed, caution } = whoGoesShort(of);
  const { clock } = of.problem;
  const more = unnamedText(unnamed);
  if (ways.length === 0 && !more) return [];
  const table: Table = {
    key: 'short',
    label: 'Who would go short',
    // Above the rows on each page: the caution goes wherever beds are named.
    title: (
      <>
        Who would go short: bags missing, hours of therapy without dialysate, first to last such hour.
        <br />
        {caution}
      </>
    ),
    columns: [{ head: 'Bed', share: 14 }, ...ways.map(({ name }) => ({ head: name, share: 20 }))],
  };
  return [
    ...(more
      ? [{ kind: 'block', key: 'short unnamed', node: <p className="short">UNMET: {more}</p> } as const]
      : []),
    ...rows.map(
      ({ bed, ward, priority, byWay }): Piece => ({
        kind: 'row',
        key: `short ${bed}`,
        table,
        cells: [
          <Name key="bed">{[bed, ward, priority && `class ${priority}`].filter(Boolean).join(', ')}</Name>,
          ...byWay.map((one) => (one ? `${shortText(one)}, ${spanText(clock, one.from, one.to)}` : 'none')),
        ],
      }),
    ),
    ...(ways.length === 0
      ? []
      : [
          {
            kind: 'row',
            key: 'short all',
            table,
            strong: true,
            cells: ['All beds', ...ways.map((way) => shortText(way))],
          } as const,
        ]),
  ];
}
