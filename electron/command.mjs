// Plain Node without packages: makes sure that they are there, then runs electron/command/<name>.ts with the arguments.
import { spawn } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { ensureInstalled, ROOT, whenOrphaned } from './setup.mjs';

const COMMANDS = ['plan', 'capacity', 'sweep', 'worker', 'bench'];

const [name = '', ...args] = process.argv.slice(2);
const script = path.join(ROOT, 'electron', 'command', `${name}.ts`);
// Standard output belongs to the command alone: what is said here goes to standard error.
const say = (text) => process.stderr.write(`${text}\n`);

if (!COMMANDS.includes(name)) {
  say(
    `No command "${name}". Expected: ${COMMANDS.join(', ')}, e.g. npm run --silent plan -- scenarios/surge-week.json`,
  );
  process.exit(2);
}
try {
  await ensureInstalled(say);
} catch (error) {
  say(error instanceof Error ? error.message : String(error));
  process.exit(1);
}

// npm runs scripts in the project's folder; files are named from where the person stands.
const standsIn =
  process.env.npm_lifecycle_event === name && process.env.INIT_CWD ? process.env.INIT_CWD : process.cwd();
// --import and not a programmatic loader: threads that a command starts then read TypeScript too.
const child = spawn(process.execPath, ['--import', import.meta.resolve('tsx'), script, ...args], {
  cwd: standsIn,
  stdio: 'inherit',
  env: { ...process.env, TSX_TSCONFIG_PATH: path.join(ROOT, 'tsconfig.json') },
});
// A terminal sends Ctrl+C to both; a plain kill reaches only this process and is passed on.
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal));
whenOrphaned(() => child.kill('SIGTERM'));
child.once('error', (error) => {
  say(`${fileURLToPath(import.meta.url)}: ${error.message}`);
  process.exit(1);
});
child.once('exit', (status, signal) => {
  if (!signal) process.exit(status ?? 1);
  process.removeAllListeners(signal);
  process.kill(process.pid, signal);
});
