import { spawn } from 'node:child_process';
import { promises as fs } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { HostError } from '../files/files.ts';

const LIMIT_MS = 60_000;

/**
 * Print a page that stands alone (styles inside, no scripts) to a PDF with a Chromium of this machine, its print style
 * sheet and page size respected. Nothing is fetched: the page may only use itself, and no name resolves.
 * @throws HostError when Chromium fails or takes longer than a minute
 */
export async function htmlToPdf(chromium: string, html: string): Promise<Buffer> {
  const folder = await fs.mkdtemp(path.join(os.tmpdir(), 'bathtide-print-'));
  const page = path.join(folder, 'page.html');
  const pdf = path.join(folder, 'page.pdf');
  const policy = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:">`;
  try {
    await fs.writeFile(
      page,
      html.replace(/<head[^>]*>/i, (head) => `${head}${policy}`),
    );
    const args = [
      '--headless',
      '--no-pdf-header-footer',
      `--print-to-pdf=${pdf}`,
      `--user-data-dir=${path.join(folder, 'profile')}`,
      '--host-resolver-rules=MAP * ~NOTFOUND',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-extensions',
      '--disable-gpu',
      '--disable-sync',
      '--no-first-run',
      // Chromium refuses to start its sandbox as root; the page is our own and runs no script.
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      pathToFileURL(page).href,
    ];
    await new Promise<void>((resolve, reject) => {
      const child = spawn(chromium, args, { stdio: 'ignore' });
      const timer = setTimeout(() => child.kill('SIGKILL'), LIMIT_MS);
      child.once('error', reject);
      child.once('exit', (code) => {
        clearTimeout(timer);
        code === 0
          ? resolve()
          : reject(new HostError('The PDF could not be made: Chromium gave up. Print from the browser.'));
      });
    });
    return await fs.readFile(pdf);
  } catch (error) {
    if (error instanceof HostError) throw error;
    throw new HostError('The PDF could not be made: Chromium did not run. Print from the browser.');
  } finally {
    await fs.rm(folder, { recursive: true, force: true, maxRetries: 5 }).catch(() => undefined);
  }
}
