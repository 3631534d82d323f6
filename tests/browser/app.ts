import { existsSync, readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import path from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { ensureApp } from '../../electron/setup.mjs';
import type { Draft } from '../../src/record/entries.ts';
import { lineOf, readJournal } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { launchChromium } from '../chromium.ts';

const DIST = path.resolve(import.meta.dirname, '../../dist/app');
const NONCE = 'dGVzdC1ub25jZQ';
/** The policy under which the app runs: as the hosts send it. */
const POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self' blob:",
  `style-src 'self' 'nonce-${NONCE}'`,
  "font-src 'self' data:",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
].join('; ');
const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
};

function serve(): Promise<Server> {
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://localhost');
    const file = path.join(DIST, pathname === '/' ? 'index.html' : pathname);
    if (!file.startsWith(DIST) || !existsSync(file)) {
      response.writeHead(404).end();
      return;
    }
    const bytes = readFileSync(file);
    const type = TYPES[path.extname(file)] ?? 'application/octet-stream';
    response.writeHead(200, { 'Content-Type': type, 'Content-Security-Policy': POLICY });
    response.end(file.endsWith('.html') ? bytes.toString().replaceAll('BATHTIDE_NONCE', NONCE) : bytes);
  });
  return new Promise((resolve) => server.listen(0, '127.0.0.1', () => resolve(server)));
}

export interface Tested {
  readonly browser: Browser;
  /** A page with the scenario open. Files it saves or exports are in `saved`. */
  open(
    scenario: Scenario | string,
    options?: {
      readonly width?: number;
      readonly height?: number;
      /** Where to begin: the sheets, with all that the strip tells unfolded, or the home as the app opens it. Default: sheets. */
      readonly at?: 'sheets' | 'home';
      /** What the station icu-desk has noted; more can be noted then. Each is noted in its own minute. Default: there is no record. */
      readonly noted?: readonly Draft[];
    },
  ): Promise<Opened>;
  close(): Promise<void>;
}
export interface Opened {
  readonly page: Page;
  readonly context: BrowserContext;
  /** By name; bytes as written. */
  readonly saved: Map<string, Buffer>;
  /** Whatever the page wrote to its console as an error, policy violations included. */
  readonly errors: string[];
}

/** Builds the app where it is stale and serves it under the hosts' policy to a real Chromium. */
export async function startApp(): Promise<Tested> {
  await ensureApp(() => undefined);
  const server = await serve();
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('the test server has no port');
  const browser = await launchChromium();
  return {
    browser,
    async open(scenario, { width = 1440, height = 900, at = 'sheets', noted } = {}) {
      const context = await browser.newContext({
        viewport: { width, height },
        permissions: ['clipboard-read', 'clipboard-write'],
      });
      const page = await context.newPage();
      const saved = new Map<string, Buffer>();
      const errors: string[] = [];
      page.on('console', (message) => {
        if (message.type() === 'error') errors.push(message.text());
      });
      page.on('response', (response) => {
        if (response.status() >= 400) errors.push(`${response.status()} ${response.url()}`);
      });
      page.on('pageerror', (error) => errors.push(String(error)));
      await page.exposeFunction('keepFile', (name: string, base64: string) => {
        saved.set(name, Buffer.from(base64, 'base64'));
      });
      if (noted) await withRecord(page, noted);
      const text = typeof scenario === 'string' ? scenario : JSON.stringify(scenario);
      await page.addInitScript({ content: fakeHost(text, noted !== undefined) });
      await page.goto(`http://127.0.0.1:${address.port}/`);
      await page.getByRole('button', { name: 'I understand' }).click();
      if (at === 'sheets') {
        await page.getByRole('button', { name: /^Patients/ }).click();
        await page.getByRole('button', { name: 'How good is this plan?' }).click();
      }
      return { page, context, saved, errors };
    },
    async close() {
      await browser.close();
      server.close();
    },
  };
}

/** A journal in memory, written by the product's own writer: the page notes in it, and reads it again. */
async function withRecord(page: Page, first: readonly Draft[]): Promise<void> {
  const station = 'icu-desk';
  let text = '';
  const add = (draft: Draft): string => {
    const line = lineOf(draft, station, `${draft.at}:00Z`, readJournal(`${station}.jsonl`, text).last);
    text += `${line}\n`;
    return line;
  };
  for (const draft of first) add(draft);
  await page.exposeFunction('readRecord', (known: number) => {
    const bytes = Buffer.from(text);
    const from = known <= bytes.length ? known : 0;
    return [{ name: `${station}.jsonl`, from, size: bytes.length, text: bytes.subarray(from).toString() }];
  });
  await page.exposeFunction('noteRecord', (drafts: readonly Draft[]) => ({
    file: `${station}.jsonl`,
    lines: drafts.map(add),
    faults: [],
  }));
}

/** Stands in the page where Electron's preload would, and hands every written file to the test. */
const fakeHost = (text: string, recorded: boolean): string => `
  const keep = async (name, bytes) => {
    let letters = '';
    for (const byte of bytes) letters += String.fromCharCode(byte);
    await window.keepFile(name, btoa(letters));
    return { handle: name, name };
  };
  const file = { handle: 'test.json', name: 'test.json', text: ${JSON.stringify(text)} };
  const utf8 = (written) => new TextEncoder().encode(written);
  Object.defineProperty(window, 'bathtide', { value: {
    host: 'electron',
    initial: async () => file,
    open: async () => file,
    openRecent: async () => file,
    recent: async () => [],
    save: async (handle, written) => { await keep(handle, utf8(written)); return { digest: '' }; },
    look: async () => null,
    versions: async () => [],
    changes: async () => [],
    version: async () => '',
    record: async (_, known) => ${recorded ? "window.readRecord(known['icu-desk.jsonl'] ?? 0)" : '[]'},
    note: async (_, station, drafts) => { ${recorded ? 'return window.noteRecord(drafts);' : "throw new Error('no record here');"} },
    keepDraft: async () => {},
    drafts: async () => [],
    forgetDraft: async () => {},
    saveAs: (name, written) => keep(name, utf8(written)),
    exportFile: keep,
    printPdf: async () => null,
    onMenu: () => () => {},
    setUnsaved: (...said) => { window.wouldLose = said; },
  } });
`;
