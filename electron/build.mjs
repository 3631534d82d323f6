// node electron/build.mjs app|electron|commands OUTDIR, called by setup.mjs where something is stale.
import path from 'node:path';
import { build } from 'vite';
import { BESIDE, COMMANDS } from './package/parts.mjs';
import { ROOT } from './setup.mjs';

const [what, outDir] = process.argv.slice(2);

if (what === 'app') {
  await build({ configFile: path.join(ROOT, 'vite.config.ts'), logLevel: 'error', build: { outDir } });
} else if (what === 'commands') {
  // Names as the source asks for them beside itself: `new URL('./thread.mjs', import.meta.url)`.
  const input = {
    ...Object.fromEntries(COMMANDS.map((name) => [name, `electron/command/${name}.ts`])),
    thread: 'electron/threads/thread.ts',
    rivalThread: 'electron/threads/rivalAnswer.ts',
    boundsThread: 'electron/threads/boundsAnswer.ts',
  };
  const file = '[name].mjs';
  await build({
    configFile: false,
    root: ROOT,
    logLevel: 'error',
    ssr: { noExternal: true, external: BESIDE },
    build: {
      ssr: true,
      outDir,
      target: 'node20',
      minify: false,
      rolldownOptions: { input, output: { format: 'es', entryFileNames: file, chunkFileNames: file } },
    },
  });
} else {
  const entries = [
    ['desktop/main', 'cjs', 'cjs'],
    ['desktop/preload', 'cjs', 'cjs'], // a sandboxed preload must be CommonJS, in one file
    ['local/hostMain', 'es', 'mjs'],
  ];
  for (const [entry, format, ending] of entries) {
    await build({
      configFile: false,
      root: ROOT,
      logLevel: 'error',
      ssr: { noExternal: true, external: ['electron'] },
      build: {
        ssr: `electron/${entry}.ts`,
        outDir,
        emptyOutDir: false,
        target: 'node20',
        minify: false,
        rolldownOptions: {
          external: ['electron'],
          output: { format, entryFileNames: `${path.basename(entry)}.${ending}`, codeSplitting: false },
        },
      },
    });
  }
}
