import { memo, useLayoutEffect, useRef, useState } from 'react';
import { createPortal } from 'react-dom';
import type { Paper, PaperSize, Piece, Row, Stamp, Table } from './flow.ts';
import { paginate, spareOf, type Unit } from './paginate.ts';
import './paper.css';

function Head({ table }: { table: Table }) {
  const all = table.columns.reduce((sum, { share }) => sum + share, 0);
  return (
    <thead>
      <tr>
        {table.columns.map(({ head, share }) => (
          <th key={head} scope="col" style={{ width: `${(100 * share) / all}%` }}>
            {head}
          </th>
        ))}
      </tr>
    </thead>
  );
}

const TableRow = ({ row }: { row: Row }) => (
  <tr className={`${row.tall ? 'tall' : ''} ${row.strong ? 'strong' : ''}`}>
    {row.cells.map((cell, index) => (
      <td key={row.table.columns[index]?.head ?? index}>{cell}</td>
    ))}
  </tr>
);

/** Whether rows of the table stand before this one, on another page. */
const goesOn = (all: readonly Piece[], row: Row): boolean =>
  all.find((piece) => piece.kind === 'row' && piece.table === row.table) !== row;

/**
 * Pieces in order, neighbouring rows of a table as one table.
 * @param all of the document; null: to measure, with the most that can stand above a table
 */
function Run({ pieces, all }: { pieces: readonly Piece[]; all: readonly Piece[] | null }) {
  const groups: (Piece | Row[])[] = [];
  for (const piece of pieces) {
    const last = groups.at(-1);
    if (piece.kind === 'row' && Array.isArray(last) && last[0]!.table === piece.table) last.push(piece);
    else groups.push(piece.kind === 'row' ? [piece] : piece);
  }
  return groups.map((group) =>
    Array.isArray(group) ? (
      <table key={group[0]!.key} aria-label={group[0]!.table.label}>
        {group[0]!.table.title !== undefined && (
          <caption>
            <h3>
              {group[0]!.table.title}
              {(all === null || goesOn(all, group[0]!)) && <span className="faint"> (continued)</span>}
            </h3>
          </caption>
        )}
        <Head table={group[0]!.table} />
        <tbody>
          {group.map((row) => (
            <TableRow key={row.key} row={row} />
          ))}
        </tbody>
      </table>
    ) : group.kind === 'block' ? (
      <div key={group.key} className="block">
        {group.node}
      </div>
    ) : null,
  );
}

/** Heights of the pieces as they come out at the page's width, read from a copy that nobody sees. */
function readUnits(element: HTMLElement, pieces: readonly Piece[]): { units: Unit[]; room: number } {
  const height = (node: Element | undefined) => node?.getBoundingClientRect().height ?? 0;
  const mm = 96 / 25.4;
  const blocks = [...element.querySelectorAll(':scope > .block')];
  const tables = [...element.querySelectorAll(':scope > table')];
  const rows = tables.flatMap((table) =>
    [...table.querySelectorAll('tbody > tr')].map((row) => ({
      row,
      head: height(table.querySelector('thead')!) + height(table.querySelector('caption') ?? undefined),
    })),
  );
  let block = 0;
  let row = 0;
  const units = pieces.map((piece): Unit => {
    if (piece.kind === 'row') {
      const measured = rows[row++];
      return { height: height(measured?.row), head: (measured?.head ?? 0) + 4, table: piece.table.key };
    }
    const tall = piece.high === undefined ? height(blocks[block++]) : piece.high * mm;
    return { height: tall, keepNext: piece.keepNext, newPage: piece.newPage };
  });
  return { units, room: height(element.querySelector('.room')!) };
}

const looksOf = ({ landscape }: Paper, size: PaperSize, warned: boolean): string =>
  `${landscape ? 'landscape' : 'portrait'} ${size}${warned ? ' warned' : ''}`;

interface Page {
  readonly paper: Paper;
  readonly pieces: readonly Piece[];
}

/** Ready pages of some documents. Counted here, as a browser cannot count pages in their content. */
export function usePages(papers: readonly Paper[], size: PaperSize, warned: boolean) {
  const measure = useRef<HTMLDivElement>(null);
  const [pages, setPages] = useState<readonly Page[]>([]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: size and warnings decide the heights that are read
  useLayoutEffect(() => {
    const boxes = [...(measure.current?.children ?? [])] as HTMLElement[];
    setPages(
      papers.flatMap((paper, index) => {
        const { units, room } = readUnits(boxes[index]!, paper.pieces);
        const split = paginate(units, room);
        const spare = paper.fillUp ? spareOf(units, split, room) : 0;
        return split.map((indexes, number) => {
          const pieces = indexes.map((piece) => paper.pieces[piece]!);
          const last = pieces.at(-1);
          if (last && number === split.length - 1)
            for (let copy = 0; copy < spare; copy++)
              pieces.push({ ...last, key: `${last.key} again ${copy}` });
          return { paper, pieces };
        });
      }),
    );
  }, [papers, size, warned]);
  const copy = createPortal(
    <div ref={measure} className="paper-measure" aria-hidden="true" inert>
      {papers.map((paper) => (
        <div key={paper.id} className={`paper-content ${looksOf(paper, size, warned)}`}>
          <div className="room" />
          <Run
            pieces={paper.pieces.filter((piece) => piece.kind === 'row' || piece.high === undefined)}
            all={null}
          />
        </div>
      ))}
    </div>,
    document.body,
  );
  return { copy, pages };
}

interface PagesProps {
  readonly pages: readonly Page[];
  /** Draw only so many of them; default all. */
  readonly shown?: number;
  readonly stamp: Stamp;
  readonly size: PaperSize;
}

/** Page-sized sections with head and foot: the same on screen, on a printer and in a PDF. */
export const Pages = memo(function Pages({ pages, shown = pages.length, stamp, size }: PagesProps) {
  return pages.slice(0, shown).map(({ paper, pieces }, index) => (
    <section
      key={`${paper.id} ${pieces[0]?.key ?? index}`}
      className={`sheet-page ${looksOf(paper, size, stamp.warnings.length > 0)}`}
      aria-label={`${paper.title}, page ${index + 1} of ${pages.length}`}
    >
      <header>
        <div className="page-title">
          <strong>{paper.title}</strong>
          <span>{paper.about}</span>
        </div>
        <div className="page-stamp">
          <span className="page-scenario">{stamp.scenario}</span>
          <span>Plan made {stamp.madeAt}</span>
          <span className={stamp.barred ? 'page-verdict bad' : 'page-verdict'}>{stamp.verdict}</span>
        </div>
      </header>
      {stamp.warnings.length > 0 && (
        <div className="page-warnings">
          {stamp.warnings.map((warning) => (
            <p key={warning}>▲ {warning}</p>
          ))}
        </div>
      )}
      <div className={`paper-content ${looksOf(paper, size, stamp.warnings.length > 0)}`}>
        <Run pieces={pieces} all={paper.pieces} />
      </div>
      <footer>
        <div className="page-cautions">{stamp.cautions.join(' ')}</div>
        <div className="page-number">
          Page {index + 1} of {pages.length}
        </div>
      </footer>
      {stamp.barred && (
        <div className="page-barred" aria-hidden="true">
          {stamp.barred}
        </div>
      )}
    </section>
  ));
});
