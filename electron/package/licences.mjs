import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { ROOT } from '../setup.mjs';

/** Licences that let a hospital use, copy and pass on the packed app with a notice. A new one is looked at first. */
export const ALLOWED = new Set([
  '0BSD',
  'Apache-2.0',
  'BlueOak-1.0.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'ISC',
  'MIT',
  'MPL-2.0', // lightningcss, which builds the page; none of its code is in the package
  'OFL-1.1', // the typeface
]);

/** What is installed without development tools: all of it is listed, though not all of it is in the package. */
export function runtimePackages() {
  const lock = JSON.parse(readFileSync(path.join(ROOT, 'package-lock.json'), 'utf8')).packages;
  return Object.entries(lock)
    .filter(([place, one]) => place !== '' && !one.dev && !one.devOptional && !one.optional)
    .map(([place, { version, license }]) => ({
      name: place.slice(place.lastIndexOf('node_modules/') + 'node_modules/'.length),
      place,
      version,
      license: license ?? 'none stated',
    }));
}

/** A package and all that it needs at run time, where npm put each: places within the root, in the order found. */
export function closureOf(names) {
  const lock = JSON.parse(readFileSync(path.join(ROOT, 'package-lock.json'), 'utf8')).packages;
  /** Node looks beside the one who asks first, then further out. */
  const placeOf = (name, from) => {
    for (let within = from; ; within = within.slice(0, Math.max(0, within.lastIndexOf('/node_modules/')))) {
      const place = `${within === '' ? '' : `${within}/`}node_modules/${name}`;
      if (lock[place]) return place;
      if (within === '')
        throw new Error(`${name}, which ${from || 'the app'} needs, is not in the lock file`);
    }
  };
  const places = new Set();
  const take = (name, from) => {
    const place = placeOf(name, from);
    if (places.has(place)) return;
    places.add(place);
    for (const next of Object.keys(lock[place].dependencies ?? {})) take(next, place);
  };
  for (const name of names) take(name, '');
  return [...places];
}

const textOf = (place) => {
  const folder = path.join(ROOT, place);
  if (!existsSync(folder)) return '';
  const file = readdirSync(folder).find((name) => /^(licen[cs]e|copying)(\.|$|-)/i.test(name));
  return file ? readFileSync(path.join(folder, file), 'utf8').trim() : '';
};

/** One text with the licence of every package, for the archive. @param node the licence of the packed Node */
export function licencesText(node) {
  const parts = runtimePackages().map(
    ({ name, version, license, place }) =>
      `${name} ${version}\nLicence: ${license}\n\n${textOf(place) || 'The package brings no text of its licence.'}`,
  );
  const line = `\n\n${'='.repeat(80)}\n\n`;
  return `${['Bathtide contains or is built with the work of others.', `Node.js\n\n${node.trim()}`, ...parts].join(line)}\n`;
}
