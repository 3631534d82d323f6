import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import path from 'node:path';

const NAMES = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'microsoft-edge',
  'brave-browser',
];
const PLACES = {
  darwin: [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  ],
  win32: ['ProgramFiles', 'ProgramFiles(x86)', 'LocalAppData'].flatMap((base) =>
    ['Google\\Chrome\\Application\\chrome.exe', 'Microsoft\\Edge\\Application\\msedge.exe'].map((rest) =>
      path.join(process.env[base] ?? 'C:\\', rest),
    ),
  ),
};

/** Where the search path holds a program, or null. */
export function which(name) {
  for (const folder of (process.env.PATH ?? '').split(path.delimiter)) {
    if (folder !== '' && existsSync(path.join(folder, name))) return path.join(folder, name);
  }
  return null;
}

/** A Chromium of this machine, or null; BATHTIDE_CHROMIUM names one, or none when it is empty. */
export function findChromium() {
  const named = process.env.BATHTIDE_CHROMIUM;
  if (named !== undefined) return named !== '' && existsSync(named) ? named : null;
  for (const name of NAMES) {
    const found = which(name);
    if (found) return found;
  }
  return (PLACES[process.platform] ?? []).find((place) => existsSync(place)) ?? null;
}

/** Whether a window could be shown here at all. */
export const hasDisplay = () =>
  process.platform !== 'linux' || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY);

/**
 * Show a page in the system's browser; false when there is none or it refuses at once. Every account of the computer
 * can read the address, so it must hold no secret: see handover.ts.
 */
export function openInBrowser(url) {
  if (process.env.CI || !hasDisplay()) return Promise.resolve(false);
  const [command, args] =
    process.platform === 'darwin'
      ? ['open', [url]]
      : process.platform === 'win32'
        ? ['rundll32', ['url.dll,FileProtocolHandler', url]]
        : ['xdg-open', [url]];
  if (process.platform === 'linux' && !which(command)) return Promise.resolve(false);
  return new Promise((resolve) => {
    const child = spawn(command, args, { stdio: 'ignore', detached: true });
    const timer = setTimeout(() => resolve(true), 3_000); // still running: it has become the browser
    child.once('error', () => {
      clearTimeout(timer);
      resolve(false);
    });
    child.once('exit', (code) => {
      clearTimeout(timer);
      resolve(code === 0);
    });
    child.unref();
  });
}
