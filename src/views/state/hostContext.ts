import { createContext, useContext } from 'react';
import type { Bridge } from '../../bridge.ts';
import type { Notice } from './session.ts';

export interface Host {
  readonly bridge: Bridge;
  /** Asks where and writes; says so when it cannot. */
  saveExport(name: string, bytes: Uint8Array): void;
  /** Says something in the notice line, e.g. why a file cannot be opened. */
  say(notice: Notice | null): void;
}
export const HostContext = createContext<Host | null>(null);

/** @throws Error outside of the app. */
export function useHost(): Host {
  const host = useContext(HostContext);
  if (!host) throw new Error('no host around this part of the app');
  return host;
}
