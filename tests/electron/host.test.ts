import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import http from 'node:http';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BODY_LIMIT } from '../../electron/files/files.ts';
import { type LocalHost, startHost } from '../../electron/local/host.ts';

interface Reply {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  readonly text: string;
}
interface Ask {
  readonly path?: string;
  readonly method?: string;
  readonly headers?: http.OutgoingHttpHeaders;
  readonly body?: string | Buffer;
}

const base = mkdtempSync(path.join(os.tmpdir(), 'bathtide-host-'));
const app = path.join(base, 'app');
const options = {
  app,
  chromium: null,
  examples: path.join(base, 'examples'),
  folders: [path.join(base, 'documents')],
  configDir: path.join(base, 'config'),
  launch: { file: path.join(base, 'examples', 'demo.json'), named: false },
};
let host: LocalHost;
let cookie: string;
let key: string;

/** Raw: nothing is tidied on the way, so `..` and foreign hosts arrive as written. */
const ask = ({ path = '/', method = 'GET', headers = {}, body }: Ask, port = host.port) =>
  new Promise<Reply>((resolve, reject) => {
    const request = http.request(
      { host: '127.0.0.1', port, path, method, headers, agent: false },
      (response) => {
        let text = '';
        response.on('data', (part) => {
          text += part;
        });
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
        );
      },
    );
    request.once('error', reject);
    request.end(body);
  });
const swap = async (url: string, port?: number) => {
  const reply = await ask({ path: new URL(url).search.replace(/^/, '/') }, port);
  return {
    ...reply,
    cookie: String(reply.headers['set-cookie']?.[0] ?? ''),
    key: /url=\/#key=([\w-]{43})"/.exec(reply.text)?.[1] ?? '',
  };
};
const post = (name: string, body: unknown, headers: http.OutgoingHttpHeaders = {}) =>
  ask({
    path: `/api/${name}`,
    method: 'POST',
    headers: { cookie, 'x-bathtide': key, ...headers },
    body: Buffer.isBuffer(body) ? body : JSON.stringify(body),
  });

beforeAll(async () => {
  mkdirSync(path.join(app, 'assets'), { recursive: true });
  mkdirSync(options.examples);
  writeFileSync(
    path.join(app, 'index.html'),
    '<meta property="csp-nonce" nonce="BATHTIDE_NONCE"><script nonce="BATHTIDE_NONCE">',
  );
  writeFileSync(path.join(app, 'assets', 'app.js'), 'export {};');
  writeFileSync(path.join(base, 'secret.js'), 'secret');
  writeFileSync(options.launch.file, '{"title":"demo"}');
  symlinkSync(path.join(base, 'secret.js'), path.join(app, 'assets', 'link.js'));
  host = await startHost(options);
  const first = await swap(host.url);
  cookie = first.cookie.split(';')[0] ?? '';
  key = first.key;
});
afterAll(async () => {
  await host.close();
  rmSync(base, { recursive: true });
});

