// npm test, and with --quick npm run check: everything but the slow tests (*.slow.test.ts, tests/browser).
import path from 'node:path';
import { ensureApp, ensureInstalled, ensureShell, ROOT, run } from '../electron/setup.mjs';
import { judge } from './tally.mjs';

const quick = process.argv.includes('--quick');
const say = (text) => console.log(text);
const total = { passed: 0, failed: 0, skipped: 0 };
/** why -> names of what was skipped for it */
const skips = new Map();

const tool = (...parts) => path.join(ROOT, 'node_modules', ...parts);
const typescript = (config) => [tool('typescript', 'bin', 'tsc'), '-p', config];

async function check(name, act) {
  const from = performance.now();
  let fault = '';
  try {
    fault = await act();
  } catch (error) {
    fault = error instanceof Error ? (error.stack ?? error.message) : String(error);
  }
  total[fault === '' ? 'passed' : 'failed'] += 1;
  say(`${fault === '' ? 'ok    ' : 'FAILED'} ${name} (${((performance.now() - from) / 1000).toFixed(1)} s)`);
  if (fault !== '') say(fault);
}
/** Run a tool of node_modules; what it printed when it failed. */
const command = (args) => async () => {
  const { status, text } = await run(process.execPath, args);
  return status === 0 ? '' : text.trim() || `ended with status ${status}`;
};

async function tests() {
  const { startVitest } = await import('vitest/node');
  const exclude = quick ? ['**/*.slow.test.{ts,tsx}', 'tests/browser/**'] : [];
  const vitest = await startVitest('test', [], { root: ROOT, watch: false, cliExclude: exclude });
  let ran = 0;
  for (const module of vitest.state.getTestModules()) {
    const file = path.relative(ROOT, module.moduleId);
    // A file that cannot even be read holds no test that could fail.
    if (module.errors().length > 0) total.failed += 1;
    for (const test of module.children.allTests()) {
      const { outcome, why } = judge({ ...test.result(), fullName: test.fullName });
      total[outcome] += 1;
      if (outcome === 'passed') ran += 1;
      else if (outcome === 'skipped') skips.set(why, [...(skips.get(why) ?? []), file]);
      else if (why) say(`FAILED ${file} > ${test.fullName}: ${why}`);
    }
  }
  const stray = vitest.state.getUnhandledErrors().length;
  total.failed += stray;
  if (stray > 0) say(`FAILED ${stray} errors outside any test, see above`);
  await vitest.close();
  if (ran === 0) {
    total.failed += 1;
    say('FAILED no test ran');
  }
}

await ensureInstalled(say, { dev: true });
await check(
  'format and lint',
  command([tool('@biomejs', 'biome', 'bin', 'biome'), 'check', '--error-on-warnings']),
);
await check('types: core', command(typescript('src/tsconfig.json')));
await check('types: core, electron, tests', command(typescript('tsconfig.json')));
await check('types: views', command(typescript('src/views/tsconfig.json')));
await check('types: browser tests', command(typescript('tests/browser/tsconfig.json')));
await check('build', async () => {
  await ensureApp(() => {});
  await ensureShell(() => {});
  return '';
});
await tests();

for (const [why, files] of skips) {
  say(`skipped ${files.length}: ${why}`);
  for (const file of new Set(files)) say(`  ${file}`);
}
say(`${total.passed} passed, ${total.failed} failed, ${total.skipped} skipped`);
process.exit(total.failed === 0 ? 0 : 1);
