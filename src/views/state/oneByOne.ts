import type { Bridge, Saved } from '../../bridge.ts';

/** A save that has been asked for. */
interface Asked {
  readonly handle: string;
  readonly base: string | null;
  /** Digest of what it wrote; null: nothing yet, or nothing. */
  wrote: string | null;
}

/**
 * A bridge whose saves go one after the other. A save that is asked for while another one is under way began from what that
 * one writes, and what a look finds around a save may be that save: else this page's own save would be taken for somebody
 * else's, and asked about. No save waits for a look.
 */
export function oneByOne(bridge: Bridge): Bridge {
  let saves: Promise<unknown> = Promise.resolve();
  /** The latest that is under way or waits. */
  let last: Asked | null = null;
  let count = 0;
  const turns: Pick<Bridge, 'save' | 'look'> = {
    save(handle, text, base) {
      const before = last;
      const asked: Asked = { handle, base, wrote: null };
      last = asked;
      count += 1;
      const save = saves.then(async (): Promise<Saved> => {
        const follows = before?.wrote != null && before.handle === handle && before.base === base;
        const done = await bridge.save(handle, text, follows ? before.wrote : base);
        if ('digest' in done) asked.wrote = done.digest;
        return done;
      });
      saves = save
        .catch(() => undefined)
        .then(() => {
          if (last === asked) last = null;
        });
      return save;
    },
    async look(handle, digest) {
      await saves;
      const before = count;
      const found = await bridge.look(handle, digest);
      return count === before ? found : null;
    },
  };
  // A desktop's bridge cannot be written to; all else goes to it as it is.
  return Object.create(bridge, { save: { value: turns.save }, look: { value: turns.look } });
}
