// The packed app: its own Node runs this; nothing is installed, built or fetched.
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { readArguments, startBrowser } from '../local/begin.mjs';
import { COMMANDS } from './parts.mjs';

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..', '..');
const [name = '', ...rest] = process.argv.slice(2);
if (COMMANDS.includes(name)) {
  const script = path.join(root, 'dist', 'commands', `${name}.mjs`);
  // As if it had been started itself; it says by its own exit status how it went.
  process.argv = [process.argv[0], script, ...rest];
  await import(pathToFileURL(script).href);
} else {
  try {
    const how = `bathtide ${COMMANDS.join('|')} ..., or bathtide`;
    await startBrowser(root, readArguments(how), 'packed');
  } catch (error) {
    console.error(`Bathtide could not start. ${error instanceof Error ? error.message : error}`);
    process.exit(1);
  }
}
