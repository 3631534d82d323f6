import { expect, test } from 'vitest';
import type { Bridge, Saved } from '../../../src/bridge.ts';
import { oneByOne } from '../../../src/views/state/oneByOne.ts';

/** A host with one file, whose answers come when they are let go. It refuses what began from another content, as the real one does. */
function host() {
  let held = 'v0';
  const asked: string[] = [];
  const waiting: (() => void)[] = [];
  const bridge = {
    save(_: string, text: string, base: string | null) {
      asked.push(`${text} on ${base}`);
      return new Promise<Saved>((done) =>
        waiting.push(() => {
          const newer = { newer: { text: held, digest: held }, base };
          if (base !== held) return done(newer);
          held = text;
          done({ digest: text });
        }),
      );
    },
    look(_: string, digest: string) {
      asked.push(`look ${digest}`);
      return new Promise((done) => waiting.push(() => done(digest === held ? null : { text: held })));
    },
  } as unknown as Bridge;
  const letGo = async () => {
    for (let n = 0; n < 20; n++) await Promise.resolve();
    waiting.shift()?.();
    for (let n = 0; n < 20; n++) await Promise.resolve();
  };
  const write = (text: string): void => {
    held = text;
  };
  return { bridge: oneByOne(bridge), asked, letGo, write };
}

test('a save asked for while another is under way is no conflict with it', async () => {
  const { bridge, asked, letGo } = host();
  const saves = [bridge.save('h', 'v1', 'v0'), bridge.save('h', 'v2', 'v0'), bridge.save('h', 'v3', 'v0')];
  await letGo();
  await letGo();
  await letGo();
  expect(await Promise.all(saves)).toEqual([{ digest: 'v1' }, { digest: 'v2' }, { digest: 'v3' }]);
  expect(asked).toEqual(['v1 on v0', 'v2 on v1', 'v3 on v2']);
});

test('a look waits for the save before it, and what others saved is still told', async () => {
  const { bridge, asked, letGo, write } = host();
  const save = bridge.save('h', 'v1', 'v0');
  const look = bridge.look('h', 'v0');
  await letGo();
  expect(asked).toEqual(['v1 on v0', 'look v0']);
  expect(await save).toEqual({ digest: 'v1' });
  await letGo();
  await look;
  write('theirs');
  const late = bridge.save('h', 'v2', 'v1');
  await letGo();
  expect(await late).toEqual({ newer: { text: 'theirs', digest: 'theirs' }, base: 'v1' });
});

test('what a look finds while a save is asked for may be that save: it is not told; no save waits for a look', async () => {
  const { bridge, asked, letGo, write } = host();
  const look = bridge.look('h', 'v0');
  await Promise.resolve();
  await Promise.resolve();
  const save = bridge.save('h', 'v1', 'v0');
  for (let n = 0; n < 20; n++) await Promise.resolve();
  expect(asked).toEqual(['look v0', 'v1 on v0']);
  write('v1');
  await letGo();
  expect(await look).toBeNull();
  write('v0');
  await letGo();
  expect(await save).toEqual({ digest: 'v1' });
});

test('a save that is over is nobody’s base: the same content may have come back', async () => {
  const { bridge, asked, letGo, write } = host();
  const first = bridge.save('h', 'v1', 'v0');
  await letGo();
  await first;
  write('v0');
  const second = bridge.save('h', 'v2', 'v0');
  await letGo();
  expect(await second).toEqual({ digest: 'v2' });
  expect(asked).toEqual(['v1 on v0', 'v2 on v0']);
});

test('a save that failed, or of another file, is nobody’s base', async () => {
  const { bridge, asked, letGo, write } = host();
  write('theirs');
  const refused = bridge.save('h', 'v1', 'v0');
  const next = bridge.save('h', 'v2', 'v0');
  const other = bridge.save('i', 'w1', 'v0');
  for (let n = 0; n < 3; n++) await letGo();
  expect('newer' in (await refused) && 'newer' in (await next) && 'newer' in (await other)).toBe(true);
  expect(asked).toEqual(['v1 on v0', 'v2 on v0', 'w1 on v0']);
});
