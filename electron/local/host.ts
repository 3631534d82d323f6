import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { z } from 'zod';
import { BODY_LIMIT, HostError } from '../files/files.ts';
import { createServices, type ServiceOptions } from '../files/services.ts';
import { makeApi } from './api.ts';
import { asset, SECURITY_HEADERS } from './assets.ts';
import { cookieName, equal, judge, secret } from './guard.ts';

export interface HostOptions extends ServiceOptions {
  /** Folder of the built app. */
  readonly app: string;
  /** A Chromium that prints, or null: the browser then prints itself. */
  readonly chromium: string | null;
  /** The port to take when it is free; else, and by default, one of the system's choice. */
  readonly port?: number;
  /** ms without a page before the host ends; it never ends before the first page came */
  readonly idleMs?: number;
  readonly onIdle?: () => void;
}
export interface LocalHost {
  /** A link that opens the app once: for handing to a browser, since other users may see command lines. */
  onceUrl(): string;
  /** A link that opens the app until the host ends: for printing where only the user reads. */
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

const IDLE_MS = 120_000;
const GRACE_MS = 2_000;

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

/**
 * Serve the app and its bridge to a browser on this machine, and to nothing else: 127.0.0.1, a port of the system's
 * choice, every request judged by `guard.ts`. The host itself asks nobody anything.
 */
export async function startHost(options: HostOptions): Promise<LocalHost> {
  const api = makeApi(createServices(options), options.chromium);
  const session = secret();
  const standing = secret();
  const once = new Set<string>();
  const pages = new Set<ServerResponse>();
  let idle: ReturnType<typeof setTimeout> | undefined;
  let port = 0;

  const spend = (token: string) => {
    const hit = [...once].find((one) => equal(one, token));
    if (hit !== undefined) once.delete(hit);
    return hit !== undefined || equal(standing, token);
  };
  const touch = () => {
    clearTimeout(idle);
    if (pages.size === 0) idle = setTimeout(() => options.onIdle?.(), options.idleMs ?? IDLE_MS);
  };

  const answer = (response: ServerResponse, status: number, body: unknown) => {
    response.writeHead(status, { ...SECURITY_HEADERS, 'Content-Type': 'application/json; charset=utf-8' });
    response.end(JSON.stringify(body));
  };
  /** In words for a person where a person asked for a page. */
  const refuse = (response: ServerResponse, url: string, status: number, why: string) => {
    if (url.startsWith('/api/')) return answer(response, status, { error: why });
    response.writeHead(status, { ...SECURITY_HEADERS, 'Content-Type': 'text/plain; charset=utf-8' });
    response.end(why);
  };
  const serveApi = async (request: IncomingMessage, response: ServerResponse, url: URL) => {
    const name = url.pathname.slice('/api/'.length);
    if (name === 'alive' && request.method === 'GET') {
      response.writeHead(200, { ...SECURITY_HEADERS, 'Content-Type': 'text/event-stream' });
      response.write(': open while the page is\n\n');
      pages.add(response);
      touch();
      response.once('close', () => {
        pages.delete(response);
        touch();
      });
      return;
    }
    const act = api.get(name);
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
      answer(response, 200, { value: await act(body, url.searchParams) });
    } catch (error) {
      if (error instanceof HostError) return answer(response, 409, { error: error.message });
      if (error instanceof z.ZodError || error instanceof SyntaxError) {
        return answer(response, 400, { error: 'The request is not of the agreed shape.' });
      }
      throw error;
    }
  };
  const serve = async (request: IncomingMessage, response: ServerResponse) => {
    const asked = { method: request.method ?? '', url: request.url ?? '', headers: request.headers };
    const verdict = judge(asked, { port, session, spend });
    if (verdict.let === 'out') return refuse(response, asked.url, verdict.status, verdict.why);
    touch();
    if (verdict.let === 'swap') {
      response.writeHead(303, {
        ...SECURITY_HEADERS,
        Location: '/',
        'Set-Cookie': `${cookieName(port)}=${session}; HttpOnly; SameSite=Strict; Path=/`,
      });
      return response.end();
    }
    const url = new URL(asked.url, `http://127.0.0.1:${port}`);
    if (url.pathname.startsWith('/api/')) return serveApi(request, response, url);
    if (asked.method === 'POST') return refuse(response, asked.url, 405, 'Files are read by GET.');
    // The path as sent, not as tidied by URL: `asset` itself judges dots and escapes.
    const found = await asset(options.app, asked.url.split(/[?#]/)[0] ?? '/');
    if (!found) return refuse(response, asked.url, 404, 'There is no such file.');
    response.writeHead(200, found.headers);
    response.end(asked.method === 'HEAD' ? undefined : found.body);
  };

  const server = createServer((request, response) => {
    serve(request, response).catch((error: unknown) => {
      console.error(error);
      if (!response.headersSent)
        answer(response, 500, { error: 'The host failed; see the window of npm start.' });
      else response.destroy();
    });
  });
  port = await listen(server, options.port ?? 0);
  const link = (token: string) => `http://127.0.0.1:${port}/?token=${token}`;
  return {
    port,
    url: link(standing),
    onceUrl() {
      const token = secret();
      once.add(token);
      return link(token);
    },
    close: () =>
      new Promise((resolve) => {
        clearTimeout(idle);
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
