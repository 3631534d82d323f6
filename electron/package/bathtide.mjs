// The packed app: its own Node runs this; nothing is installed, built or fetched.
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { readArguments, startBrowser } from '../local/begin.mjs';

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '..', '..');
try {
  await startBrowser(root, readArguments('bathtide'), 'packed');
} catch (error) {
  console.error(`Bathtide could not start. ${error instanceof Error ? error.message : error}`);
  process.exit(1);
}
