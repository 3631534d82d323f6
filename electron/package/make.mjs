// npm run package [-- --target linux-x64]...: a folder and an archive that run without npm, build, install or network.
import { createHash } from 'node:crypto';
import {
  chmodSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { ensureApp, ensureCommands, ensureInstalled, ensureShell, ROOT, run } from '../setup.mjs';
import { closureOf, licencesText, runtimePackages } from './licences.mjs';
import { BESIDE } from './parts.mjs';

const OUT = path.join(ROOT, 'dist', 'packages');
const CACHE = path.join(OUT, 'cache');
const NODES = JSON.parse(readFileSync(path.join(ROOT, 'electron', 'package', 'node.json'), 'utf8'));
const say = (text) => console.log(text);
const npm = process.env.npm_execpath
  ? [process.execPath, process.env.npm_execpath]
  : [process.platform === 'win32' ? 'npm.cmd' : 'npm'];

async function must(command, args, what) {
  const { status, text } = await run(command, args);
  if (status !== 0) throw new Error(`${what}:\n${text.trim()}`);
  return text;
}

/** Node for a target, from the registry, once; its bytes are those whose digest is pinned in node.json. */
async function fetchNode(target) {
  const { name, version, binary, integrity } = NODES[target];
  const archive = path.join(CACHE, `${name}-${version}.tgz`);
  mkdirSync(CACHE, { recursive: true });
  if (!existsSync(archive)) {
    say(`Fetching ${name} ${version} ...`);
    const args = [...npm.slice(1), 'pack', `${name}@${version}`, '--silent', '--pack-destination', CACHE];
    await must(npm[0], args, `Node for ${target} could not be fetched`);
  }
  const sum = `sha512-${createHash('sha512').update(readFileSync(archive)).digest('base64')}`;
  if (sum !== integrity) {
    rmSync(archive);
    throw new Error(`${name} ${version} is not the one that is pinned: ${sum}, not ${integrity}`);
  }
  const folder = path.join(CACHE, `${name}-${version}`);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  const parts = [`package/${binary}`, 'package/LICENSE'];
  await must('tar', ['-xzf', archive, '-C', folder, ...parts], `${archive} could not be unpacked`);
  return { binary: path.join(folder, 'package', binary), licence: path.join(folder, 'package', 'LICENSE') };
}

const SHELL = `#!/bin/sh
# Starts Bathtide from the folder that this file lies in.
case $0 in */*) here=\${0%/*} ;; *) here=. ;; esac
exec "$here/node" "$here/app/electron/package/bathtide.mjs" "$@"
`;
const BATCH = '@echo off\r\n"%~dp0node.exe" "%~dp0app\\electron\\package\\bathtide.mjs" %*\r\n';

/** CycloneDX, from npm itself; the packed Node added. */
async function sbom(target) {
  const args = ['sbom', '--omit=dev', '--sbom-format=cyclonedx', '--package-lock-only'];
  const bom = JSON.parse(await must(npm[0], [...npm.slice(1), ...args], 'The SBOM could not be made'));
  const { name, version } = NODES[target];
  bom.components.push({
    type: 'application',
    'bom-ref': `node@${version}`,
    name: 'node',
    version,
    purl: `pkg:npm/${name}@${version}`,
    licenses: [{ license: { id: 'MIT' } }],
  });
  return `${JSON.stringify(bom, null, 2)}\n`;
}

function* filesOf(folder, within = '') {
  for (const entry of readdirSync(path.join(folder, within), { withFileTypes: true })) {
    const name = within === '' ? entry.name : `${within}/${entry.name}`;
    if (entry.isDirectory()) yield* filesOf(folder, name);
    else yield name;
  }
}
const sumOf = (file) => createHash('sha256').update(readFileSync(file)).digest('hex');

async function pack(target, version) {
  const node = await fetchNode(target);
  const name = `bathtide-${version}-${target}`;
  const folder = path.join(OUT, name);
  rmSync(folder, { recursive: true, force: true });
  const app = path.join(folder, 'app');
  for (const part of [
    'dist/app',
    'dist/commands',
    'dist/electron/hostMain.mjs',
    'electron/local/begin.mjs',
    'electron/local/browsers.mjs',
    'electron/package/bathtide.mjs',
    'electron/package/parts.mjs',
    'scenarios',
    'package.json',
    ...closureOf(BESIDE),
  ])
    cpSync(path.join(ROOT, part), path.join(app, part), { recursive: true, dereference: true });
  const windows = target.startsWith('win');
  copyFileSync(node.binary, path.join(folder, windows ? 'node.exe' : 'node'));
  writeFileSync(path.join(folder, windows ? 'bathtide.cmd' : 'bathtide'), windows ? BATCH : SHELL);
  if (!windows) for (const one of ['node', 'bathtide']) chmodSync(path.join(folder, one), 0o755);
  writeFileSync(path.join(folder, 'LICENCES.txt'), licencesText(readFileSync(node.licence, 'utf8')));
  writeFileSync(path.join(folder, 'sbom.cdx.json'), await sbom(target));
  for (const page of ['README.md', 'electron/package/IT.md'])
    copyFileSync(path.join(ROOT, page), path.join(folder, path.basename(page)));
  writeFileSync(path.join(folder, 'VERSION'), `${version}\n`);
  const sums = [...filesOf(folder)].sort().map((file) => `${sumOf(path.join(folder, file))}  ${file}\n`);
  writeFileSync(path.join(folder, 'SHA256SUMS'), sums.join(''));
  const archive = path.join(OUT, `${name}.tar.gz`);
  await must('tar', ['-czf', archive, '-C', OUT, name], 'The archive could not be written');
  writeFileSync(`${archive}.sha256`, `${sumOf(archive)}  ${path.basename(archive)}\n`);
  say(`${path.relative(ROOT, archive)}  ${sumOf(archive)}`);
}

const { values } = parseArgs({ options: { target: { type: 'string', multiple: true } } });
const targets = values.target ?? Object.keys(NODES);
const unknown = targets.filter((one) => !NODES[one]);
if (unknown.length > 0) {
  console.error(`No target ${unknown.join(', ')}. Expected: ${Object.keys(NODES).join(', ')}`);
  process.exit(2);
}
await ensureInstalled(say);
await ensureApp(say);
await ensureShell(say);
await ensureCommands(say);
const { version } = JSON.parse(readFileSync(path.join(ROOT, 'package.json'), 'utf8'));
say(`${runtimePackages().length} packages of others at run time`);
for (const target of targets) await pack(target, version);