describe('the session', () => {
  test('a first link is swapped for a cookie of this port that scripts cannot read, and a key of the page’s own', async () => {
    const { status, headers, cookie, key: another } = await swap(host.url);
    expect(status).toBe(200);
    expect(headers['content-security-policy']).toMatch(/^default-src 'none';/);
    expect(another).toHaveLength(43);
    expect(another).not.toBe(key);
    const name = `bathtide-${host.port}`;
    expect(cookie).toMatch(new RegExp(`^${name}=[\\w-]{43}; HttpOnly; SameSite=Strict; Path=/$`));
    expect(cookie).not.toContain(new URL(host.url).searchParams.get('token'));
  });
  test('a link handed to a browser works once, the printed one again', async () => {
    const once = host.onceUrl();
    expect((await swap(once)).status).toBe(200);
    expect((await swap(once)).status).toBe(403);
    expect((await swap(host.url)).status).toBe(200);
  });
  test('a page of a file may hand the link over; no page may fetch or frame it', async () => {
    const visit = (headers: http.OutgoingHttpHeaders) =>
      ask({
        path: new URL(host.onceUrl()).search.replace(/^/, '/'),
        headers: { 'sec-fetch-site': 'cross-site', ...headers },
      });
    expect((await visit({ 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' })).status).toBe(200);
    expect((await visit({ 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'iframe' })).status).toBe(403);
    expect((await visit({ 'sec-fetch-mode': 'no-cors', 'sec-fetch-dest': 'script' })).status).toBe(403);
  });
  test('whoever holds the cookie alone, as any port of this computer may, gets nothing and no key', async () => {
    const headers = { cookie };
    const page = await ask({ headers });
    expect(page.text).not.toMatch(/[\w-]{43}/);
    for (const one of [undefined, '1', key.slice(0, -1), `${key}x`]) {
      const asked = { ...headers, ...(one !== undefined && { 'x-bathtide': one }) };
      const path = '/api/recent';
      expect((await ask({ path, method: 'POST', headers: asked, body: '{}' })).status).toBe(403);
      expect((await ask({ path: '/api/alive', headers: asked })).status).toBe(403);
    }
    expect((await post('recent', {})).status).toBe(200);
  });
  test('32 random bytes, new at every start', async () => {
    const other = await startHost(options);
    expect(new URL(other.url).searchParams.get('token')).toMatch(/^[\w-]{43}$/);
    expect((await swap(host.url.replace(String(host.port), String(other.port)), other.port)).status).toBe(
      403,
    );
    expect((await ask({ headers: { cookie } }, other.port)).status).toBe(401);
    const named = cookie.replace(String(host.port), String(other.port));
    expect((await ask({ headers: { cookie: named } }, other.port)).status).toBe(403);
    await other.close();
  });
  test('only this machine can connect', async () => {
    const outward = Object.values(os.networkInterfaces())
      .flat()
      .filter((one) => one && !one.internal && one.family === 'IPv4');
    for (const { address } of outward as os.NetworkInterfaceInfo[]) {
      const refused = await new Promise<boolean>((resolve) => {
        const socket = net.connect({ host: address, port: host.port });
        socket.once('connect', () => resolve(false)).once('error', () => resolve(true));
      });
      expect(refused, address).toBe(true);
    }
  });
});

describe('attacks and their answers', () => {
  const good = () => ({ cookie });
  test.each<[string, number, () => Ask]>([
    ['a rebound name', 421, () => ({ headers: { ...good(), host: 'evil.example' } })],
    [
      'a rebound name with our port',
      421,
      () => ({ headers: { ...good(), host: `evil.example:${host.port}` } }),
    ],
    ['our address with another port', 421, () => ({ headers: { ...good(), host: '127.0.0.1:1' } })],
    [
      'a rebound name with the token',
      421,
      () => ({ path: new URL(host.url).search.replace(/^/, '/'), headers: { host: 'evil.example' } }),
    ],
    ['no cookie', 401, () => ({})],
    ['a wrong token', 403, () => ({ path: '/?token=wrong' })],
    ['an empty token', 403, () => ({ path: '/?token=' })],
    ['a wrong cookie', 403, () => ({ headers: { cookie: `bathtide-${host.port}=wrong` } })],
    ['a foreign origin', 403, () => ({ headers: { ...good(), origin: 'http://evil.example' } })],
    ['another port of this machine', 403, () => ({ headers: { ...good(), origin: 'http://127.0.0.1:1' } })],
    ['origin null', 403, () => ({ headers: { ...good(), origin: 'null' } })],
    ['a cross-site request', 403, () => ({ headers: { ...good(), 'sec-fetch-site': 'cross-site' } })],
    [
      'a same-site request of another port',
      403,
      () => ({ headers: { ...good(), 'sec-fetch-site': 'same-site' } }),
    ],
    [
      'a post without the header',
      403,
      () => ({ path: '/api/recent', method: 'POST', headers: good(), body: '{}' }),
    ],
    ['a put', 405, () => ({ method: 'PUT', headers: good() })],
    ['an act by get', 405, () => ({ path: '/api/recent', headers: { ...good(), 'x-bathtide': key } })],
    ['a back-slash that is a host', 400, () => ({ path: '/\\evil.example/', headers: good() })],
    ['a back-slash alone', 400, () => ({ path: '/\\', headers: good() })],
    ['an absolute address', 400, () => ({ path: 'http://evil.example/', headers: good() })],
    ['a path that is a host', 400, () => ({ path: '//evil.example/', headers: good() })],
    ['dots', 404, () => ({ path: '/../secret.js', headers: good() })],
    ['escaped dots', 404, () => ({ path: '/..%2fsecret.js', headers: good() })],
    ['twice escaped dots', 404, () => ({ path: '/..%252fsecret.js', headers: good() })],
    ['escaped back-slashes', 404, () => ({ path: '/assets/..%5c..%5csecret.js', headers: good() })],
    ['dots inside', 404, () => ({ path: '/assets/../../secret.js', headers: good() })],
    ['a link out', 404, () => ({ path: '/assets/link.js', headers: good() })],
    ['a nul byte', 404, () => ({ path: '/assets/app.js%00.html', headers: good() })],
    ['a broken escape', 404, () => ({ path: '/%zz', headers: good() })],
    ['an absolute file', 404, () => ({ path: '/%2fetc%2fpasswd', headers: good() })],
    [
      'an unknown act',
      404,
      () => ({ path: '/api/constructor', method: 'POST', headers: { ...good(), 'x-bathtide': key } }),
    ],
  ])('%s: %i', async (_what, status, make) => {
    const reply = await ask(make());
    expect(reply.status).toBe(status);
    expect(reply.headers['set-cookie']).toBeUndefined();
    expect(reply.text).not.toContain('secret');
  });
  test('no Host at all', async () => {
    const text = await new Promise<string>((resolve) => {
      const socket = net.connect(host.port, '127.0.0.1', () => socket.write('GET / HTTP/1.0\r\n\r\n'));
      let all = '';
      socket.on('data', (part) => {
        all += part;
      });
      socket.on('close', () => resolve(all));
    });
    expect(text).toMatch(/^HTTP\/1\.[01] (400|421) /);
  });
  test('sockets that dawdle are closed, and keep nobody out', async () => {
    const brisk = await startHost({ ...options, slowMs: 200 });
    const closed = (sent: string) =>
      new Promise<void>((resolve) => {
        const socket = net.connect(brisk.port, '127.0.0.1', () => socket.write(sent));
        socket.on('data', () => undefined);
        socket.on('error', () => undefined).on('close', () => resolve());
      });
    const { key, cookie } = await swap(brisk.url, brisk.port);
    const name = cookie.split(';')[0];
    await Promise.all([
      closed('GET / HTTP/1.1\r\nHost: 127.0.0.1'),
      closed(
        `POST /api/recent HTTP/1.1\r\nHost: 127.0.0.1:${brisk.port}\r\nCookie: ${name}\r\nX-Bathtide: ${key}\r\nContent-Length: 9\r\n\r\n{`,
      ),
    ]);
    expect((await swap(brisk.url, brisk.port)).status).toBe(200);
    await brisk.close();
  }, 20_000);
  test('a body over the limit: 413, announced or not, and the host lives on', async () => {
    const announced = await ask({
      path: '/api/save',
      method: 'POST',
      headers: { cookie, 'x-bathtide': key, 'content-length': BODY_LIMIT + 1 },
      body: '{}',
    });
    expect(announced.status).toBe(413);
    const status = await new Promise<number>((resolve, reject) => {
      const headers = { cookie, 'x-bathtide': key, 'transfer-encoding': 'chunked' };
      const request = http.request({
        host: '127.0.0.1',
        port: host.port,
        path: '/api/save',
        method: 'POST',
        headers,
      });
      request.once('response', (response) => resolve(response.statusCode ?? 0)).once('error', reject);
      const part = Buffer.alloc(1_000_000, 32);
      let sent = 0;
      const more = (): void => {
        if (sent++ * part.length <= BODY_LIMIT) request.write(part, more);
      };
      more();
    });
    expect(status).toBe(413);
    expect((await post('recent', {})).status).toBe(200);
  });
  test.each<[string, string, unknown]>([
    ['no JSON', 'open', Buffer.from('{')],
    ['a path for a handle', 'open', { handle: '/etc/passwd' }],
    ['an argument too many', 'recent', { more: 1 }],
    ['no text', 'save', { handle: crypto.randomUUID() }],
  ])('%s: 400', async (_what, name, body) => {
    expect((await post(name, body)).status).toBe(400);
  });
});

describe('answers', () => {
  test('the page: a fresh nonce in policy and text, isolated, never stored', async () => {
    const [one, two] = [await ask({ headers: { cookie } }), await ask({ headers: { cookie } })];
    const nonce = /nonce="([^"]+)"><script nonce="\1"/.exec(one.text)?.[1] ?? 'none';
    expect(one.headers['content-security-policy']).toBe(
      "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:; " +
        `style-src 'self' 'nonce-${nonce}'; font-src 'self' data:; img-src 'self' data: blob:; connect-src 'self'; ` +
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; object-src 'none'",
    );
    expect(two.text).not.toContain(nonce);
    expect(one.text).not.toContain('BATHTIDE_NONCE');
  });
  test.each(['/', '/assets/app.js', '/nowhere', '/api/recent'])(
    '%s carries every guarding header',
    async (path) => {
      expect((await ask({ path, headers: { cookie } })).headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'cache-control': 'no-store',
        'cross-origin-opener-policy': 'same-origin',
        'cross-origin-embedder-policy': 'require-corp',
        'cross-origin-resource-policy': 'same-origin',
      });
    },
  );
  test('open, save elsewhere, save back: over the wire', async () => {
    const first = JSON.parse((await post('initial', {})).text).value;
    expect(first).toMatchObject({ name: 'demo.json', text: '{"title":"demo"}', readOnly: true });
    const refused = await post('save', { handle: first.handle, text: 'x', base: first.digest });
    expect([refused.status, JSON.parse(refused.text).error]).toEqual([
      409,
      expect.stringMatching(/is an example/),
    ]);
    const other = { 'x-bathtide': (await swap(host.url)).key };
    const sum = (text: string) => createHash('sha256').update(text).digest('hex');
    const bytes = Buffer.from('{"title":"Größe"}\r\n');
    const write = (overwrite: boolean) =>
      post(`write?folder=0&name=mine.json&overwrite=${overwrite}&keep=true`, bytes);
    const mine = JSON.parse((await write(false)).text).value;
    expect(JSON.parse((await write(false)).text).value).toBeNull();
    const saved = await post('save', { handle: mine.handle, text: '{}', base: mine.digest });
    expect([saved.status, JSON.parse(saved.text).value]).toEqual([200, { digest: sum('{}') }]);
    const stale = await post('save', { handle: mine.handle, text: '[]', base: '0'.repeat(64) }, other);
    expect(JSON.parse(stale.text).value).toEqual({ newer: { text: '{}', digest: sum('{}') }, base: null });
    expect(JSON.parse((await post('open', { handle: mine.handle })).text).value.text).toBe('{}');
    expect(JSON.parse((await post('recent', {})).text).value).toEqual([
      { handle: mine.handle, name: 'mine.json' },
    ]);
  });
});

test('without a Chromium beside it the host says so, and the browser prints', async () => {
  expect(JSON.parse((await post('pdf', { html: '<p>x' })).text)).toEqual({ value: null });
});

test('the host ends itself some time after its last page left, never before the first came', async () => {
  let ended = 0;
  const short = await startHost({ ...options, idleMs: 150, onIdle: () => ended++ });
  const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
  await ask({ path: '/?token=wrong' }, short.port);
  await wait(300);
  expect(ended).toBe(0);
  const first = await swap(short.url, short.port);
  const headers = { cookie: first.cookie.split(';')[0] ?? '', 'x-bathtide': first.key };
  const page = http.get({
    host: '127.0.0.1',
    port: short.port,
    path: '/api/alive',
    headers,
  });
  page.on('error', () => undefined);
  await new Promise((resolve) => page.once('response', resolve));
  await wait(400);
  expect(ended).toBe(0);
  page.destroy();
  await wait(400);
  expect(ended).toBe(1);
  await short.close();
});

test('takes the port it is asked for when that is free, else another', async () => {
  const first = await startHost(options);
  const { port } = first;
  const second = await startHost({ ...options, port });
  expect(second.port).not.toBe(port);
  await first.close();
  const third = await startHost({ ...options, port });
  expect(third.port).toBe(port);
  expect((await ask({ headers: { cookie: 'none' } }, second.port)).status).toBe(401);
  await Promise.all([second.close(), third.close()]);
});
