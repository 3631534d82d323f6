/** A cell by place on screen: displayed row and displayed column. */
export interface Spot {
  readonly row: number;
  readonly column: number;
}
/** A block of cells: `anchor` is where it was begun, `head` where it was drawn to. */
export interface Range {
  readonly anchor: Spot;
  readonly head: Spot;
}
export interface Block {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}

export const single = (spot: Spot): Range => ({ anchor: spot, head: spot });

export const blockOf = ({ anchor, head }: Range): Block => ({
  top: Math.min(anchor.row, head.row),
  bottom: Math.max(anchor.row, head.row),
  left: Math.min(anchor.column, head.column),
  right: Math.max(anchor.column, head.column),
});

export const holds = (block: Block, row: number, column: number): boolean =>
  row >= block.top && row <= block.bottom && column >= block.left && column <= block.right;

export const isSingle = ({ anchor, head }: Range): boolean =>
  anchor.row === head.row && anchor.column === head.column;

const STEPS: Readonly<Record<string, Spot>> = {
  ArrowUp: { row: -1, column: 0 },
  ArrowDown: { row: 1, column: 0 },
  ArrowLeft: { row: 0, column: -1 },
  ArrowRight: { row: 0, column: 1 },
};

const ENDS: Readonly<Record<string, number>> = { Home: -1, End: 1 };

function stepOf(key: string, toEdge: boolean, far: number): Spot | null {
  const end = ENDS[key];
  if (end) return { row: toEdge ? end * far : 0, column: end * far };
  const step = STEPS[key];
  const size = toEdge ? far : 1;
  return step ? { row: step.row * size, column: step.column * size } : null;
}

/** Rows and columns on screen. */
export interface Size {
  readonly rows: number;
  readonly columns: number;
}

/**
 * The range after Shift and an arrow key (to the edge: with Ctrl), or Home or End (of the row; of the sheet: with Ctrl),
 * inside rows x columns; null for other keys.
 */
export function extended(range: Range, key: string, toEdge: boolean, size: Size): Range | null {
  const { rows, columns } = size;
  const step = stepOf(key, toEdge, Math.max(rows, columns));
  if (!step) return null;
  const within = (value: number, count: number) => Math.min(count - 1, Math.max(0, value));
  return {
    anchor: range.anchor,
    head: {
      row: within(range.head.row + step.row, rows),
      column: within(range.head.column + step.column, columns),
    },
  };
}

/** All cells. */
export const whole = ({ rows, columns }: Size): Range => ({
  anchor: { row: 0, column: 0 },
  head: { row: rows - 1, column: columns - 1 },
});

/** The range after its rows have moved; the same one where none has. @param now place of the row that stood at a place */
export function moved(range: Range, now: (row: number) => number): Range {
  const [first, last] = [now(range.anchor.row), now(range.head.row)];
  if (first === range.anchor.row && last === range.head.row) return range;
  return { anchor: { ...range.anchor, row: first }, head: { ...range.head, row: last } };
}
