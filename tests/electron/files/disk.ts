import fs from 'node:fs';
import path from 'node:path';

/** What a disk may hold after a loss of power: files by their path below the folder that is watched. */
export interface AfterLoss {
  /** At which call, and what is assumed to have reached the disk. */
  readonly at: string;
  readonly files: ReadonlyMap<string, Buffer>;
}

const NOTHING = Buffer.alloc(0);

/**
 * A disk that forgets: contents are safe once their file was flushed, names once their folder was; what was not flushed
 * may have reached it all the same, and in any order. After Pillai et al., "All file systems are not created equal: on
 * the complexity of crafting crash-consistent applications", OSDI 2014 (section 2, from memory).
 *
 * It listens to the calls of this process, so it must be made before the code that is judged is loaded.
 */
export function forgetfulDisk(root: string) {
  const flushed = new Map<string, Buffer>();
  const named = new Map<string, string>();
  const losses: AfterLoss[] = [];
  let now = 'begin';
  let listening = true;

  /** A number of an inode alone is used again. */
  const keyOf = ({ ino, birthtimeNs }: fs.BigIntStats) => `${ino}-${birthtimeNs}`;
  function* walk(folder: string): Generator<[name: string, stat: fs.BigIntStats]> {
    for (const name of fs.readdirSync(folder)) {
      const full = path.join(folder, name);
      const stat = fs.lstatSync(full, { bigint: true });
      yield [path.relative(root, full), stat];
      if (stat.isDirectory()) yield* walk(full);
    }
  }
  /** A name counts only where the folders above it have reached the disk too. */
  const reached = (file: string): boolean => {
    const above = path.dirname(file);
    return named.has(file) && (above === '.' || reached(above));
  };
  function look(at: string): void {
    const files = [...walk(root)].filter(([, stat]) => stat.isFile());
    const now = new Map(files.map(([name]) => [name, fs.readFileSync(path.join(root, name))]));
    const kept = new Map(files.map(([name, stat]) => [name, flushed.get(keyOf(stat)) ?? NOTHING]));
    const torn = new Map(
      [...now].map(([name, all]) => {
        const safe = kept.get(name) ?? NOTHING;
        const more = all.subarray(0, safe.length).equals(safe) ? all.length - safe.length : 0;
        return [name, more > 0 ? all.subarray(0, safe.length + Math.floor(more / 2)) : safe];
      }),
    );
    const strict = new Map(
      [...named].filter(([name]) => reached(name)).map(([name, key]) => [name, flushed.get(key)]),
    );
    losses.push(
      { at: `${at}, only what was flushed`, files: withContents(strict) },
      { at: `${at}, names but not contents`, files: kept },
      { at: `${at}, half of what was added`, files: torn },
      { at: `${at}, all of it`, files: now },
    );
  }
  /** A folder has no contents; a file that was never flushed is empty. */
  const withContents = (found: ReadonlyMap<string, Buffer | undefined>) =>
    new Map(
      [...found]
        .filter(([name]) => !fs.statSync(path.join(root, name), { throwIfNoEntry: false })?.isDirectory())
        .map(([name, bytes]) => [name, bytes ?? NOTHING]),
    );
  function flush(fd: number): void {
    const key = keyOf(fs.fstatSync(fd, { bigint: true }));
    for (const [name, stat] of [['.', fs.statSync(root, { bigint: true })] as const, ...walk(root)]) {
      if (keyOf(stat) !== key) continue;
      if (stat.isDirectory()) namesOf(name);
      else flushed.set(key, fs.readFileSync(path.join(root, name)));
    }
  }
  function namesOf(folder: string): void {
    for (const name of named.keys()) if (path.dirname(name) === folder) named.delete(name);
    for (const [name, stat] of walk(root)) if (path.dirname(name) === folder) named.set(name, keyOf(stat));
  }

  type Call = (...args: never[]) => unknown;
  /** Before and after a call that changes what is on the disk. */
  function listen(owner: object, name: string, done?: (self: unknown, args: never[]) => void): void {
    const calls = owner as Record<string, Call>;
    const real = calls[name]!;
    calls[name] = function (this: unknown, ...args: never[]) {
      if (!listening) return real.apply(this, args);
      look(`${now}, before ${name}`);
      const after = () => {
        done?.(this, args);
        look(`${now}, after ${name}`);
      };
      const callback = args.at(-1) as unknown;
      if (typeof callback === 'function')
        return real.apply(this, [
          ...args.slice(0, -1),
          ((error: unknown, ...more: unknown[]) => {
            if (!error) after();
            callback(error, ...more);
          }) as never,
        ]);
      return (real.apply(this, args) as Promise<unknown>).then((answer) => {
        after();
        return answer;
      });
    };
  }
  listen(fs, 'fsync', (_, [fd]) => flush(fd as unknown as number));
  listen(fs, 'rename');
  for (const name of ['rename', 'rm', 'truncate', 'appendFile']) listen(fs.promises, name);

  return {
    /** The handles of `fs.promises` know their own calls. */
    async listenToHandles(): Promise<void> {
      const handle = await fs.promises.open(root, 'r');
      listen(Object.getPrototypeOf(handle), 'sync', (self) => flush((self as fs.promises.FileHandle).fd));
      listen(Object.getPrototypeOf(handle), 'write');
      await handle.close();
    },
    /** What is there now is safe. */
    settle(): void {
      for (const [name, stat] of walk(root)) {
        named.set(name, keyOf(stat));
        if (stat.isFile()) flushed.set(keyOf(stat), fs.readFileSync(path.join(root, name)));
      }
    },
    /** From here on calls are told under this name. */
    tell(what: string): void {
      now = what;
    },
    /** What a loss of power might have left at every call since the last time, this very moment last. */
    losses(): AfterLoss[] {
      look(`${now}, at its end`);
      return losses.splice(0);
    },
    /** Until `go` calls are not listened to. */
    stop(): void {
      listening = false;
    },
    go(): void {
      listening = true;
    },
  };
}
