import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readJournal } from '../../../src/record/journal.ts';

const ROOT = path.resolve(import.meta.dirname, '../../..');

/** Notes in a process of its own and kills it at some moment; the numbers that it had confirmed by then. */
function killedAfter(folder: string, milliseconds: number): Promise<number[]> {
  return new Promise((resolve, reject) => {
    const script = path.join(import.meta.dirname, 'noting.ts');
    const child = spawn(process.execPath, ['--import', 'tsx', script, folder], {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let told = '';
    child.stdout.once('data', () => setTimeout(() => child.kill('SIGKILL'), milliseconds));
    child.stdout.on('data', (bytes) => {
      told += bytes;
    });
    child.on('error', reject);
    child.on('close', () => resolve(told.split('\n').slice(0, -1).map(Number)));
  });
}

test('killed at 200 random moments while noting: every entry that was confirmed is there', async () => {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-kill-'));
  let confirmed = 0;
  let moment = 12_345;
  try {
    for (let n = 0; n < 200; n++) {
      moment = (moment * 1_103_515_245 + 12_345) % 2 ** 31; // the same moments each time
      const numbers = await killedAfter(folder, moment % 120);
      expect(numbers.length).toBeGreaterThan(0);
      confirmed = numbers.at(-1)!;
      const journal = readJournal('tablet.jsonl', readFileSync(path.join(folder, 'tablet.jsonl'), 'utf8'));
      expect(journal.faults.filter(({ kind }) => kind !== 'cut off')).toEqual([]);
      expect(journal.noted.length).toBeGreaterThanOrEqual(confirmed);
      expect(journal.noted.map(({ entry }) => entry.n)).toEqual(journal.noted.map((_, index) => index + 1));
    }
    console.log(`200 kills, ${confirmed} entries confirmed`);
  } finally {
    rmSync(folder, { recursive: true });
  }
}, 900_000);
