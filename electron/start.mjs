// npm start [-- FILE] [--folder DIR]... [--browser | --electron] [--no-open]
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { readArguments, startBrowser } from './local/begin.mjs';
import { hasDisplay } from './local/browsers.mjs';
import { ensureApp, ensureInstalled, ensureShell, ROOT, run, whenOrphaned } from './setup.mjs';

const say = (text) => console.log(text);

const packageFolder = path.join(ROOT, 'node_modules', 'electron');
const refusal = path.join(ROOT, 'dist', 'electron-refused.json');

function electronBinary() {
  try {
    const binary = path.join(
      packageFolder,
      'dist',
      readFileSync(path.join(packageFolder, 'path.txt'), 'utf8').trim(),
    );
    return existsSync(binary) ? binary : null;
  } catch {
    return null;
  }
}

/** Electron's binary, fetched at most once; a refusal is remembered, so that later starts lose no second on it. */
async function getElectron(again) {
  if (!hasDisplay()) return { why: 'no display for a window' };
  const here = electronBinary();
  if (here) return { binary: here };
  const manifest = path.join(packageFolder, 'package.json');
  if (!existsSync(manifest)) return { why: 'Electron is not installed' };
  const { version } = JSON.parse(readFileSync(manifest, 'utf8'));
  const before = existsSync(refusal) ? JSON.parse(readFileSync(refusal, 'utf8')) : null;
  if (!again && before?.version === version)
    return { why: `${before.why}; npm start -- --electron tries again` };
  const base = process.env.ELECTRON_MIRROR ?? 'https://github.com/electron/electron/releases/download/';
  const url = `${base}v${version}/electron-v${version}-${process.platform}-${process.arch}.zip`;
  const refuse = (why) => {
    mkdirSync(path.dirname(refusal), { recursive: true });
    writeFileSync(refusal, JSON.stringify({ version, why }));
    return { why };
  };
  try {
    const head = await fetch(url, { method: 'HEAD', redirect: 'manual', signal: AbortSignal.timeout(3_000) });
    if (head.status >= 400) return refuse(`Electron's download answered ${head.status}`);
  } catch {
    return refuse("Electron's download cannot be reached");
  }
  say('Fetching Electron (about 120 MB, once) ...');
  await run(process.execPath, [path.join(packageFolder, 'install.js')], { timeoutMs: 300_000 });
  const fetched = electronBinary();
  return fetched ? { binary: fetched } : refuse('Electron could not be fetched');
}

const EARLY_MS = 10_000;

/** Run the app in Electron to its end; false when Electron gave up at once (a library that the system lacks, say). */
function runElectron(binary, { file, folders }) {
  const args = [ROOT, ...(file === null ? [] : [file]), ...folders.flatMap((one) => ['--folder', one])];
  // Chromium's sandbox cannot start as root; everywhere else it stays on.
  if (process.getuid?.() === 0) args.unshift('--no-sandbox');
  const { ELECTRON_RUN_AS_NODE: _, ...env } = process.env;
  const from = performance.now();
  const child = spawn(binary, args, { stdio: 'inherit', env });
  for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => child.kill(signal));
  return new Promise((resolve) => {
    child.once('error', () => resolve(false));
    child.once('exit', (code, signal) => {
      if (signal === null && code !== 0 && performance.now() - from < EARLY_MS) resolve(false);
      else process.exit(code ?? 0);
    });
  });
}

const options = readArguments('npm start --');
whenOrphaned(() => process.kill(process.pid, 'SIGTERM'));
try {
  await ensureInstalled(say);
  await ensureApp(say);
  await ensureShell(say);
  const electron = options.browser ? { why: 'asked for' } : await getElectron(options.electron);
  if (electron.binary) {
    say('Bathtide runs in its own window (Electron). Ctrl-C ends it.');
    if (!(await runElectron(electron.binary, options)))
      await startBrowser(ROOT, options, 'Electron gave up at once');
  } else {
    await startBrowser(ROOT, options, electron.why);
  }
} catch (error) {
  console.error(`Bathtide could not start. ${error instanceof Error ? error.message : error}`);
  process.exit(1);
}
