import { afterEach, expect, test, vi } from 'vitest';
import { readWorkbook } from '../../../src/views/state/workbooks.ts';
import { type FakeWorker, fakeWorker } from './fakeWorker.ts';

afterEach(() => vi.unstubAllGlobals());

/** Workers of the page whose service is this one. */
function workersThat(read: () => unknown): FakeWorker[] {
  const made: FakeWorker[] = [];
  const construct = () => {
    const worker = fakeWorker({ read });
    made.push(worker);
    return worker;
  };
  vi.stubGlobal('Worker', new Proxy(class {}, { construct }));
  return made;
}

test('a workbook that takes for ever is given up, and its thread is ended', async () => {
  const made = workersThat(() => new Promise(() => undefined));
  await expect(readWorkbook(new Uint8Array(3), 50)).rejects.toThrow(/was not read within .* Expected: /);
  expect(made.map(({ ended }) => ended)).toEqual([true]);
});
test('one that is read is handed over, and its thread is ended too', async () => {
  const made = workersThat(() => [{ name: 'Patients', table: [['Bed']] }]);
  expect(await readWorkbook(new Uint8Array(3), 10_000)).toEqual([{ name: 'Patients', table: [['Bed']] }]);
  expect(made.map(({ ended }) => ended)).toEqual([true]);
});
