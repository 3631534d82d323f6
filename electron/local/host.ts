import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { z } from 'zod';
import { BODY_LIMIT, HostError } from '../files/files.ts';
import { createServices, type ServiceOptions } from '../files/services.ts';
import { type Act, makeApi } from './api.ts';
import { asset, landing, SECURITY_HEADERS } from './assets.ts';
import { cookieName, judge } from './guard.ts';
import { createKeys, type Keys } from './keys.ts';

interface HostOptions extends ServiceOptions {
  /** Folder of the built app. */
  readonly app: string;
  /** A Chromium that prints, or null: the browser then prints itself. */
  readonly chromium: string | null;
  /** The port to take when it is free; else, and by default, one of the system's choice. */
  readonly port?: number;
  /** ms without a page before the host ends; it never ends before the first page came */
  readonly idleMs?: number;
  readonly onIdle?: () => void;
  /** ms in which a request's head must be here; its body has three times as long */
  readonly slowMs?: number;
  /** a link was followed */
  readonly onVisit?: () => void;
}
export interface LocalHost {
  /** A link that opens the app once: for handing to a browser. Never as an argument, which other users can read. */
  onceUrl(): string;
  /** A link that opens the app until the host ends: for printing where only the user reads. */
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}
interface Inside {
  readonly options: HostOptions;
  readonly keys: Keys;
  readonly api: ReadonlyMap<string, Act>;
  /** Answers that stand open as long as their pages do, with the pages' keys. */
  readonly pages: Map<ServerResponse, string>;
  /** Called at each sign of a page. */
  readonly touch: () => void;
  readonly port: () => number;
}

const IDLE_MS = 120_000;
const GRACE_MS = 2_000;
const SLOW_MS = 10_000;

/** The body as sent, or null when it is over the limit; what is too much is never kept. */
function bodyOf(request: IncomingMessage): Promise<Buffer | null> {
  return new Promise((resolve, reject) => {
    const parts: Buffer[] = [];
    let size = Number(request.headers['content-length'] ?? 0);
    if (size > BODY_LIMIT) return resolve(null);
    size = 0;
    request.on('data', (part: Buffer) => {
      size += part.length;
      if (size <= BODY_LIMIT) return parts.push(part);
      parts.length = 0;
      resolve(null);
    });
    request.once('end', () => resolve(Buffer.concat(parts)));
    request.once('error', reject);
  });
}

/** Listen on this machine alone; the port taken. */
function listen(server: Server, wanted: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', (error) => (wanted === 0 ? reject(error) : resolve(listen(server, 0))));
    server.listen(wanted, '127.0.0.1', () => {
      server.removeAllListeners('error');
      resolve((server.address() as AddressInfo).port);
    });
  });
}

function answer(response: ServerResponse, status: number, body: unknown) {
  response.writeHead(status, { ...SECURITY_HEADERS, 'Content-Type': 'application/json; charset=utf-8' });
  response.end(JSON.stringify(body));
}

/** In words for a person where a person asked for a page. */
function refuse(response: ServerResponse, url: string, status: number, why: string) {
  if (url.startsWith('/api/')) return answer(response, status, { error: why });
  response.writeHead(status, { ...SECURITY_HEADERS, 'Content-Type': 'text/plain; charset=utf-8' });
  response.end(why);
}

/** Stands open as long as the page does: so the host knows when its last page is gone. */
function stand({ pages, touch }: Inside, response: ServerResponse, key: string) {
  response.writeHead(200, { ...SECURITY_HEADERS, 'Content-Type': 'text/event-stream' });
  response.write(': open while the page is\n\n');
  pages.set(response, key);
  touch();
  response.once('close', () => {
    pages.delete(response);
    touch();
  });
}

/** What a fault of an act is answered with, or null where it is a fault of ours. */
function faultOf(error: unknown): { status: number; why: string } | null {
  if (error instanceof HostError) return { status: error.status, why: error.message };
  if (error instanceof z.ZodError || error instanceof SyntaxError)
    return { status: 400, why: 'The request is not of the agreed shape.' };
  return null;
}

