import { readFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { writeWhole } from '../files/files.ts';
import { beginningWith, halfWritten, sweep } from '../files/leftovers.ts';
import { type Launch, placesOf } from '../files/places.ts';
import { HANDOVER_PREFIX, type Handover, handover } from './handover.ts';
import { startHost } from './host.ts';
import { PRINT_PREFIX } from './print.ts';

/** The port of the last start, or 0 (any): a browser keeps column widths, ticks and the like by address. */
function lastPort(file: string): number {
  try {
    const port = Number(readFileSync(file, 'utf8'));
    return Number.isInteger(port) && port >= 1024 && port <= 65_535 ? port : 0;
  } catch {
    return 0;
  }
}

export interface Local {
  /** For printing where only the user reads. */
  readonly url: string;
  /** For handing to a browser as an argument: a page that only the user can read. */
  pageToOpen(): Promise<string>;
  close(): Promise<void>;
}

/** The local host over the places of this computer: what `npm start` runs where Electron is not at hand. */
export async function startLocal(
  launch: Launch & { chromium: string | null; onIdle: () => void },
): Promise<Local> {
  const { chromium, onIdle } = launch;
  const places = placesOf(launch);
  const { configDir } = places;
  const ours = [
    ...[configDir, ...places.folders].map(halfWritten),
    beginningWith(configDir, HANDOVER_PREFIX),
    beginningWith(os.tmpdir(), PRINT_PREFIX),
  ];
  await sweep(ours, Date.now());
  const file = path.join(configDir, 'port');
  const app = path.join(launch.root, 'dist', 'app');
  let given: Handover | null = null;
  const onVisit = () => {
    given?.end();
    given = null;
  };
  const host = await startHost({ ...places, app, chromium, onIdle, onVisit, port: lastPort(file) });
  await writeWhole(file, new TextEncoder().encode(String(host.port))).catch(() => undefined); // only a comfort
  return {
    url: host.url,
    async pageToOpen() {
      given = await handover(configDir, host.onceUrl());
      return given.address;
    },
    close() {
      given?.end();
      return host.close();
    },
  };
}
