/** The first place in an ordered list from which on something holds; the list's length where it never does. */
export function firstIndex<T>(list: readonly T[], holds: (one: T) => boolean): number {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(list[middle]!)) high = middle;
    else low = middle + 1;
  }
  return low;
}
