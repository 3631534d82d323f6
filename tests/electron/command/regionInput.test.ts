import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { loadRegion } from '../../../electron/command/regionInput.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-region-'));
afterAll(() => rmSync(folder, { recursive: true }));

test.each(['{"format":\nbathtide', '{"format":\u001b[31m', '', '[\r\n'])(
  '%j: its fault is one line',
  (text) => {
    const file = path.join(folder, 'region.json');
    writeFileSync(file, text);
    let said = '';
    try {
      loadRegion(file, ['A.json', 'B.json']);
    } catch (error) {
      said = (error as Error).message;
    }
    expect(said).toMatch(/region\.json: cannot be read \(.*\)\. Expected: /);
    expect(said).not.toMatch(/\p{C}/u);
  },
);
