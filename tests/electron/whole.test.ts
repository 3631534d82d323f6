import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';

const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-whole-'));
const file = path.join(folder, 'week.json');
afterAll(() => rmSync(folder, { recursive: true }));

const files = path.resolve('electron/files/files.ts');
const script = path.join(folder, 'save.mts');
const tsx = import.meta.resolve('tsx');

/** Says "go", then saves texts of one letter over and over, each 30 MB. */
writeFileSync(
  script,
  `import { writeWhole } from ${JSON.stringify(files)};
   process.on('SIGXFSZ', () => {}); // over the limit set below: an error code, as on a full disk, not death
   const [file, size, times] = process.argv.slice(2);
   process.stdout.write('go\\n');
   for (let i = 0; i < Number(times); i++) {
     try {
       await writeWhole(file, new Uint8Array(Number(size)).fill(97 + (i % 2)));
     } catch (error) {
       console.error(error.message);
       process.exit(3);
     }
   }`,
);

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
const untilGo = (child: ChildProcess) =>
  new Promise<void>((resolve) => child.stdout?.once('data', () => resolve()));
const ended = (child: ChildProcess) => new Promise<void>((resolve) => child.once('close', () => resolve()));

test('a save killed at any moment leaves the old file or the new one, whole', async () => {
  const size = 30_000_000;
  const old = 'the old file, whole';
  const neighbours = () => readdirSync(folder).filter((name) => name.startsWith('week.json.'));
  let killedMidWrite = 0;
  for (const wait of [0, 2, 5, 10, 20, 40]) {
    writeFileSync(file, old);
    const child = spawn(process.execPath, ['--import', tsx, script, file, String(size), '1000'], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const end = ended(child);
    await untilGo(child);
    while (neighbours().length === 0) await pause(1);
    await pause(wait);
    child.kill('SIGKILL');
    await end;
    killedMidWrite += neighbours().length;
    for (const name of neighbours()) rmSync(path.join(folder, name));
    const now = readFileSync(file);
    if (now.length !== old.length) {
      expect(now.length).toBe(size);
      expect(now.equals(Buffer.alloc(size, now[0]))).toBe(true);
    } else expect(now.toString()).toBe(old);
  }
  expect(killedMidWrite, 'no kill fell into a write: the test proves nothing').toBeGreaterThan(0);
});

test.skipIf(process.platform === 'win32')(
  'a write that the system cuts short never passes for a whole one',
  () => {
    writeFileSync(file, 'the old file, whole');
    // 1,000 blocks of 1 kB (bash) at most per file: the first write is cut, the next one refused.
    const command = `ulimit -f 1000; exec "$@"`;
    const args = ['--import', tsx, script, file, '5000000', '1'];
    const { status, stderr } = spawnSync('bash', ['-c', command, 'bash', process.execPath, ...args], {
      encoding: 'utf8',
    });
    expect(stderr).toMatch(/week\.json could not be saved/);
    expect(status).toBe(3);
    expect(readFileSync(file, 'utf8')).toBe('the old file, whole');
    expect(existsSync(file)).toBe(true);
  },
);

test.skipIf(process.platform === 'win32')(
  'a file that is protected stays, also in a folder that is not',
  () => {
    writeFileSync(file, 'the master', { mode: 0o444 });
    chmodSync(file, 0o444);
    chmodSync(folder, 0o777);
    const careful = path.join(folder, 'careful.mts');
    // The superuser may write everything.
    writeFileSync(
      careful,
      `import { writeWhole } from ${JSON.stringify(files)};
     if (process.getuid() === 0) process.setuid(65534);
     await writeWhole(process.argv[2], new Uint8Array(5)).catch((error) => console.error(error.message));`,
    );
    const { stderr } = spawnSync(process.execPath, ['--import', tsx, careful, file], { encoding: 'utf8' });
    expect(readFileSync(file, 'utf8')).toBe('the master');
    expect(stderr).toMatch(
      /^week\.json could not be saved: it is protected, or this account may not use it\. /,
    );
  },
);
