import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';

export interface Started {
  readonly child: ChildProcess;
  /** the printed link */
  readonly url: string;
  /** the user's documents folder */
  readonly documents: string;
  /** everything printed so far, both streams */
  said(): string;
  /** Ctrl-C; its exit status */
  stop(): Promise<number | null>;
}

// Written into the started process: says every connection that it opens itself.
const SPY = `import net from 'node:net';
const { connect } = net.Socket.prototype;
net.Socket.prototype.connect = function (...args) {
  console.error('CONNECT', JSON.stringify(args[0]));
  return connect.apply(this, args);
};`;

/** `npm start` in a home of its own, on a file or on the demo, with the link printed; no browser is opened unless `open`. */
export function launch(
  args: readonly string[],
  files: Readonly<Record<string, string>> = {},
  { env = {}, open = false }: { env?: Readonly<Record<string, string>>; open?: boolean } = {},
): Promise<Started> {
  const home = mkdtempSync(path.join(os.tmpdir(), 'bathtide-start-'));
  const documents = path.join(home, 'documents');
  mkdirSync(documents);
  for (const [name, text] of Object.entries(files)) writeFileSync(path.join(documents, name), text);
  writeFileSync(path.join(home, 'spy.mjs'), SPY);
  const child = spawn(
    process.execPath,
    ['electron/start.mjs', '--browser', ...(open ? [] : ['--no-open']), ...args],
    {
      env: {
        ...process.env,
        ...env,
        BATHTIDE_FOLDER: documents,
        BATHTIDE_CONFIG: path.join(home, 'config'),
        INIT_CWD: documents,
        NODE_OPTIONS: `--import=${path.join(home, 'spy.mjs')}`,
      },
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  );
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  const stop = async () => {
    child.kill('SIGINT');
    const status = await ended;
    rmSync(home, { recursive: true, force: true });
    return status;
  };
  return new Promise((resolve, reject) => {
    let text = '';
    const hear = (part: Buffer) => {
      text += part;
      const url = /http:\S+/.exec(text)?.[0];
      if (url) resolve({ child, url, documents, said: () => text, stop });
    };
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    void ended.then((status) => reject(new Error(`ended with ${status}: ${text}`)));
  });
}

/** Past the first caution, to the sheet of patients. */
export async function toPatients(page: Page): Promise<Page> {
  await page.getByRole('button', { name: 'I understand' }).click();
  await page
    .getByRole('button', { name: /^Patients/ })
    .first()
    .click();
  return page;
}
