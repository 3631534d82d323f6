import { z } from 'zod';
import { draftShape } from '../files/drafts.ts';
import type { Asking, Services } from '../files/services.ts';
import { htmlToPdf } from './print.ts';

z.config({ jitless: true });

export type Act = (body: Buffer, query: URLSearchParams, asking: Asking) => Promise<unknown>;

const flag = z.enum(['true', 'false']).transform((word) => word === 'true');
const sum = z.string().regex(/^[0-9a-f]{64}$/);
const nothing = z.strictObject({});
const opening = z.strictObject({ handle: z.uuid() });
const saving = z.strictObject({ handle: z.uuid(), text: z.string(), base: sum.nullable() });
const looking = z.strictObject({ handle: z.uuid(), digest: sum });
const past = z.strictObject({ handle: z.uuid(), id: z.string().max(80) });
const keeping = z.strictObject({ draft: draftShape.nullable() });
const forgetting = z.strictObject({ id: z.string().max(80) });
const sizes = z.record(z.string().max(60), z.int().min(0));
const recording = z.strictObject({ handle: z.uuid(), known: sizes });
const noting = z.strictObject({
  handle: z.uuid(),
  station: z.string().max(60),
  drafts: z.array(z.looseObject({})).max(200),
});
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
      async (body, _query, { page }) => {
        const { handle, ...rest } = read(saving, body);
        return services.save(handle, { ...rest, page });
      },
    ],
    [
      'look',
      async (body, _query, asking) => {
        const { handle, digest } = read(looking, body);
        return services.look(handle, digest, asking);
      },
    ],
    ['versions', async (body) => services.versions(read(opening, body).handle)],
    ['changes', async (body) => services.changes(read(opening, body).handle)],
    [
      'version',
      async (body) => {
        const { handle, id } = read(past, body);
        return services.version(handle, id);
      },
    ],
    [
      'record',
      async (body) => {
        const { handle, known } = read(recording, body);
        return services.record(handle, known);
      },
    ],
    [
      'note',
      async (body) => {
        const { handle, station, drafts } = read(noting, body);
        return services.note(handle, station, drafts);
      },
    ],
    [
      'keepDraft',
      async (body, _query, asking) => {
        await services.keepDraft(read(keeping, body).draft, asking);
        return null;
      },
    ],
    ['drafts', async (body, _query, asking) => read(nothing, body) && services.drafts(asking)],
    [
      'forgetDraft',
      async (body, _query, asking) => {
        await services.forgetDraft(read(forgetting, body).id, asking);
        return null;
      },
    ],
    ['write', async (body, query) => services.saveInFolder(writing.parse(Object.fromEntries(query)), body)],
    [
      'pdf', // base64, or null where no Chromium is at hand
      async (body) => {
        const { html } = read(printing, body);
        return chromium ? (await htmlToPdf(chromium, html)).toString('base64') : null;
      },
    ],
  ]);
}
