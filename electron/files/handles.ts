import { randomUUID } from 'node:crypto';
import { promises as fs } from 'node:fs';
import path from 'node:path';
import type { FileRef } from '../../src/bridge.ts';
import { HostError } from './files.ts';

export interface Known {
  /** as the user named it */
  readonly file: string;
  readonly readOnly: boolean;
  /** where it led, links followed, when it became known; null: it was not there yet */
  real: string | null;
  /** Keeps what a page was given, so that its edits can be merged with what others save meanwhile. */
  remember(content: Content): void;
  /** What was given under this digest, or null. */
  read(digest: string): string | null;
  /** page -> digest of what it saved last: a second save of a page that has not heard of its first is no conflict */
  readonly savedBy: Map<string, string>;
}
interface Content {
  readonly text: string;
  readonly digest: string;
}
/** So many contents of a file are remembered. */
const CONTENTS = 8;

function know(file: string, readOnly: boolean, real: string | null): Known {
  const given = new Map<string, string>();
  return {
    file,
    readOnly,
    real,
    savedBy: new Map(),
    remember({ text, digest }) {
      given.delete(digest);
      given.set(digest, text);
      const [oldest] = given.keys();
      if (given.size > CONTENTS && oldest) given.delete(oldest);
    },
    read: (digest) => given.get(digest) ?? null,
  };
}

const realOf = (file: string) => fs.realpath(file).catch(() => null);

/** Opaque handles for files that the user chose, or that lie in a folder listed here: all that a page ever holds. */
export function createHandles() {
  const known = new Map<string, Known>();
  return {
    async refer(file: string, readOnly: boolean): Promise<FileRef> {
      const full = path.resolve(file);
      let handle = [...known].find(([, one]) => one.file === full && one.readOnly === readOnly)?.[0];
      if (!handle) {
        const real = await realOf(full);
        handle = randomUUID();
        known.set(handle, know(full, readOnly, real));
      }
      return { handle, name: path.basename(full), ...(readOnly ? { readOnly } : {}) };
    },
    lookUp(handle: string): Known {
      const one = known.get(handle);
      if (!one) throw new HostError('That file is not open here any more. Open it again.');
      return one;
    },
    /**
     * Where a handle's file really lies.
     * @throws HostError when its name leads elsewhere than it did: somebody has put a link in its place
     */
    async placeOf({ file, real }: Known): Promise<string> {
      const now = await realOf(file);
      if (now !== null && real !== null && now !== real) {
        throw new HostError(
          `${path.basename(file)} now leads to another file than the one that was opened. Nothing was read or written. Open the right file again.`,
        );
      }
      return real ?? file;
    },
    /** After a write the name stands for what was written. */
    async settle(handle: string): Promise<void> {
      const one = known.get(handle);
      if (one) one.real = await realOf(one.file);
    },
  };
}
export type Handles = ReturnType<typeof createHandles>;
