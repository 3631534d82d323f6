import { equal, secret } from './guard.ts';

/** So many pages of one browser are known at a time; the oldest is forgotten first. */
const MOST_PAGES = 100;

/**
 * What lets a browser in. A link's token is spent for a cookie and for a key of the page's own: the cookie goes to
 * every port of this machine, so whoever listens on another one may read it; the key goes to this origin alone.
 */
export function createKeys() {
  const session = secret();
  const standing = secret();
  const once = new Set<string>();
  const pages = new Set<string>();
  return {
    session,
    /** The token of the link that is printed. */
    standing,
    /** A token that is good once. */
    tokenOnce(): string {
      const token = secret();
      once.add(token);
      return token;
    },
    /** Spends a token: the key of a new page, or null. */
    spend(token: string): string | null {
      const hit = [...once].find((one) => equal(one, token));
      if (hit !== undefined) once.delete(hit);
      if (hit === undefined && !equal(standing, token)) return null;
      const key = secret();
      pages.add(key);
      const [oldest] = pages;
      if (pages.size > MOST_PAGES && oldest) pages.delete(oldest);
      return key;
    },
    knows: (key: string) => [...pages].some((one) => equal(one, key)),
  };
}
export type Keys = ReturnType<typeof createKeys>;
