import { existsSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

// The fuse wire: behind this mark stand a version, how many fuses there are, and one letter each. Mark, order and letters
// as Electron's documentation has them (docs/tutorial/fuses.md) and @electron/fuses reads them.
const MARK = 'dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX';
const ORDER = [
  'runAsNode',
  'enableCookieEncryption',
  'enableNodeOptionsEnvironmentVariable',
  'enableNodeCliInspectArguments',
  'enableEmbeddedAsarIntegrityValidation',
  'onlyLoadAppFromAsar',
  'loadBrowserProcessSpecificV8Snapshot',
  'grantFileProtocolExtraPrivileges',
];
/** What a binary's fuses say; null for one that this version does not know. */
function fusesOf(binary: Buffer): Record<string, boolean | null> {
  const at = binary.indexOf(MARK);
  if (at < 0) throw new Error('no fuse wire');
  const [version, count = 0] = binary.subarray(at + MARK.length);
  if (version !== 1) throw new Error(`fuse wire of version ${version}`);
  const letters = [...binary.subarray(at + MARK.length + 2, at + MARK.length + 2 + count)];
  return Object.fromEntries(
    ORDER.slice(0, count).map((name, n) => [
      name,
      letters[n] === 0x31 ? true : letters[n] === 0x30 ? false : null,
    ]),
  );
}
const wanted: Record<string, boolean> = JSON.parse(
  readFileSync('electron/package/packaging.json', 'utf8'),
).electronFuses;

test('the wire is read: as packed, and as Electron comes', () => {
  const wire = (letters: string) =>
    Buffer.concat([Buffer.from(`ELF${MARK}`), Buffer.from([1, letters.length]), Buffer.from(letters)]);
  expect(fusesOf(wire('01001100'))).toMatchObject(wanted);
  expect(fusesOf(wire('10111001'))).not.toMatchObject(wanted);
  expect(fusesOf(wire('0r'))).toEqual({ runAsNode: false, enableCookieEncryption: null });
  expect(() => fusesOf(Buffer.from('ELF'))).toThrow('no fuse wire');
});

test('the binary that was packed is fused as its configuration says', (context) => {
  const packed = 'dist/packages/linux-unpacked/bathtide';
  if (!existsSync(packed)) return context.skip('not run: no Electron binary');
  expect(fusesOf(readFileSync(packed))).toMatchObject(wanted);
});
