// node electron/package/validate.mjs [SBOM.json]: judges the list of parts by the published schema of CycloneDX, and
// packaging.json by that of electron-builder. Both schemas, and what reads them, come from the registry, pinned.
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { ROOT, run } from '../setup.mjs';

const PINNED = [
  'ajv@8.17.1',
  'ajv-formats@3.0.1',
  '@cyclonedx/cyclonedx-library@10.3.0', // brings schemas as published by OWASP CycloneDX
];
/** Its schema alone is wanted, not the hundreds of packages that it needs for building. */
const BUILDER = 'app-builder-lib-26.17.0.tgz';
const FOLDER = path.join(ROOT, 'dist', 'packages', 'cache', 'schemas');
const npm = process.env.npm_execpath
  ? [process.execPath, process.env.npm_execpath]
  : [process.platform === 'win32' ? 'npm.cmd' : 'npm'];

async function fetched(args, what) {
  const { status, text } = await run(npm[0], [...npm.slice(1), ...args]);
  if (status !== 0) throw new Error(`${what} could not be fetched:\n${text.trim()}`);
}

async function fetchAll() {
  mkdirSync(FOLDER, { recursive: true });
  const quiet = [
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    '--no-save',
    '--save-exact',
    '--loglevel=error',
  ];
  if (!existsSync(path.join(FOLDER, 'node_modules', 'ajv-formats')))
    await fetched(['install', '--prefix', FOLDER, ...quiet, ...PINNED], 'The schemas');
  if (existsSync(path.join(FOLDER, BUILDER))) return;
  const version = BUILDER.replace(/^(.*)-([\d.]+)\.tgz$/, '$1@$2');
  await fetched(
    ['pack', version, '--silent', '--pack-destination', FOLDER],
    'The schema of electron-builder',
  );
  const { status, text } = await run('tar', [
    '-xzf',
    path.join(FOLDER, BUILDER),
    '-C',
    FOLDER,
    'package/scheme.json',
  ]);
  if (status !== 0) throw new Error(`The schema of electron-builder could not be unpacked:\n${text.trim()}`);
}

const json = (...parts) => JSON.parse(readFileSync(path.join(...parts), 'utf8'));

/** Judges what a tool made: lines that say where and what; none where it is valid. */
function judges() {
  const require = createRequire(path.join(FOLDER, 'node_modules', 'x'));
  const Ajv = require('ajv').default;
  const fresh = () => {
    const ajv = new Ajv({ strict: false, allErrors: true, logger: false });
    require('ajv-formats').default(ajv);
    return ajv;
  };
  const schemas = path.join(FOLDER, 'node_modules', '@cyclonedx', 'cyclonedx-library', 'res', 'schema');
  const ajv = fresh();
  for (const name of ['spdx.SNAPSHOT.schema.json', 'jsf-0.82.SNAPSHOT.schema.json']) {
    const { $id, ...schema } = json(schemas, name); // the others name it by its file
    ajv.addSchema(schema, `http://cyclonedx.org/schema/${name}`);
  }
  const judge = (validate) => (value) =>
    validate(value) ? [] : validate.errors.map((one) => `${one.instancePath || '/'} ${one.message}`);
  return {
    sbom: judge(ajv.compile(json(schemas, 'bom-1.5.SNAPSHOT.schema.json'))),
    packaging: judge(fresh().compile(json(FOLDER, 'package', 'scheme.json'))),
  };
}

try {
  await fetchAll();
  const { sbom, packaging } = judges();
  const { version } = json(ROOT, 'package.json');
  const file =
    process.argv[2] ?? path.join(ROOT, 'dist', 'packages', `bathtide-${version}-linux-x64`, 'sbom.cdx.json');
  const parts = json(file);
  const config = json(ROOT, 'electron', 'package', 'packaging.json');
  // A schema that takes everything would judge nothing.
  const nameless = { ...parts, components: [{ type: 'library' }] };
  const slip = { ...config, electronFuses: { ...config.electronFuses, runAsNod: true } };
  const faults = [
    ...sbom(parts).map((fault) => `${file}: ${fault}`),
    ...packaging(config).map((fault) => `packaging.json: ${fault}`),
    ...(sbom(nameless).length === 0 ? ['a part without a name was not refused'] : []),
    ...(packaging(slip).length === 0 ? ['a fuse that does not exist was not refused'] : []),
  ];
  for (const fault of faults) console.error(fault);
  if (faults.length === 0) console.log(`Valid: ${parts.components.length} parts, packaging.json.`);
  process.exitCode = faults.length === 0 ? 0 : 1;
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 2;
}
