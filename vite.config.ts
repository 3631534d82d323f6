import { readFileSync } from 'node:fs';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const { version } = JSON.parse(readFileSync(new URL('package.json', import.meta.url), 'utf8'));

/** The app's page: built from src/views into dist/app, served by Electron or by the local host. */
export default defineConfig({
  root: 'src/views',
  base: './',
  plugins: [react()],
  // The host puts a fresh nonce in this place in every answer (content security policy).
  html: { cspNonce: 'BATHTIDE_NONCE' },
  define: { BATHTIDE_VERSION: JSON.stringify(version) },
  worker: { format: 'es' },
  build: {
    outDir: '../../dist/app',
    emptyOutDir: true,
    target: 'es2023',
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 2500,
    rolldownOptions: {
      output: {
        codeSplitting: {
          groups: [
            { name: 'grid', test: /node_modules[\\/]ag-grid/, priority: 3 },
            { name: 'react', test: /node_modules[\\/](react|react-dom|scheduler)[\\/]/, priority: 2 },
            {
              name: 'formula',
              test: /node_modules[\\/](mathjs|decimal\.js|fraction\.js|complex\.js)/,
              priority: 1,
            },
          ],
        },
      },
    },
  },
});
