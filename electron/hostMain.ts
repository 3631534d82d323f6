import path from 'node:path';
import { type LocalHost, startHost } from './host.ts';
import { type Launch, placesOf } from './places.ts';

/** The local host over the places of this computer: what `npm start` runs where Electron is not at hand. */
export function startLocal(
  launch: Launch & { chromium: string | null; onIdle: () => void },
): Promise<LocalHost> {
  const { chromium, onIdle } = launch;
  return startHost({ ...placesOf(launch), app: path.join(launch.root, 'dist', 'app'), chromium, onIdle });
}
