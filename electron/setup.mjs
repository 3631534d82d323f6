// Plain Node without packages: it runs before anything is installed.
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..');
const DIST = path.join(ROOT, 'dist');

/** Run a command to its end; what it printed and its exit status. `show` passes its output through. */
export function run(command, args, { show = false, timeoutMs = 0, env = process.env } = {}) {
  return new Promise((resolve) => {
    const shell = process.platform === 'win32' && command.endsWith('.cmd');
    const child = spawn(command, args, {
      cwd: ROOT,
      env,
      shell,
      stdio: ['ignore', show ? 'inherit' : 'pipe', show ? 'inherit' : 'pipe'],
    });
    let text = '';
    child.stdout?.on('data', (part) => {
      text += part;
    });
    child.stderr?.on('data', (part) => {
      text += part;
    });
    const timer = timeoutMs > 0 ? setTimeout(() => child.kill('SIGKILL'), timeoutMs) : undefined;
    const end = (status, more) => {
      clearTimeout(timer);
      resolve({ status, text: text + more });
    };
    child.once('error', (error) => end(1, error.message));
    child.once('close', (code) => end(code ?? 1, ''));
  });
}

/**
 * Acts once the shell is gone that npm runs scripts in: a plain kill of npm ends the two of them alone, and what they
 * started would go on with nobody to see it. Windows tells a process nothing of this.
 */
export function whenOrphaned(act) {
  if (!process.env.npm_lifecycle_event) return;
  const parent = process.ppid;
  const watch = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(watch);
    act();
  }, 500).unref();
}

const readJson = (file) => {
  try {
    return JSON.parse(readFileSync(path.join(ROOT, file), 'utf8'));
  } catch {
    return null;
  }
};

/** What package-lock.json asks for and node_modules lacks or holds in another version. @param dev tools for tests too */
function missingPackages(dev) {
  const asked = readJson('package-lock.json')?.packages ?? {};
  const held = readJson('node_modules/.package-lock.json')?.packages ?? {};
  return Object.entries(asked)
    .filter(
      ([name, one]) => name !== '' && !one.optional && !one.devOptional && !one.peer && (dev || !one.dev),
    )
    .filter(([name, one]) => held[name]?.version !== one.version)
    .map(([name]) => name);
}

/** Does every tool run on this Node? The same as `engines` in package.json, without a package to read it. */
export function runsOn(version) {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  return (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major >= 24;
}

/** Install what is missing, exactly as locked. @param dev what only tests need is wanted too */
export async function ensureInstalled(say, { dev = false } = {}) {
  const { node } = process.versions;
  if (!runsOn(node)) {
    throw new Error(
      `Bathtide needs Node 20.19, 22.12 or 24 (or newer ones of these, or above 24); this is ${node}.`,
    );
  }
  const missing = missingPackages(dev);
  if (missing.length === 0) return;
  const fresh = !existsSync(path.join(ROOT, 'node_modules', '.package-lock.json'));
  say(
    fresh
      ? 'Installing packages (once, about a minute) ...'
      : `Installing ${missing.length} changed packages ...`,
  );
  const npm = process.env.npm_execpath
    ? [process.execPath, process.env.npm_execpath]
    : [process.platform === 'win32' ? 'npm.cmd' : 'npm'];
  const quiet = ['--no-audit', '--no-fund', '--loglevel=error'];
  const act = async (...words) => run(npm[0], [...npm.slice(1), ...words, ...quiet]);
  let done = fresh ? await act('ci') : await act('install', '--no-save');
  if (!fresh && (done.status !== 0 || missingPackages(dev).length > 0)) done = await act('ci');
  if (done.status !== 0) throw new Error(`The packages could not be installed:\n${done.text.trim()}`);
}

function* filesUnder(place) {
  const full = path.join(ROOT, place);
  const stat = statSync(full, { throwIfNoEntry: false });
  if (!stat) return;
  if (stat.isFile()) yield [place, stat];
  else for (const name of readdirSync(full).sort()) yield* filesUnder(path.join(place, name));
}

/** One word for the state of some files and folders: changes when any is added, removed or rewritten. */
function stateOf(places) {
  const sum = createHash('sha256');
  for (const place of places)
    for (const [file, stat] of filesUnder(place)) sum.update(`${file} ${stat.size} ${stat.mtimeMs}\n`);
  return sum.digest('hex');
}

const alive = (pid) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
};

/** One builder at a time, also among processes; the lock of one that died is taken over. */
async function locked(file, act) {
  mkdirSync(path.dirname(file), { recursive: true });
  for (;;) {
    try {
      writeFileSync(file, String(process.pid), { flag: 'wx' });
      break;
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
      const holder = existsSync(file) ? readFileSync(file, 'utf8') : '';
      if (holder !== '' && !alive(Number(holder))) rmSync(file, { force: true });
      else await new Promise((resolve) => setTimeout(resolve, 100));
    }
  }
  try {
    return await act();
  } finally {
    rmSync(file, { force: true });
  }
}

const WHAT = { app: 'the app', electron: 'its host', commands: 'its commands' };

/** Build into dist/<name> unless it stands there built from these very inputs; the old one stays until the new is whole. */
export async function ensureBuilt(name, inputs, say, build) {
  const stamp = path.join(DIST, `${name}.stamp`);
  const target = path.join(DIST, name);
  const work = path.join(DIST, `${name}.new`);
  const state = stateOf(inputs);
  const stands = () => existsSync(target) && existsSync(stamp) && readFileSync(stamp, 'utf8') === state;
  if (stands()) return;
  await locked(path.join(DIST, `${name}.lock`), async () => {
    if (stands()) return;
    say(`Building ${WHAT[name]} ...`);
    rmSync(work, { recursive: true, force: true });
    await build(work);
    rmSync(target, { recursive: true, force: true, maxRetries: 5 });
    renameSync(work, target);
    writeFileSync(stamp, state);
  });
}

/** A build in a process of its own, so that nothing of the caller's (a test runner's NODE_ENV above all) leaks in. */
const buildApart = (name) => async (outDir) => {
  const env = { ...process.env, NODE_ENV: 'production', NODE_OPTIONS: '' };
  const script = path.join(ROOT, 'electron', 'build.mjs');
  const { status, text } = await run(process.execPath, [script, name, outDir], { env });
  if (status !== 0) throw new Error(`The build failed:\n${text.trim()}`);
};

/** The page: dist/app. */
export const ensureApp = (say) =>
  ensureBuilt('app', ['package.json', 'package-lock.json', 'vite.config.ts', 'src'], say, buildApart('app'));

/** Electron's main and preload, and the local host: dist/electron. */
export const ensureShell = (say) =>
  ensureBuilt('electron', ['package-lock.json', 'src/bridge.ts', 'electron'], say, buildApart('electron'));

/** The commands of the packed app: dist/commands. */
export const ensureCommands = (say) =>
  ensureBuilt('commands', ['package-lock.json', 'src', 'electron'], say, buildApart('commands'));
