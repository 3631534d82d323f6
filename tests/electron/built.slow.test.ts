import { readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import vm from 'node:vm';
import { beforeAll, expect, test } from 'vitest';
import { ensureShell } from '../../electron/setup.mjs';

// What Electron loads is the built file, not the source: a bundle can break what the source does right.
beforeAll(() => ensureShell(() => undefined));
const built = (name: string) => readFileSync(`dist/electron/${name}`, 'utf8');
const required = (code: string) => [...code.matchAll(/\brequire\("([^"]+)"\)/g)].map((match) => match[1]!);

test('a sandboxed preload may ask for nothing but electron, and exposes the bridge', () => {
  const code = built('preload.cjs');
  expect(required(code)).toEqual(['electron']);
  const exposed: Record<string, object> = {};
  const electron = {
    contextBridge: {
      exposeInMainWorld: (name: string, api: object) => Object.assign(exposed, { [name]: api }),
    },
  };
  vm.runInNewContext(code, { require: () => electron, module: { exports: {} }, exports: {} });
  expect(Object.keys(exposed)).toEqual(['bathtide']);
  expect(exposed.bathtide).toHaveProperty('initial');
});

test('main is CommonJS that stands alone: electron and Node itself, nothing from node_modules', () => {
  const code = built('main.cjs');
  const allowed = new Set(['electron', ...builtinModules, ...builtinModules.map((name) => `node:${name}`)]);
  expect(required(code).filter((name) => !allowed.has(name))).toEqual([]);
  expect(required(code)).toContain('electron');
  expect(code).not.toContain('import.meta');
  expect(code).not.toContain('openExternal');
  expect(() => new vm.Script(code)).not.toThrow();
});

test('the local host stands alone too, and knows no way to ask another', () => {
  const code = built('hostMain.mjs');
  const imported = [...code.matchAll(/^import .* from "([^"]+)";$/gm)].map((match) => match[1]!);
  expect(imported.length).toBeGreaterThan(3);
  expect(imported.filter((name) => !builtinModules.includes(name.replace(/^node:/, '')))).toEqual([]);
  for (const name of ['node:https', 'node:tls', 'node:dns', 'node:dgram', 'node:http2'])
    expect(imported).not.toContain(name);
});