async function serveApi(inside: Inside, request: IncomingMessage, response: ServerResponse, url: URL) {
  const name = url.pathname.slice('/api/'.length);
  const key = String(request.headers['x-bathtide']);
  if (name === 'alive' && request.method === 'GET') return stand(inside, response, key);
  const act = inside.api.get(name);
  if (!act) return answer(response, 404, { error: 'There is no such act.' });
  if (request.method !== 'POST') return answer(response, 405, { error: 'Ask by POST.' });
  const body = await bodyOf(request);
  if (!body) {
    response.setHeader('Connection', 'close');
    // Not at once: a sender cut off while it still writes would not read why.
    response.once('finish', () => setTimeout(() => request.destroy(), GRACE_MS).unref());
    return answer(response, 413, { error: `More than ${BODY_LIMIT / 1e6} MB in one piece are not taken.` });
  }
  try {
    const here = { page: key, open: new Set(inside.pages.values()) };
    answer(response, 200, { value: await act(body, url.searchParams, here) });
  } catch (error) {
    const fault = faultOf(error);
    if (!fault) throw error;
    answer(response, fault.status, { error: fault.why });
  }
}

async function serve(inside: Inside, request: IncomingMessage, response: ServerResponse) {
  const { keys, options } = inside;
  const port = inside.port();
  const asked = { method: request.method ?? '', url: request.url ?? '', headers: request.headers };
  const verdict = judge(asked, { port, ...keys });
  if (verdict.let === 'out') return refuse(response, asked.url, verdict.status, verdict.why);
  inside.touch();
  if (verdict.let === 'swap') {
    const { headers, body } = landing(verdict.key);
    const cookie = `${cookieName(port)}=${keys.session}; HttpOnly; SameSite=Strict; Path=/`;
    response.writeHead(200, { ...headers, 'Set-Cookie': cookie });
    response.end(body);
    return options.onVisit?.();
  }
  const url = new URL(asked.url, `http://127.0.0.1:${port}`);
  if (url.pathname.startsWith('/api/')) return serveApi(inside, request, response, url);
  if (asked.method === 'POST') return refuse(response, asked.url, 405, 'Files are read by GET.');
  // The path as sent, not as tidied by URL: `asset` itself judges dots and escapes.
  const found = await asset(options.app, asked.url.split(/[?#]/)[0] ?? '/');
  if (!found) return refuse(response, asked.url, 404, 'There is no such file.');
  response.writeHead(200, found.headers);
  response.end(asked.method === 'HEAD' ? undefined : found.body);
}

/**
 * Serve the app and its bridge to a browser on this machine, and to nothing else: 127.0.0.1, a port of the system's
 * choice, every request judged by `guard.ts`. The host itself asks nobody anything.
 */
export async function startHost(options: HostOptions): Promise<LocalHost> {
  const keys = createKeys();
  const pages = new Map<ServerResponse, string>();
  let idle: ReturnType<typeof setTimeout> | undefined;
  let port = 0;
  const touch = () => {
    clearTimeout(idle);
    if (pages.size === 0) idle = setTimeout(() => options.onIdle?.(), options.idleMs ?? IDLE_MS);
  };
  const api = makeApi(createServices(options), options.chromium);
  const inside: Inside = { options, keys, api, pages, touch, port: () => port };
  const slow = options.slowMs ?? SLOW_MS;
  // A socket that dawdles is closed: a handful of them would else keep everybody out.
  const patience = { headersTimeout: slow, requestTimeout: 3 * slow, connectionsCheckingInterval: slow / 4 };
  const server = createServer(patience, (request, response) => {
    serve(inside, request, response).catch((error: unknown) => {
      if (request.destroyed && !request.complete) return; // cut off by its sender, or for dawdling
      console.error(error);
      if (!response.headersSent)
        answer(response, 500, { error: 'The host failed; see the window in which Bathtide was started.' });
      else response.destroy();
    });
  });
  port = await listen(server, options.port ?? 0);
  const link = (token: string) => `http://127.0.0.1:${port}/?token=${token}`;
  return {
    port,
    url: link(keys.standing),
    onceUrl: () => link(keys.tokenOnce()),
    close: () =>
      new Promise((resolve) => {
        clearTimeout(idle);
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
