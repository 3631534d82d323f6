import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { extractText, getDocumentProxy } from 'unpdf';
import { afterAll, expect, test } from 'vitest';
import { htmlToPdf } from '../../electron/local/print.ts';
import { chromiumPath, NO_CHROMIUM } from '../chromium.ts';

// A page that asks for a PDF is not trusted: it must not read the user's files through the Chromium that prints.
const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-hostile-'));
afterAll(() => rmSync(folder, { recursive: true }));
const secret = path.join(folder, 'secret.html');
writeFileSync(secret, '<p>the secret</p>');
writeFileSync(path.join(folder, 'secret.css'), 'p::after { content: "the secret" }');
const file = pathToFileURL(secret).href;
const style = pathToFileURL(path.join(folder, 'secret.css')).href;

const textOf = async (html: string) => {
  const pdf = await getDocumentProxy(new Uint8Array(await htmlToPdf(chromiumPath!, html)));
  return (await extractText(pdf, { mergePages: true })).text.replace(/\s+/g, ' ').trim();
};

test.skipIf(!chromiumPath).each([
  ['a script, in a page without a head', '<p>Sheet</p><script>document.body.append("ran")</script>'],
  ['a script that an event runs', '<body onload="document.body.append(\'ran\')"><p>Sheet</p>'],
  ['a frame', `<iframe src="${file}"></iframe><p>Sheet</p>`],
  ['an object', `<object data="${file}"></object><embed src="${file}"><p>Sheet</p>`],
  ['a style sheet', `<link rel="stylesheet" href="${style}"><style>@import "${style}";</style><p>Sheet</p>`],
  ['a page that goes elsewhere', `<meta http-equiv="refresh" content="0;url=${file}"><p>Sheet</p>`],
  ['a base', `<base href="${file}"><iframe src="secret.html"></iframe><p>Sheet</p>`],
  [
    'a head that is a trap',
    `<head data-x="<head>"><script>document.write("ran")</script></head><p>Sheet</p>`,
  ],
])(`%s: the sheet alone is printed${chromiumPath ? '' : ` (${NO_CHROMIUM})`}`, async (_what, html) => {
  expect(await textOf(html)).toBe('Sheet');
});

test('a page that needs nothing else keeps its styles and pictures', async (context) => {
  if (!chromiumPath) return context.skip(NO_CHROMIUM);
  expect(await textOf('<style>.gone { display: none }</style><p>Sheet</p><p class="gone">no</p>')).toBe(
    'Sheet',
  );
  const gone = await htmlToPdf(path.join(folder, 'nowhere'), '<p>x</p>').catch(
    (error: Error) => error.message,
  );
  expect(gone).toMatch(/Print from the browser/);
});
