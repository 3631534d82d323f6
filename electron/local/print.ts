import { spawn } from 'node:child_process';
import { promises as fs } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { HostError } from '../files/files.ts';
import { speakTo } from './pipe.ts';

const LIMIT_MS = 60_000;
/** Of temporary folders: what a kill leaves is swept at the next start. */
export const PRINT_PREFIX = 'bathtide-print-';
/** No such host can exist (RFC 6761); every request to it is answered below, and no other is. */
const PAGE = 'http://print.invalid/';
const POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; sandbox";

const argumentsFor = (folder: string) => [
  '--headless',
  '--remote-debugging-pipe',
  `--user-data-dir=${path.join(folder, 'profile')}`,
  '--host-resolver-rules=MAP * ~NOTFOUND',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-extensions',
  '--disable-gpu',
  '--disable-sync',
  '--no-first-run',
  // Chromium refuses to start its sandbox as root; scripts are off, and the page reaches no file.
  ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
  'about:blank',
];

/** Print within a Chromium that runs: its policy comes as a header, so nothing in the page can stand before it. */
async function print(child: ReturnType<typeof spawn>, html: string): Promise<Buffer> {
  let session = '';
  let served = false;
  let loaded: () => void = () => undefined;
  const whole = new Promise<void>((resolve) => {
    loaded = resolve;
  });
  const ask = speakTo(child, ({ method, params }) => {
    if (method === 'Page.loadEventFired') loaded();
    if (method !== 'Fetch.requestPaused') return;
    const { requestId, request } = params as { requestId: string; request: { url: string } };
    const page = !served && request.url === PAGE;
    served ||= page;
    const answered = page
      ? ask(
          'Fetch.fulfillRequest',
          {
            requestId,
            responseCode: 200,
            responseHeaders: [
              { name: 'Content-Type', value: 'text/html; charset=utf-8' },
              { name: 'Content-Security-Policy', value: POLICY },
            ],
            body: Buffer.from(html, 'utf8').toString('base64'),
          },
          session,
        )
      : ask('Fetch.failRequest', { requestId, errorReason: 'BlockedByClient' }, session);
    answered.catch(() => undefined); // the request may be gone with its page
  });
  const { targetId } = await ask('Target.createTarget', { url: 'about:blank' });
  session = String((await ask('Target.attachToTarget', { targetId, flatten: true })).sessionId);
  await ask('Emulation.setScriptExecutionDisabled', { value: true }, session);
  await ask('Fetch.enable', { patterns: [{ urlPattern: '*' }] }, session);
  await ask('Page.enable', {}, session);
  await ask('Page.navigate', { url: PAGE }, session);
  await whole;
  const how = { preferCSSPageSize: true, printBackground: true, displayHeaderFooter: false };
  const { data } = await ask('Page.printToPDF', how, session);
  return Buffer.from(String(data), 'base64');
}

/**
 * Print a page that stands alone (styles inside) to a PDF with a Chromium of this machine, its print style sheet and
 * page size respected. The page runs no script, reads no file, and nothing is fetched.
 * @throws HostError when Chromium fails or takes longer than a minute
 */
export async function htmlToPdf(chromium: string, html: string): Promise<Buffer> {
  const folder = await fs.mkdtemp(path.join(os.tmpdir(), PRINT_PREFIX));
  const child = spawn(chromium, argumentsFor(folder), {
    stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'],
  });
  const ended = new Promise<void>((resolve) => {
    child.once('exit', () => resolve());
    child.once('error', () => resolve());
  });
  const timer = setTimeout(() => child.kill('SIGKILL'), LIMIT_MS);
  try {
    const gone = ended.then(() => Promise.reject(new Error('Chromium ended')));
    return await Promise.race([print(child, html), gone]);
  } catch {
    throw new HostError('The PDF could not be made: Chromium gave up. Print from the browser.');
  } finally {
    clearTimeout(timer);
    child.kill('SIGKILL');
    await ended;
    await fs.rm(folder, { recursive: true, force: true, maxRetries: 5 }).catch(() => undefined);
  }
}
