import { z } from 'zod';
import type { Services } from '../files/services.ts';
import { htmlToPdf } from './print.ts';

z.config({ jitless: true });

export type Act = (body: Buffer, query: URLSearchParams) => Promise<unknown>;

const flag = z.enum(['true', 'false']).transform((word) => word === 'true');
const nothing = z.strictObject({});
const opening = z.strictObject({ handle: z.uuid() });
const saving = z.strictObject({ handle: z.uuid(), text: z.string() });
const printing = z.strictObject({ html: z.string() });
const writing = z.strictObject({
  folder: z.string().max(9),
  name: z.string().max(400),
  overwrite: flag,
  keep: flag,
});

/** A JSON body of the agreed shape. Throws ZodError or SyntaxError. */
const read = <T>(shape: z.ZodType<T>, body: Buffer): T => shape.parse(JSON.parse(body.toString('utf8')));

/**
 * What a page in the browser may ask of the local host, by name: POST /api/<name>. Bodies are JSON, but for `write`,
 * which takes the bytes as they are and its arguments in the query.
 */
export function makeApi(services: Services, chromium: string | null): ReadonlyMap<string, Act> {
  return new Map<string, Act>([
    ['initial', async (body) => read(nothing, body) && services.initial()],
    ['recent', async (body) => read(nothing, body) && services.recent()],
    ['folders', async (body) => read(nothing, body) && services.folders()],
    ['open', async (body) => services.openHandle(read(opening, body).handle)],
    [
      'save',
      async (body) => {
        const { handle, text } = read(saving, body);
        await services.save(handle, text);
        return null;
      },
    ],
    [
      'write',
      async (body, query) => {
        const to = writing.parse(Object.fromEntries(query));
        return services.saveInFolder(to.folder, to.name, body, to.overwrite, to.keep);
      },
    ],
    [
      'pdf', // base64, or null where no Chromium is at hand
      async (body) => {
        const { html } = read(printing, body);
        return chromium ? (await htmlToPdf(chromium, html)).toString('base64') : null;
      },
    ],
  ]);
}
