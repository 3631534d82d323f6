import { randomBytes } from 'node:crypto';
import { promises as fs } from 'node:fs';
import path from 'node:path';
import { inside } from '../files/files.ts';

/** The word in index.html (vite.config.ts, html.cspNonce) whose place the nonce of each answer takes. */
const NONCE_MARK = /BATHTIDE_NONCE/g;

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.wasm': 'application/wasm',
  '.woff2': 'font/woff2',
};

/**
 * Everything off but what the app is made of. `wasm-unsafe-eval`: the solver; `blob:` workers: the workbook reader and
 * writer hang without an error where they are refused; style nonce: the grid writes its style sheets itself.
 */
const contentSecurityPolicy = (nonce: string) =>
  [
    "default-src 'none'",
    "script-src 'self' 'wasm-unsafe-eval'",
    "worker-src 'self' blob:",
    `style-src 'self' 'nonce-${nonce}'`,
    "font-src 'self' data:",
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
    "object-src 'none'",
  ].join('; ');

/** On every answer, whatever it is. COOP and COEP isolate the page, which shared memory for cancelling needs. */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cache-Control': 'no-store',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Embedder-Policy': 'require-corp',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=()',
};

/**
 * The page that a link's token is answered with: it goes on to the app by itself. A redirect would not do: a browser
 * that comes from a file keeps a strict cookie back until a page of ours has asked.
 */
export const landing = (key: string) => ({
  headers: {
    ...SECURITY_HEADERS,
    'Content-Type': 'text/html; charset=utf-8',
    'Content-Security-Policy': "default-src 'none'; base-uri 'none'; frame-ancestors 'none'",
  },
  body: `<!doctype html><meta charset="utf-8"><meta http-equiv="refresh" content="0;url=/#key=${key}"><title>Bathtide</title><p><a href="/#key=${key}">Open Bathtide</a></p>\n`,
});

interface Asset {
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Uint8Array<ArrayBuffer>;
}

/**
 * A file of the built app, or null when there is none of that name inside `root` (links out of it included).
 * `pathname` is as the URL carries it, still percent-encoded. Pages get a fresh style nonce in text and policy.
 */
export async function asset(root: string, pathname: string): Promise<Asset | null> {
  let name: string;
  try {
    name = decodeURIComponent(pathname);
  } catch {
    return null;
  }
  if (name.includes('\0') || name.includes('\\')) return null;
  const file = await inside(root, `.${name.endsWith('/') ? `${name}index.html` : name}`);
  const type = file ? TYPES[path.extname(file)] : undefined;
  if (!file || !type) return null;
  const nonce = randomBytes(18).toString('base64');
  const headers = {
    ...SECURITY_HEADERS,
    'Content-Type': type,
    'Content-Security-Policy': contentSecurityPolicy(nonce),
  };
  try {
    const bytes = new Uint8Array(await fs.readFile(file));
    if (path.extname(file) !== '.html') return { headers, body: bytes };
    const page = new TextDecoder().decode(bytes).replace(NONCE_MARK, nonce);
    return { headers, body: new TextEncoder().encode(page) };
  } catch {
    return null;
  }
}
