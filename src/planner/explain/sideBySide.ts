/**
 * Does the same with each of some things, so many at a time, in their order.
 * @returns what came of each; one that fails keeps nobody else from being done
 */
export function sideBySide<T, R>(
  things: readonly T[],
  atATime: number,
  act: (thing: T) => Promise<R>,
): Promise<R>[] {
  const told: { resolve: (result: R) => void; reject: (why: unknown) => void }[] = [];
  const results = things.map(() => new Promise<R>((resolve, reject) => told.push({ resolve, reject })));
  // Whoever waits for a result hears why it failed; nobody need.
  for (const result of results) result.catch(() => undefined);
  let next = 0;
  const work = async () => {
    while (next < things.length) {
      const at = next++;
      await act(things[at]!).then(told[at]!.resolve, told[at]!.reject);
    }
  };
  for (let n = 0; n < Math.max(1, atATime); n++) void work();
  return results;
}
