import type { NamedTable } from '../../reports/workbook.ts';
import type { WorkbookService } from '../worker/workbook.worker.ts';
import { openThread } from './thread.ts';

/** ms; a scenario's workbook is read in well under one second */
const LIMIT_MS = 20_000;
const makeWorker = () =>
  new Worker(new URL('../worker/workbook.worker.ts', import.meta.url), { type: 'module' });

/**
 * Every sheet of a workbook, read in a thread of its own that is ended with the answer, or without one in time.
 * @throws Error when the bytes are no workbook, one beyond limits, or take too long
 */
export async function readWorkbook(bytes: Uint8Array, limitMs = LIMIT_MS): Promise<NamedTable[]> {
  const { worker, service, end } = openThread<WorkbookService>(makeWorker);
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, reject) => {
    const why = `The workbook was not read within ${limitMs / 1000} s. Expected: one of fewer rows, or CSV`;
    timer = setTimeout(() => reject(new Error(why)), limitMs);
    worker.onerror = () =>
      reject(new Error('The workbook could not be read. Expected: a file saved as .xlsx'));
  });
  try {
    return await Promise.race([service.read(bytes), late]);
  } finally {
    clearTimeout(timer);
    end();
  }
}
