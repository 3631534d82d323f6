// What `npm start` and the packed app share: the arguments, and the app in a browser. Plain Node without packages.
import { statSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { findChromium, openInBrowser } from './browsers.mjs';

const say = (text) => console.log(text);
const fail = (text) => {
  console.error(text);
  process.exit(2);
};

/** @param how the command as a person types it, e.g. npm start -- */
export function readArguments(how) {
  const usage = `${how} [FILE.json] [--folder DIR] [--browser | --electron] [--no-open]`;
  const string = { type: 'string', multiple: true };
  const flag = { type: 'boolean' };
  const options = { folder: string, browser: flag, electron: flag, 'no-open': flag, help: flag };
  let parsed;
  try {
    parsed = parseArgs({ options, allowPositionals: true });
  } catch (error) {
    fail(`${error.message}\nUse: ${usage}`);
  }
  const { values, positionals } = parsed;
  if (values.help) {
    say(
      `Use: ${usage}\n  --folder DIR  another folder to open and save in\n  --browser     the browser, even where Electron is at hand\n  --electron    try again to fetch Electron\n  --no-open     only print the link`,
    );
    process.exit(0);
  }
  if (positionals.length > 1) fail(`One scenario at a time, not ${positionals.length}.\nUse: ${usage}`);
  const from = process.env.INIT_CWD ?? process.cwd();
  const file = positionals[0] === undefined ? null : path.resolve(from, positionals[0]);
  const folders = (values.folder ?? []).map((one) => path.resolve(from, one));
  if (file !== null && !statSync(file, { throwIfNoEntry: false })?.isFile())
    fail(`${file}: there is no such file. Name a scenario file (.json).`);
  for (const one of folders) {
    if (!statSync(one, { throwIfNoEntry: false })?.isDirectory())
      fail(`${one}: there is no such folder. Make it first.`);
  }
  return { ...values, file, folders };
}

/** The app in a browser of this computer, until it is ended or its last page was closed. @param root of scenarios/ and dist/ */
export async function startBrowser(root, options, why) {
  const hostMain = pathToFileURL(path.join(root, 'dist', 'electron', 'hostMain.mjs')).href;
  const { startLocal } = await import(hostMain);
  const end = async (words) => {
    if (words) say(words);
    await host.close();
    process.exit(0);
  };
  const host = await startLocal({
    root,
    file: options.file,
    folders: options.folders,
    chromium: findChromium(),
    onIdle: () => end('Bathtide ends: its last page was closed two minutes ago.'),
  });
  for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => end(''));
  const opened = !options['no-open'] && (await openInBrowser(await host.pageToOpen()));
  say(`Bathtide runs in ${opened ? 'your' : 'a'} browser, from this computer only (${why}). Ctrl-C ends it.`);
  say(`${opened ? 'If no page appears, open' : 'Open'} ${host.url}`);
}
