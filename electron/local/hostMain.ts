import { readFileSync } from 'node:fs';
import path from 'node:path';
import { writeWhole } from '../files/files.ts';
import { type Launch, placesOf } from '../files/places.ts';
import { type LocalHost, startHost } from './host.ts';

/** The port of the last start, or 0 (any): a browser keeps column widths, ticks and the like by address. */
function lastPort(file: string): number {
  try {
    const port = Number(readFileSync(file, 'utf8'));
    return Number.isInteger(port) && port >= 1024 && port <= 65_535 ? port : 0;
  } catch {
    return 0;
  }
}

/** The local host over the places of this computer: what `npm start` runs where Electron is not at hand. */
export async function startLocal(
  launch: Launch & { chromium: string | null; onIdle: () => void },
): Promise<LocalHost> {
  const { chromium, onIdle } = launch;
  const places = placesOf(launch);
  const file = path.join(places.configDir, 'port');
  const app = path.join(launch.root, 'dist', 'app');
  const host = await startHost({ ...places, app, chromium, onIdle, port: lastPort(file) });
  await writeWhole(file, new TextEncoder().encode(String(host.port))).catch(() => undefined); // only a comfort
  return host;
}
