import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

/** 32 random bytes, fit for a URL. */
export const secret = () => randomBytes(32).toString('base64url');

/** Equal, in a time that does not tell how far the guess was right. */
export function equal(a: string, b: string): boolean {
  const sum = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(sum(a), sum(b));
}

export interface Asked {
  readonly method: string;
  /** path and query as sent */
  readonly url: string;
  /** lower-case names */
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
}
interface Door {
  readonly port: number;
  readonly session: string;
  /** Spends the token in a first URL: the new page's key when it was good. */
  readonly spend: (token: string) => string | null;
  /** Is this the key of a page that came by a link? */
  readonly knows: (key: string) => boolean;
}
type Verdict =
  | { readonly let: 'in' }
  | { readonly let: 'swap'; readonly key: string }
  | { readonly let: 'out'; readonly status: number; readonly why: string };

const out = (status: number, why: string): Verdict => ({ let: 'out', status, why });

/** Cookies ignore ports, so two hosts on one machine need two names. */
export const cookieName = (port: number) => `bathtide-${port}`;

function cookie(header: string | undefined, name: string): string | null {
  for (const pair of (header ?? '').split(';')) {
    const [key, ...value] = pair.trim().split('=');
    if (key === name) return value.join('=');
  }
  return null;
}

/** Somebody goes to an address, as opposed to a page that fetches or frames it. Old browsers do not say. */
function isVisit(header: (name: string) => string | undefined): boolean {
  const [mode, dest] = [header('sec-fetch-mode'), header('sec-fetch-dest')];
  return (mode === undefined || mode === 'navigate') && (dest === undefined || dest === 'document');
}

/**
 * Who may talk to the local host: this machine's browser, on a page that the host itself served, with the session.
 * Host comes first: a rebound name makes a foreign page same-origin, and its reads then carry no Origin at all.
 */
export function judge(asked: Asked, door: Door): Verdict {
  const one = (name: string) => {
    const value = asked.headers[name];
    return Array.isArray(value) ? value.join(', ') : value;
  };
  const self = `127.0.0.1:${door.port}`;
  if (one('host') !== self) return out(421, 'This host answers only under its own address.');
  // A back-slash counts as a slash where URLs are read: "/\\name" would be a host.
  if (!/^\/(?![/\\])/.test(asked.url) || !URL.canParse(asked.url, `http://${self}`))
    return out(400, 'Only paths are answered here.');
  if (!['GET', 'HEAD', 'POST'].includes(asked.method))
    return out(405, 'Only GET, HEAD and POST are answered here.');
  const origin = one('origin');
  if (origin !== undefined && origin !== `http://${self}`)
    return out(403, 'Another origin may not ask here.');
  const { pathname, searchParams } = new URL(asked.url, `http://${self}`);
  const token = searchParams.get('token');
  // Before the site is looked at: the page that hands a browser its link is a file, which counts as another site.
  if (asked.method === 'GET' && pathname === '/' && token !== null && isVisit(one)) {
    const key = door.spend(token);
    return key === null
      ? out(403, 'That link is not valid (any more). Start Bathtide again.')
      : { let: 'swap', key };
  }
  const site = one('sec-fetch-site');
  if (site !== undefined && site !== 'same-origin' && site !== 'none') {
    return out(403, 'Another site may not ask here.');
  }
  const session = cookie(one('cookie'), cookieName(door.port));
  if (session === null) return out(401, 'Open the app with the link that Bathtide printed as it started.');
  if (!equal(session, door.session)) return out(403, 'This browser holds the session of an earlier start.');
  if ((asked.method === 'POST' || pathname.startsWith('/api/')) && !door.knows(one('x-bathtide') ?? ''))
    return out(
      403,
      'This page has no key of its own. Open the app with the link that Bathtide printed as it started.',
    );
  return { let: 'in' };
}
