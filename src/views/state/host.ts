import type { Bridge } from '../../bridge.ts';

declare global {
  interface Window {
    /** Put there by Electron's preload. */
    readonly bathtide?: Bridge;
  }
}

/** Only under `vite` (development): files live in memory and downloads. */
async function memoryHost(): Promise<Bridge> {
  const { devBridge } = await import('./hostMemory.ts');
  return devBridge;
}

const browserHosts = import.meta.glob<{ bridge: Bridge }>('./hostBrowser.ts');

/** The host this page runs under: Electron's preload, else the local host behind the browser. */
export async function connect(): Promise<Bridge> {
  if (window.bathtide) return window.bathtide;
  if (import.meta.env.DEV) return memoryHost();
  const load = browserHosts['./hostBrowser.ts'];
  if (!load) throw new Error('No host: start the app with npm start.');
  return (await load()).bridge;
}
