import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { ALLOWED, runtimePackages } from '../../electron/package/licences.mjs';

const root = mkdtempSync(path.join(os.tmpdir(), 'bathtide-bare-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
const packed = path.resolve(`dist/packages/bathtide-${version}-linux-x64`);

test('every package that runs or builds the app has a licence that was looked at', () => {
  const packages = runtimePackages();
  expect(packages.length).toBeGreaterThan(50);
  expect(packages.filter(({ license }) => !ALLOWED.has(license))).toEqual([]);
});

/** In the bare folder: starts the app, follows its link, asks as its page would, ends it. */
const CLIENT = `
import { spawn, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import http from 'node:http';
import { networkInterfaces } from 'node:os';
const child = spawn('/bathtide/bathtide', ['--no-open'], { env: { HOME: '/home' }, stdio: ['pipe', 'pipe', 'inherit'] });
let said = '';
for await (const part of child.stdout) { said += part; if (/http:/.test(said)) break; }
const url = new URL(/http:\\S+/.exec(said)[0]);
const landing = await new Promise((resolve) => http.get(url, resolve)); // as a person goes there, not as a page fetches
const cookie = landing.headers['set-cookie'][0].split(';')[0];
let text = '';
for await (const part of landing) text += part;
const key = /#key=([\\w-]+)/.exec(text)[1];
const page = await fetch(new URL('/', url), { headers: { cookie } });
const ask = async (name, body) => (await fetch(new URL('/api/' + name, url), { method: 'POST', headers: { cookie, 'X-Bathtide': key }, body: JSON.stringify(body) })).json();
const initial = await ask('initial', {});
const folders = await ask('folders', {});
child.kill('SIGINT');
const status = await new Promise((resolve) => child.once('exit', resolve));
const run = (...args) => { const { status, stdout, stderr } = spawnSync('/bathtide/bathtide', args, { encoding: 'utf8', env: { HOME: '/home' } }); return { status, stdout, stderr }; };
const file = '/bathtide/app/scenarios/surge-week.json';
const commands = {
  plan: run('plan', file, '--seconds', '20', '--json'),
  capacity: run('capacity', file, '--draws', '40', '--threads', '2', '--compare', '1', '--no-orders', '--json'),
  sweep: run('sweep', file, '--variants', 'none', '--draws', '40', '--threads', '1', '--json'),
  worker: run('worker', '--broker', 'redis://127.0.0.1:1', '--threads', '1'),
  missing: run('plan', '/nowhere.json'),
};
console.log(JSON.stringify({
  commands,
  page: (await page.text()).includes('<script'), name: initial.value.name, format: JSON.parse(initial.value.text).format,
  examples: folders.value.at(-1).files.length, status,
  tools: ['/usr/bin/node', '/usr/bin/npm', '/bin/ls'].filter((one) => existsSync(one)),
  networks: Object.keys(networkInterfaces()),
}));
`;

test('the Linux package runs in a bare folder: no Node, no npm, no tools, no network', {
  timeout: 400_000,
}, (context) => {
  if (process.platform !== 'linux' || process.arch !== 'x64') return context.skip('not run: for Linux x64');
  if (process.getuid?.() !== 0) return context.skip('not run: a bare root folder needs root');
  if (spawnSync('unshare', ['-n', 'true']).status !== 0)
    return context.skip('not run: no network namespaces here');
  const made = spawnSync(process.execPath, ['electron/package/make.mjs', '--target', 'linux-x64'], {
    encoding: 'utf8',
  });
  if (/could not be fetched/.test(made.stderr))
    return context.skip('not run: no registry to fetch Node from');
  expect([made.status, made.stderr]).toEqual([0, '']);

  // The archive is whole, and says what is in it.
  const archive = `${packed}.tar.gz`;
  const sum = (file: string) => createHash('sha256').update(readFileSync(file)).digest('hex');
  expect(readFileSync(`${archive}.sha256`, 'utf8')).toBe(`${sum(archive)}  ${path.basename(archive)}\n`);
  const bare = path.join(root, 'bathtide');
  expect(spawnSync('tar', ['-xzf', archive, '-C', root]).status).toBe(0);
  cpSync(path.join(root, path.basename(packed)), bare, { recursive: true });
  const sums = readFileSync(path.join(bare, 'SHA256SUMS'), 'utf8').trim().split('\n');
  expect(sums.length).toBeGreaterThan(20);
  for (const line of sums) {
    const [expected = '', name = ''] = line.split('  ');
    expect([name, sum(path.join(bare, name))]).toEqual([name, expected]);
  }
  const bom = JSON.parse(readFileSync(path.join(bare, 'sbom.cdx.json'), 'utf8'));
  expect(bom).toMatchObject({ bomFormat: 'CycloneDX', specVersion: '1.5' });
  const names = bom.components.map((one: { name: string }) => one.name);
  for (const name of ['node', 'react', 'ag-grid-community', 'highs', 'zod']) expect(names).toContain(name);
  const licences = readFileSync(path.join(bare, 'LICENCES.txt'), 'utf8');
  for (const { name, version } of runtimePackages()) expect(licences).toContain(`${name} ${version}`);

  // Only what every such Linux has: a shell, and the C and C++ libraries that Node is linked with.
  const libraries = [path.join(bare, 'node'), '/bin/sh'].flatMap((file) =>
    [...spawnSync('ldd', [file], { encoding: 'utf8' }).stdout.matchAll(/(\/\S+\.so[^\s]*)/g)].map(
      (one) => one[1]!,
    ),
  );
  for (const file of ['/bin/sh', ...libraries]) {
    mkdirSync(path.join(root, path.dirname(file)), { recursive: true });
    if (!existsSync(path.join(root, file))) copyFileSync(file, path.join(root, file));
  }
  for (const folder of ['home', 'tmp', 'dev']) mkdirSync(path.join(root, folder), { recursive: true });
  writeFileSync(path.join(root, 'client.mjs'), CLIENT);
  const inside = `ip link set lo up && exec chroot '${root}' /bathtide/node /client.mjs`;
  const { stdout, stderr } = spawnSync('unshare', ['-n', 'sh', '-c', inside], {
    encoding: 'utf8',
    timeout: 200_000,
  });
  const told = JSON.parse(stdout || `{"stderr":${JSON.stringify(stderr)}}`);
  expect(told).toEqual({
    commands: expect.anything(),
    page: true,
    name: 'surge-week.json',
    format: 'bathtide-scenario',
    examples: expect.any(Number),
    status: 0,
    tools: [],
    networks: ['lo'],
  });
  const { plan, capacity, sweep, worker, missing } = told.commands;
  expect([plan.status, capacity.status, sweep.status]).toEqual([0, 0, 0]);
  const planned = JSON.parse(plan.stdout);
  expect(planned.verdict).toMatchObject({ ok: true, violations: [] });
  expect(planned.activities.length).toBeGreaterThan(20);
  // The second search and the solver ran on threads of their own, each from its file in the package.
  expect(planned.remarks.join(' ')).not.toMatch(/second search|failed|thread/);
  expect(planned.bound.handsOnMinutes).toBeGreaterThan(0);
  expect(JSON.parse(capacity.stdout)).toMatchObject({ format: 'bathtide-capacity', draws: 40 });
  expect(JSON.parse(sweep.stdout).results).toMatchObject([{ file: 'surge-week.json', draws: 40 }]);
  expect([worker.status, worker.stderr]).toEqual([
    2,
    expect.stringMatching(/^The broker at redis:.* does not answer/),
  ]);
  expect([missing.status, missing.stdout]).toEqual([2, '']);
  expect(missing.stderr).toMatch(/no such file/);
});

test('the list of parts and the configuration of Electron’s builder are valid by their published schemas', (context) => {
  const sbom = path.join(packed, 'sbom.cdx.json');
  if (!existsSync(sbom)) return context.skip('not run: no package was made');
  const { status, stdout, stderr } = spawnSync(process.execPath, ['electron/package/validate.mjs', sbom], {
    encoding: 'utf8',
  });
  if (/could not be fetched/.test(stderr)) return context.skip('not run: no registry to fetch schemas from');
  expect([status, stderr]).toEqual([0, '']);
  expect(stdout).toMatch(/^Valid: \d+ parts, packaging\.json\.$/m);
});
