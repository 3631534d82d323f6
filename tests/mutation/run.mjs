// npm run mutants [-- --on] [ROOM ...] [FILE ...]: changes the code of a room in small ways and asks whether its tests
// notice. Every room of rooms.json without a name; of one room also some of its files alone, as src/audit/claims.ts. With
// --on, only what has changed since the last run is judged anew.
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { readTable, tableOf } from './table.mjs';

const HERE = import.meta.dirname;
const ROOT = path.join(HERE, '..', '..');
const PACKAGES = path.join(ROOT, 'dist', 'mutation', 'packages');
const TABLE = path.join(HERE, 'SURVIVORS.md');
const ROOMS = JSON.parse(readFileSync(path.join(HERE, 'rooms.json'), 'utf8'));

/** Its packages lie apart: nobody who only builds or tests the app waits for them. */
function install() {
  mkdirSync(PACKAGES, { recursive: true });
  const lock = path.join(HERE, 'packages', 'package-lock.json');
  const had = path.join(PACKAGES, 'package-lock.json');
  const same = existsSync(had) && readFileSync(had, 'utf8') === readFileSync(lock, 'utf8');
  if (same && existsSync(path.join(PACKAGES, 'node_modules', '.package-lock.json'))) return;
  cpSync(path.join(HERE, 'packages'), PACKAGES, { recursive: true });
  const { status } = spawnSync('npm', ['ci', '--no-audit', '--no-fund'], { cwd: PACKAGES, stdio: 'inherit' });
  if (status !== 0) throw new Error('The packages of the mutation tests could not be installed.');
}

const on = process.argv.includes('--on');
const words = process.argv.slice(2).filter((word) => word !== '--on');
const pieces = words.filter((word) => word.endsWith('.ts'));
const rooms = words.filter((word) => !word.endsWith('.ts'));
const unknown = rooms.filter((room) => !Object.hasOwn(ROOMS, room));
if (unknown.length > 0 || (pieces.length > 0 && rooms.length !== 1)) {
  console.error(
    `No room ${unknown.join(', ')}. Expected: ${Object.keys(ROOMS).join(', ')}; files after one room.`,
  );
  process.exit(2);
}
install();
const stryker = path.join(PACKAGES, 'node_modules', '@stryker-mutator', 'core', 'bin', 'stryker.js');
let low = false;
for (const room of rooms.length > 0 ? rooms : Object.keys(ROOMS)) {
  const { status } = spawnSync(process.execPath, [stryker, 'run', 'tests/mutation/stryker.config.mjs'], {
    cwd: ROOT,
    stdio: 'inherit',
    env: { ...process.env, ROOM: room, ON: on ? '1' : '', MUTATE: pieces.join(',') },
  });
  low ||= status !== 0;
  const report = path.join(ROOT, 'dist', 'mutation', `${room}.json`);
  if (!existsSync(report)) continue;
  const { files } = JSON.parse(readFileSync(report, 'utf8'));
  const table = readTable(readFileSync(TABLE, 'utf8'));
  const date = new Date().toISOString().slice(0, 10);
  writeFileSync(TABLE, tableOf(table, room, { files, date }));
  const biome = path.join(ROOT, 'node_modules', '@biomejs', 'biome', 'bin', 'biome');
  spawnSync(process.execPath, [biome, 'format', '--write', TABLE], { cwd: ROOT, stdio: 'inherit' });
}
process.exit(low ? 1 : 0);
