/** What an activity is against the plan before. */
export type Marked = ReadonlyMap<number, 'new' | 'moved'>;

/** One path of signs: a corner for what is new, an arrowhead for what stands at another minute; told apart without colour. */
export const changeSigns = (
  bars: readonly { readonly index: number; readonly x: number; readonly y: number }[],
  marked: Marked,
): string =>
  bars
    .map(({ index, x, y }) => {
      const change = marked.get(index);
      if (!change) return '';
      return change === 'new' ? `M${x},${y}h7l-7,7z` : `M${x},${y}l7,4.5l-7,4.5z`;
    })
    .join('');
